package page

import (
	"bytes"
	"html"
	"html/template"
	"strconv"
	"strings"

	"shaftbook/kernel/unit"
	"shaftbook/web/app/derivation"
)

// fields writes a field for the number of each given name. Its data-names
// tells a script whether the fields are the same as before.
func fields(id string, o *derivation.Outcome) template.HTML {
	var b bytes.Buffer
	var names []string
	for _, g := range o.Givens {
		names = append(names, g.Name+":"+g.Unit.Text)
	}
	b.WriteString(`<div class="number-fields js-fields" data-names="` + html.EscapeString(strings.Join(names, " ")) + `">`)
	for _, g := range o.Givens {
		field := html.EscapeString(id + "-data-" + g.Name)
		b.WriteString(`<div class="field"><label for="` + field + `">` + nameMathML(g.Name) + ` <span class="unit">` + html.EscapeString(givenWords(g)) + `</span></label>`)
		b.WriteString(`<input type="text" class="js-number" spellcheck="false" autocapitalize="off" autocomplete="off" id="` + field +
			`" name="data-` + html.EscapeString(g.Name) + `" data-name="` + html.EscapeString(g.Name) + `" form="` + html.EscapeString(id) +
			`-form" maxlength="200" value="` + html.EscapeString(g.Value) + `" aria-describedby="` + field + `-said">`)
		b.WriteString(`<p class="field-said js-field-said" id="` + field + `-said">`)
		if g.Said != "" {
			b.WriteString(html.EscapeString(capital(g.Said)) + ".")
		}
		b.WriteString(`</p></div>`)
	}
	b.WriteString("</div>")
	if len(o.Givens) == 0 {
		return `<div class="number-fields js-fields" data-names=""><p>Nothing is given yet; add a line such as <code>given L: length &gt; 0</code>.</p></div>`
	}
	return template.HTML(b.String())
}

func givenWords(g derivation.Given) string {
	switch {
	case g.Whole:
		return "a whole number"
	case g.Unit.Text == "":
		return unit.Describe(g.Dim)
	}
	return unit.Describe(g.Dim) + ", for example in " + g.Unit.Text
}

// runSaid returns the outcome for the numbers.
func runSaid(id string, o *derivation.Outcome) template.HTML {
	r := o.Run
	switch {
	case !r.Asked:
		return ""
	case !r.Ready:
		return template.HTML(html.EscapeString(capital(r.Said)) + ".")
	case r.Parts >= 0:
		return template.HTML(`<span class="parts">` + markBreaks + `The values first differ at <a href="#` + html.EscapeString(lineID(id, r.Parts)) + `">` +
			html.EscapeString(stepName(o, r.Parts)) + `</a>.</span>`)
	}
	if compared(o) == 0 {
		return "No line could be compared with the one above it."
	}
	return template.HTML(`<span class="agree">` + markFollows + `Every line has the same value as the line above it.</span>`)
}

func stepName(o *derivation.Outcome, at int) string {
	if v := o.Lines[at].Verdict; v != nil {
		return "step (" + strconv.Itoa(v.Step) + ")"
	}
	return "this line"
}

// capital begins a sentence, unless with a name.
func capital(s string) string {
	first, _, _ := strings.Cut(s, " ")
	if len(first) < 2 || first[0] >= 0x80 || strings.ToLower(first) != first || strings.ContainsAny(first, "_0123456789,") {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// compared counts the steps that have a value.
func compared(o *derivation.Outcome) int {
	n := 0
	for _, l := range o.Lines {
		if l.Verdict != nil && l.Value != nil && l.Value.Err == "" {
			n++
		}
	}
	return n
}
