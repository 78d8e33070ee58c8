package page

import (
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// messages writes what is to be said about a statement, each message under the
// line of text that it is about, with the exact piece marked.
func (w *rowWriter) messages() {
	w.put(`<div class="block" data-part="messages">`)
	for i := range w.r.Diagnostics {
		w.message(&w.r.Diagnostics[i])
	}
	w.put("</div>")
}

func (w *rowWriter) message(d *source.Diagnostic) {
	class := "message"
	if d.Severity == source.Note {
		class += " note"
	}
	w.put(`<div class="`, class, `">`)
	if d.Span.IsValid() {
		w.place(d.Span)
	}
	w.put("<p>")
	w.text(d.Message)
	if d.Repair != "" {
		w.put(`; <span class="repair">`)
		w.text(d.Repair)
		w.put("</span>")
	}
	w.put(".</p>")
	for _, r := range d.Related {
		w.put(`<p class="where">`)
		w.text(w.placeWords(r.Span) + ": " + r.Message)
		w.put("</p>")
	}
	if d.Fix != nil {
		w.fix(d.Fix)
	}
	for i := range d.Choices {
		w.fix(&d.Choices[i])
	}
	w.put("</div>")
}

// placeWords say where another place is for a reader, who sees the lines of cells
// and not those of the file: by the line in the row's own cell, or by the text of
// the line in another one.
func (w *rowWriter) placeWords(s source.Span) string {
	if s.Text == w.r.Span.Text {
		return "line " + strconv.Itoa(cellLine(s))
	}
	return "at “" + strings.TrimSpace(s.Line()) + "”"
}

// cellLine returns the line of a place in its cell, from 1.
func cellLine(s source.Span) int {
	return s.Position().Line - max(1, s.Text.FirstLine) + 1
}

func (w *rowWriter) place(s source.Span) {
	line := []rune(s.Line())
	p := s.Position()
	from := min(p.Column-1, len(line))
	to := min(from+p.Length, len(line))
	w.put(`<code class="place">`)
	w.text(string(line[:from]))
	w.put("<mark>")
	if from == to {
		w.put("\u00a0") // the end of a line: something is missing here
	}
	w.text(string(line[from:to]))
	w.put("</mark>")
	w.text(string(line[to:]))
	w.put("</code>")
}

// fix writes the button of a replacement, if it is in the row's own cell.
func (w *rowWriter) fix(f *source.Fix) {
	if !f.Span.IsValid() || f.Span.Text != w.r.Span.Text {
		return
	}
	from, to := Units(f.Span)
	w.put(`<button type="button" class="js-fix needs-js"`)
	w.attr("data-from", strconv.Itoa(from))
	w.attr("data-to", strconv.Itoa(to))
	w.attr("data-text", f.Text)
	w.put(">")
	if f.Text == "" {
		w.text("Remove “" + f.Span.Content() + "”")
	} else {
		w.text("Change to “" + f.Text + "”")
	}
	w.put("</button>")
}

// Spoken returns the outcome of a statement as a sentence, for a listener who
// has just changed something.
func Spoken(r *kernel.Result) string {
	if d := r.Diagnostics.FirstError(); d != nil {
		if !d.Span.IsValid() {
			return d.Error()
		}
		return "line " + strconv.Itoa(cellLine(d.Span)) + ": " + d.Error()
	}
	switch {
	case r.Verdict != nil:
		said := r.Spoken() + ": " + r.Text
		if r.Verdict.Margin != "" {
			said += ", " + r.Verdict.Margin
		}
		return said
	case r.Kind == kernel.KindValue && r.Text != "":
		if r.Name != "" {
			return r.Name + " is " + spokenValue(r)
		}
		return r.Spoken() + " is " + spokenValue(r)
	}
	return "" // a slider says its own value; tables and figures are there to be read
}

// spokenValue returns the value of a statement as it is read aloud.
func spokenValue(r *kernel.Result) string {
	if _, is := r.Estimated(); is {
		return "about " + r.Text
	}
	return r.Text
}
