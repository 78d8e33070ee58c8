package page

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

func (w *rowWriter) shaftLines(cell *notation.ShaftCell) {
	w.put(`<ul class="shaft-lines">`)
	for _, line := range cell.Lines {
		w.put("<li>")
		switch line := line.(type) {
		case *notation.ShaftBad:
			w.put("<code>")
			w.text(line.Span().Content())
			w.put("</code>")
		case *notation.ShaftMeasured:
			w.measured(line)
		default:
			w.put(typeset.MathML(line, typeset.Options{}))
		}
		w.put("</li>")
	}
	w.put("</ul>")
}

// measured writes the stations one by one, so that a list of any length breaks
// at the edge of the page, which a formula does not.
func (w *rowWriter) measured(line *notation.ShaftMeasured) {
	w.put("measured")
	for i := range line.X {
		w.put(` <span class="station">`, typeset.MathML(line.X[i], typeset.Options{Style: typeset.Inline}), ": ",
			typeset.MathML(line.D[i], typeset.Options{Style: typeset.Inline}))
		if i < len(line.X)-1 {
			w.put(",")
		}
		w.put("</span>")
	}
}
