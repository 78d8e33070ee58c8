package reader

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"strings"
)

// lined is the prose of a lesson in which each block of the text has a mark before it.
type lined struct {
	prose
	lines []textLine
}

// A textLine is where a block of the text begins.
type textLine struct {
	number int
	print  string // of the block's text, so that a page can tell which blocks have changed
}

// mark is what stands in the page for a line.
func (l textLine) mark() string { return fmt.Sprintf("<!--line %d-->", l.number) }

func (l *lined) add(w io.Writer, number int, raw string) error {
	sum := sha256.Sum256([]byte(strings.TrimSpace(raw)))
	line := textLine{number, hex.EncodeToString(sum[:6])}
	l.lines = append(l.lines, line)
	_, err := io.WriteString(w, line.mark())
	return err
}

// withNotes returns the prose with a place for the notes of each block, and the notes that
// there are, by the number of its line.
func (l *lined) withNotes(notes map[int]template.HTML) template.HTML {
	text := string(l.html)
	for _, line := range l.lines {
		place := fmt.Sprintf(`<div class="writing-line" id="line-%d" data-block="%s">%s</div>`, line.number, line.print, notes[line.number])
		text = strings.Replace(text, line.mark(), place, 1)
	}
	return template.HTML(text)
}

// lineOf returns the line of the block in which a line stands: where its notes are.
func (l *lined) lineOf(line int) int {
	of := 1
	for _, b := range l.lines {
		if b.number <= line {
			of = b.number
		}
	}
	return of
}
