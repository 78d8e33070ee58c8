package page

import (
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
)

// trials writes the table of trials and what belongs to it: what the changes and widths
// fall with, the field of a guess, and the buttons that change the statement. A button
// carries the change to the text, as that of a repair does; trials.js applies it.
func (w *rowWriter) trials(t *kernel.Trials) {
	w.table(w.r.Table)
	w.put(`<div class="block trial-notes" data-part="notes">`)
	if len(t.Fits) > 0 {
		w.put("<ul>")
		for _, f := range t.Fits {
			w.put("<li>")
			w.put(string(Named(shown(upper(f.Text) + "."))))
			w.put("</li>")
		}
		w.put("</ul>")
	}
	w.put(`</div><div class="block trial-guess" data-part="guess">`)
	if t.Next != nil {
		w.forecast(t)
	}
	w.put(`</div><div class="block trial-tools needs-js" data-part="tools">`)
	w.change(t.Add, "Keep "+t.Slider+" = "+shown(t.Shown), "js-add-trial")
	if t.Add != nil {
		w.put(`<span class="meta">Kept by itself when the slider is let go or a number is entered; after the arrow keys, with Enter.</span> `)
	}
	w.change(t.Clear, "Clear trials", "js-clear-trials")
	w.put("</div>")
	w.tableFile()
}

// trialData writes the attributes by which trials.js adds a value: the one that
// the slider is at, those that were tried, and where and how one more is written.
func (w *rowWriter) trialData(t *kernel.Trials) {
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }
	var tried []string
	for _, v := range t.Values {
		tried = append(tried, number(v))
	}
	w.attr("data-at", number(t.At))
	w.attr("data-tried", strings.Join(tried, " "))
	if t.More == nil {
		w.attr("data-add", "")
		return
	}
	from, _ := Units(t.More.Place)
	w.attr("data-add", strconv.Itoa(from))
	w.attr("data-before", t.More.Before)
	w.attr("data-behind", t.More.Behind)
}

// change writes the button of a change to the text, if there is one.
func (w *rowWriter) change(f *source.Fix, label, class string) {
	if f == nil {
		return
	}
	from, to := Units(f.Span)
	w.put(`<button type="button" class="plain `, class, `"`)
	w.attr("data-from", strconv.Itoa(from))
	w.attr("data-to", strconv.Itoa(to))
	w.attr("data-text", f.Text)
	w.put(">")
	w.text(label)
	w.put("</button> ")
}

// forecast writes the field for a guess at the next doubling, and once there is a guess
// what the trials so far let one expect.
func (w *rowWriter) forecast(t *kernel.Trials) {
	f := t.Next
	at := t.Slider + " = " + f.At
	expected := "From the trials so far: " + f.Value + ", " + f.Reason + "."
	if f.Value == "" {
		expected = "For an estimate from the trials themselves, " + f.Reason + "."
	}
	if f.Guess != "" {
		w.put("<p>")
		w.put(string(Named(shown("Your guess for " + at + ": " + f.Guess + ". " + expected + " Move the slider to " + f.At + " to see."))))
		w.put("</p>")
		return
	}
	id := RowID(w.r.Cell, w.r.Index) + "-guess"
	from, _ := Units(f.Place)
	w.put(`<form class="needs-js js-guess-trial"`)
	w.attr("data-from", strconv.Itoa(from))
	w.attr("data-before", f.Between[0])
	w.attr("data-behind", f.Between[1])
	w.put(`><label`)
	w.attr("for", id)
	w.put(">")
	w.text(shown("Guess what " + at + " gives:"))
	w.put(`</label> <input type="text" inputmode="decimal" autocomplete="off" size="8" required`)
	w.attr("id", id)
	w.attr("pattern", `[+\-−]?[0-9]+([.,][0-9]+)?`)
	w.attr("title", "a number, such as 0.69")
	w.put("> <span class=\"unit\">")
	w.text(shown(f.Unit))
	w.put(`</span> <button type="submit" class="plain">Guess</button></form>`)
	w.put(`<details><summary>Show me<span class="sr"> what the trials let one expect</span></summary><p>`)
	w.text(shown(expected))
	w.put("</p></details>")
}

// spokenTrials says what trials give at the value that the slider is at, how many there
// are, and what they show.
func spokenTrials(r *kernel.Result) string {
	t := r.Trials
	row := r.Table.Marked()[t.Now]
	said := "at " + t.Slider + " equals " + t.Shown
	for i, h := range r.Table.Headers[1:] {
		cell := row[i+1]
		if cell == kernel.Absent {
			continue
		}
		name := h.Label
		if name == "" {
			name = typeset.Spoken(h.Expr)
		}
		said += ", " + strings.TrimSpace(name+" "+cell+" "+h.Unit)
	}
	if t.Count > 0 {
		said += "; " + r.Text + " kept"
	}
	for _, f := range t.Fits {
		said += "; " + f.Text
	}
	return strings.ReplaceAll(said, kernel.Mark, "about ")
}

// upper returns a text with a capital.
func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
