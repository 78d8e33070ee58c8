package page

import (
	"html"
	"io"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset"
)

// Derivation writes a derivation line by line, each step with its reason.
func Derivation(w io.Writer, id string, text *source.Text) error {
	cell, _ := notation.ParseDerivation(text)
	out := `<div role="group" class="cell derivation" id="` + html.EscapeString(id) + `" aria-label="Derivation"><div class="rows">`
	for _, line := range cell.Lines {
		out += `<div class="row"><div class="formula">` + typeset.MathML(line, typeset.Options{}) + `</div>`
		if step, ok := line.(*notation.DeriveStep); ok && step.Reason != "" {
			out += `<p class="reason block">because ` + html.EscapeString(step.Reason) + `</p>`
		}
		out += `</div>`
	}
	_, err := io.WriteString(w, out+"</div></div>")
	return err
}
