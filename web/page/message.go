package page

import (
	"fmt"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// messages writes what is to be said about a statement, each message under the
// line of text that it is about, with the exact piece marked. The errors of a
// statement that waits for another are said there; beside its result is the way.
func (w *rowWriter) messages() {
	w.put(`<div class="block" data-part="messages">`)
	defer w.put("</div>")
	if w.r.Folded {
		w.put(`<details class="folded"><summary>`)
		w.text(fmt.Sprintf("error %d of %d in this cell", w.r.Order, w.r.Errors))
		w.put("</summary>")
		defer w.put("</details>")
	}
	isFirst := true
	for i := range w.r.Diagnostics {
		d := &w.r.Diagnostics[i]
		if d.Severity == source.Error && w.r.Cause != nil {
			continue
		}
		w.message(d, isFirst && d.Severity == source.Error)
		isFirst = isFirst && d.Severity != source.Error
	}
}

// message writes one message; the one to mend first has the statements that wait.
func (w *rowWriter) message(d *source.Diagnostic, hasWaiters bool) {
	if d.Reading {
		w.reading(d)
		return
	}
	class := "message"
	if d.Severity == source.Note {
		class += " note"
	}
	w.put(`<div class="`, class, `"`)
	w.attr("data-code", string(d.Code))
	w.put(">")
	if d.Span.IsValid() && d.Code != derive.CodeCondition { // said of the whole line, which stands above
		w.place(d.Span)
	}
	w.put("<p>")
	w.text(d.Message)
	if d.Repair != "" {
		w.put(`; <span class="repair">`)
		w.text(d.Repair)
		w.put("</span>")
	}
	if !strings.HasSuffix(d.Repair, "?") {
		w.put(".")
	}
	w.put("</p>")
	for _, r := range d.Related {
		w.put(`<p class="where">`)
		w.otherPlace(r)
		w.put("</p>")
	}
	if d.Fix != nil {
		w.fix(d.Fix)
	}
	for i := range d.Choices {
		w.fix(&d.Choices[i])
	}
	if hasWaiters {
		w.waiters()
	}
	w.put("</div>")
}

// reading writes how a text was read, on one line with the way to its usual spelling.
func (w *rowWriter) reading(d *source.Diagnostic) {
	w.put(`<div class="message note reading"`)
	w.attr("data-code", string(d.Code))
	w.put("><p>")
	message := d.Message
	if rest, ok := strings.CutPrefix(message, "read "); ok {
		message = "Read " + rest
	}
	w.text(message + ".")
	w.put("</p>")
	if d.Fix != nil {
		w.button(d.Fix, "Use this spelling", "Use this spelling: "+strings.TrimSpace(d.Fix.Text))
	}
	w.put("</div>")
}

// otherPlace writes what another place has to do with a message, with the way to
// it. Readers see the lines of cells and not those of the file.
func (w *rowWriter) otherPlace(r source.Related) {
	p, ok := w.r.Find(r.Span)
	switch {
	case !ok && r.Span.Text == w.r.Span.Text:
		w.text("line " + strconv.Itoa(cellLine(r.Span)))
	case !ok:
		w.text("at “" + strings.TrimSpace(r.Span.Line()) + "”")
	case p.Cell == w.r.Cell && p.Index == w.r.Index:
		w.text("line " + strconv.Itoa(p.Line))
	default:
		w.link(p, lineWords(p, w.r.Cell))
	}
	w.text(": " + r.Message)
}

// lineWords names a statement for a reader of a cell: by its line if it is in that
// cell, by its text in another.
func lineWords(p kernel.Place, cell string) string {
	if p.Cell == cell {
		return "line " + strconv.Itoa(p.Line)
	}
	return "“" + p.Text + "”"
}

func (w *rowWriter) link(p kernel.Place, words string) {
	w.put("<a")
	w.attr("href", "#"+RowID(p.Cell, p.Index))
	w.put(">")
	w.text(words)
	w.put("</a>")
}

// waiters folds away the statements that have no result because of this one.
func (w *rowWriter) waiters() {
	n := len(w.r.Waiters)
	if n == 0 {
		return
	}
	w.put(`<details class="waiters"`)
	w.attr("data-count", strconv.Itoa(n))
	w.put("><summary>")
	w.text(source.Waits(n))
	w.put("</summary><ul>")
	for _, p := range w.r.Waiters {
		w.put("<li>")
		if p.Cell == w.r.Cell {
			w.text("line " + strconv.Itoa(p.Line) + ": ")
		}
		w.link(p, p.Text)
		w.put("</li>")
	}
	w.put("</ul></details>")
}

// waits writes, in place of a result, what a statement waits for.
func (w *rowWriter) waits(p *kernel.Place) {
	words := "line " + strconv.Itoa(p.Line)
	switch {
	case p.Name != "":
		words = p.Name
	case p.Cell != w.r.Cell:
		words = "“" + p.Text + "”"
	}
	w.put(`<span class="waits">waiting for `)
	w.link(*p, words)
	w.put("</span>")
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

// fix writes the button of a replacement.
func (w *rowWriter) fix(f *source.Fix) {
	if f.Text == "" {
		w.button(f, "Remove “"+f.Span.Content()+"”", "")
	} else {
		w.button(f, "Change to “"+f.Text+"”", "")
	}
}

// button writes the button of a replacement, if that is in the row's own cell. One
// that has a longer name for listeners than its label is a quiet one.
func (w *rowWriter) button(f *source.Fix, label, name string) {
	if !f.Span.IsValid() || f.Span.Text != w.r.Span.Text {
		return
	}
	from, to := Units(f.Span)
	class := "js-fix needs-js"
	if name != "" {
		class += " plain"
	}
	w.put(`<button type="button" class="`, class, `"`)
	w.attr("data-from", strconv.Itoa(from))
	w.attr("data-to", strconv.Itoa(to))
	w.attr("data-text", f.Text)
	if name != "" {
		w.attr("aria-label", name)
	}
	w.put(">")
	w.text(label)
	w.put("</button>")
}

// Spoken returns the outcome of a statement as a sentence, for a listener who
// has just changed something.
func Spoken(r *kernel.Result) string {
	if r.Cause != nil {
		name := r.Cause.Name
		if name == "" {
			name = "“" + r.Cause.Text + "”"
		}
		return "waiting for " + name
	}
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
	case r.Slider != nil && r.Slider.Outside != "":
		return r.Name + ": " + outsideWords(r.Slider)
	case r.Trials != nil:
		return spokenTrials(r)
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
