// Package download writes a lesson with what a reader has changed in it: its
// working as Text or TeX, and the whole of it as Markdown. It does not use HTTP.
package download

import (
	"strings"

	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/lessons/reference"
	"shaftbook/lessons/search"
)

// Changes is what a page has changed in its lesson; state.js sends it.
type Changes struct {
	Edits  map[string]string  `json:"edits"`
	Varied map[string]float64 `json:"varied"`
}

// Apply carries the changes into a working. A name that an edit has taken
// away is not news; a cell that is not there is an error.
func (c Changes) Apply(w *kernel.Working) error {
	for cell, text := range c.Edits {
		if err := w.Edit(cell, text); err != nil {
			return err
		}
	}
	for name, value := range c.Varied {
		_ = w.Vary(name, value)
	}
	return nil
}

// Covered reports whether what a statement shows is covered until a guess is made.
type Covered func(r *kernel.Result) bool

// Text writes the working of a lesson as plain text: that of the cell only, or of
// all where it is empty. The working must have been evaluated. Of what is covered it has
// the statement and no result.
func Text(l *lessons.Lesson, w *kernel.Working, only string, covered Covered) string {
	return writeWorking(l, w, only, textForm, covered)
}

// TeX is Text for a document with amsmath.
func TeX(l *lessons.Lesson, w *kernel.Working, only string, covered Covered) string {
	return writeWorking(l, w, only, texForm, covered)
}

// A form is how a working is written for a download.
type form struct {
	title, heading func(string) string
	cell           func([]kernel.Result, Covered) string
	checked        func([]lessons.Source) string
}

// writeWorking writes the working of one cell, or of all under their headings.
func writeWorking(l *lessons.Lesson, w *kernel.Working, only string, f form, covered Covered) string {
	if only != "" {
		return f.cell(w.Results(only), covered)
	}
	var b strings.Builder
	b.WriteString(f.title(l.Title))
	cells := l.Cells
	sections := search.SectionsOf(l)
	for i, s := range sections {
		var text strings.Builder
		for len(cells) > 0 && (i+1 == len(sections) || cells[0].Line < sections[i+1].Line) {
			if results := w.Results(cells[0].ID); len(results) > 0 {
				text.WriteString("\n" + f.cell(results, covered))
			}
			cells = cells[1:]
		}
		if text.Len() == 0 {
			continue
		}
		if s.ID != "" {
			b.WriteString("\n" + f.heading(s.Heading))
		}
		b.WriteString(text.String())
	}
	if len(l.Checked) > 0 {
		b.WriteString("\n" + f.heading("Checked against") + "\n" + f.checked(l.Checked))
	}
	return b.String()
}

// sourceLine is a source as one line of text, between marks around its name.
func sourceLine(s lessons.Source, before, after string, words func(string) string) string {
	line := before + words(s.Source) + after + ": " + words(s.What)
	if s.Memory {
		line += " (" + reference.FromMemory + ")"
	}
	return line
}
