package derive

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

// Plain returns a derivation as plain text that reads back as the same
// derivation, its steps indented, with reasons. With verdicts, each step that
// was judged ends in a comment with what was found.
func Plain(cell *notation.DeriveCell, verdicts []Verdict) string {
	var b strings.Builder
	for _, line := range cell.Lines {
		if step, ok := line.(*notation.DeriveStep); ok && step.Left == nil {
			b.WriteString("  ")
		}
		b.WriteString(typeset.Plain(line))
		for _, v := range verdicts {
			if v.Span == line.Span() {
				b.WriteString("   # " + v.Kind.String())
				if v.Kind == Fails || v.Kind == Open {
					b.WriteString(": " + v.Why)
				}
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// TeX returns a derivation as an align* environment (amsmath): one row a line,
// aligned at the first equals sign, reasons as text.
func TeX(cell *notation.DeriveCell) string {
	var rows []string
	for _, line := range cell.Lines {
		tex := typeset.TeX(line)
		reason := ""
		switch line := line.(type) {
		case *notation.Given, *notation.DeriveBad:
			rows = append(rows, "&"+tex)
			continue
		case *notation.DeriveDefine:
			reason = line.Reason
		case *notation.DeriveStep:
			reason = line.Reason
		}
		if i := equalsSign(tex); i >= 0 {
			tex = tex[:i] + "&" + tex[i:]
		}
		if reason != "" {
			tex += ` && \text{` + texText(reason) + "}"
		}
		rows = append(rows, tex)
	}
	return "\\begin{align*}\n" + strings.Join(rows, " \\\\\n") + "\n\\end{align*}\n"
}

// equalsSign returns the place of the first = outside of braces, -1 if there is
// none.
func equalsSign(tex string) int {
	depth := 0
	for i, c := range tex {
		switch {
		case c == '{':
			depth++
		case c == '}':
			depth--
		case c == '=' && depth == 0:
			return i
		}
	}
	return -1
}

var texEscapes = strings.NewReplacer(`\`, `\textbackslash{}`, "{", `\{`, "}", `\}`, "$", `\$`, "&", `\&`, "#", `\#`,
	"%", `\%`, "_", `\_`, "^", `\textasciicircum{}`, "~", `\textasciitilde{}`)

// texText writes prose for the text mode of TeX. Greek letters and other signs
// stay as they are; a Unicode engine sets them.
func texText(s string) string { return texEscapes.Replace(s) }
