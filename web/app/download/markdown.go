package download

import (
	"slices"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/lessons"
)

// exerciseNote is in place of an exercise, whose block holds the answer too.
const exerciseNote = "> There is an exercise here, which is marked on the page."

// Markdown returns a lesson's own text with the reader's changes, which the working
// has, and without the exercises.
func Markdown(l *lessons.Lesson, w *kernel.Working, c Changes) string {
	lines := strings.Split(l.Text.Content, "\n")
	for _, cell := range slices.Backward(l.Cells) { // from the end, so that lines keep their numbers
		if cell.Kind == lessons.Exercise {
			block := blockOf(lines, cell)
			lines = slices.Replace(lines, block.open, block.after, exerciseNote)
			continue
		}
		text, ok := w.Text(cell.ID)
		if !ok {
			continue
		}
		if len(c.Varied) > 0 {
			text = startingValues(text, w.Results(cell.ID), c.Varied)
		}
		if text != cell.Text.Content {
			lines = putCell(lines, cell, text)
		}
	}
	return strings.Join(lines, "\n")
}

// startingValues writes where the reader has left the sliders of a cell into
// its text.
func startingValues(text string, results []kernel.Result, varied map[string]float64) string {
	for _, r := range slices.Backward(results) {
		vary, ok := r.Node.(*notation.Vary)
		if !ok || r.Slider == nil || r.Failed() {
			continue
		}
		if _, ok := varied[r.Name]; !ok {
			continue
		}
		value := strings.TrimSpace(strconv.FormatFloat(r.Slider.Value, 'g', 12, 64) + " " + r.Slider.Unit)
		from, to := r.Span.End, r.Span.End
		if vary.Start != nil {
			from, to = vary.Start.Span().Start, vary.Start.Span().End
		} else {
			value = " starting at " + value
		}
		text = text[:from] + value + text[to:]
	}
	return text
}

// A block is where a cell is in the lines of its lesson. Cells begin at
// the left margin.
type block struct {
	open, after int    // the line of the opening fence, the line after the closing one
	fence, info string // of the opening fence
}

func blockOf(lines []string, cell lessons.Cell) block {
	b := block{open: cell.Line - 1}
	line := lines[b.open]
	b.info = strings.TrimLeft(line, line[:1])
	b.fence = line[:len(line)-len(b.info)]
	b.after = b.open + 1
	if content := strings.TrimSuffix(cell.Text.Content, "\n"); cell.Text.Content != "" {
		b.after += strings.Count(content, "\n") + 1
	}
	// The end of the file closes a block too.
	if b.after < len(lines) && strings.HasPrefix(lines[b.after], b.fence) {
		b.after++
	}
	return b
}

// putCell replaces the text between the fences of a cell. The fences grow if
// the text holds as many of their signs in a row.
func putCell(lines []string, cell lessons.Cell, text string) []string {
	b := blockOf(lines, cell)
	fence := b.fence
	for strings.Contains(text, fence) {
		fence += b.fence[:1]
	}
	fresh := append([]string{fence + b.info}, strings.Split(strings.TrimSuffix(text, "\n"), "\n")...)
	return slices.Replace(lines, b.open, b.after, append(fresh, fence)...)
}
