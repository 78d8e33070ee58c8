package page

import (
	"bytes"
	"html"
	"strconv"

	"shaftbook/kernel"
)

// A Cover writes what a statement shows, or something in its place while a guess is to be
// made first: open is the HTML of the result, and shut returns what stands there, by the
// number of the cover on the page and the ID of the guess.
type Cover func(r *kernel.Result, open string, shut func(number int, guess string) string) string

// cover writes what is open where nothing is covered.
func (c Cover) cover(r *kernel.Result, open string, shut func(number int, guess string) string) string {
	if c == nil {
		return open
	}
	return c(r, open, shut)
}

// Covered returns the row of a statement whose result is covered: the formula, and the
// way to the guess.
func (rows *Rows) Covered(lesson string, r *kernel.Result, number int, guess string) string {
	w := &rowWriter{lesson: lesson, r: r, figures: rows.figures}
	class := "row covered"
	if w.isWide() {
		class += " wide"
	}
	w.put(`<div class="`, class, `"`)
	w.attr("id", RowID(r.Cell, r.Index))
	w.attr("data-kind", kindNames[r.Kind])
	w.attr("data-line", strconv.Itoa(w.line()))
	if r.Name != "" {
		w.attr("data-name", r.Name)
	}
	w.put(` data-cover="`, strconv.Itoa(number), `">`)
	w.formula()
	w.put(`<div class="result"><a class="cover"`)
	w.attr("href", "#"+guess)
	w.put(`>Guess first</a></div></div>`)
	return w.String()
}

// CoveredNumber stands in the place of a covered number of the text or of the margin. It
// is as wide as what it covers, so that a line keeps its breaks.
func CoveredNumber(number int, open string) string {
	var b bytes.Buffer
	width := min(max(len([]rune(textOf(open))), 3), 24)
	b.WriteString(`<span class="cover" data-cover="` + strconv.Itoa(number) + `"><span class="sr">covered until your guess</span><span aria-hidden="true" data-blank="`)
	for range width {
		b.WriteString("\u2007") // a space as wide as a digit
	}
	b.WriteString(`"></span></span>`)
	return b.String()
}

// textOf returns the text of HTML without elements inside others.
func textOf(markup string) string {
	var b bytes.Buffer
	tag := false
	for _, r := range markup {
		switch {
		case r == '<':
			tag = true
		case r == '>':
			tag = false
		case !tag:
			b.WriteRune(r)
		}
	}
	return html.UnescapeString(b.String())
}
