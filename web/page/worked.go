package page

import (
	"html/template"

	"shaftbook/exercises"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

// A Worked is the worked solution of a part in the learner's own numbers.
type Worked struct {
	Open    bool // whether it is shown at once; else it opens on request
	Shaft   []string
	Lines   []WorkedLine
	Slips   []template.HTML // wrong turns that no line can be told for
	Holding string          // why it is not shown yet; there are no lines then
}

// A WorkedLine is one line: symbol = formula = numbers = result.
type WorkedLine struct {
	Symbol, Formula, Numbers, Result template.HTML // empty where there is none
	Reason                           template.HTML
	Slips                            []template.HTML // wrong turns that the learner took here
}

// WorkedLines sets the lines of a worked solution.
func WorkedLines(w exercises.Worked) []WorkedLine {
	var lines []WorkedLine
	for _, l := range w.Lines {
		line := WorkedLine{Formula: broken(l.Formula)}
		if l.Symbol != "" {
			line.Symbol = symbol(l.Symbol)
		}
		if l.Numbers != nil {
			line.Numbers = broken(l.Numbers)
		}
		if l.Result != "" && l.Result != typeset.Plain(l.Formula) {
			line.Result = quantity(l.Result)
		}
		if l.Reason != "" {
			line.Reason = Inline(l.Reason)
		}
		lines = append(lines, line)
	}
	return lines
}

// broken sets a formula that may take several lines.
func broken(n notation.Node) template.HTML {
	return template.HTML(typeset.MathML(n, typeset.Options{Label: typeset.Spoken(n), Lines: true}))
}
