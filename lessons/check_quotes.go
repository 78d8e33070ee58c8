package lessons

import (
	"math"
	"slices"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// CodeQuote: the text gives a name of the cells another value than its cell does (a note).
const CodeQuote source.Code = "quoted-number"

// quote is a name in a formula or in code, and a number that is said to be its value:
// “$\theta_n$ is 0.74 deg”, “$T = 300\,\mathrm{N\cdot m}$”, “`d` = 36 mm”.
var quote = pattern.New(`(?:\$ *(\\?[A-Za-z]+(?:_(?:\{(?:\\mathrm\{)?[A-Za-z0-9]+\}?\}|[A-Za-z0-9]))?) *(\$)?|\x60([^\s\x60=]+)(\x60)?)(?: *(?:=|≈|\\approx\b)| +is(?: about)?) *\$?([−-]?\d[^$\x60;()]*)`)

// texIndex takes the marks of TeX out of an index.
var texIndex = strings.NewReplacer("{", "", "}", "", `\mathrm`, "")

// checkQuotes notes the numbers that stand beside a name of the cells as its value, and
// are not: a number that no cell bears out is found without this, but not one of another
// line, nor one in a formula. What was said of a number already is not said again. Where a slider can give the name that value, it is left
// alone.
func (l *Lesson) checkQuotes(w *kernel.Working, said source.List) source.List {
	values := map[string]*kernel.Result{}
	for _, c := range l.WorkingCells() {
		for _, r := range w.Results(c.ID) {
			if r.Value != nil && r.Name != "" && !r.Value.IsTruth {
				values[r.Name] = &r
			}
		}
	}
	var list source.List
	for _, line := range l.proseLines(math.MaxInt) {
		for _, m := range quote().FindAllStringSubmatchIndex(line.Content(), -1) {
			name, number := quoted(line.Content(), m)
			r := values[name]
			if r == nil {
				continue
			}
			at := source.Span{Text: line.Text, Start: line.Start + number[0], End: line.Start + number[1]}
			claims := claimsOfText(at.Content())
			if len(claims) == 0 {
				continue
			}
			c := claims[0]
			c.at = source.Span{Text: at.Text, Start: at.Start + c.at.Start, End: at.Start + c.at.End}
			if c.dim != r.Value.Dim || l.isBrought(c) || slices.ContainsFunc(resultFacts(r), c.borneOutBy) ||
				slices.ContainsFunc(said, func(d source.Diagnostic) bool { return d.Span.Text == c.at.Text && d.Span.Start == c.at.Start }) {
				continue
			}
			list.Notef(c.at, CodeQuote, "the text gives %s another value than its cell, which says %s", name, r.Shown()).
				Repair = "correct the number, unless another case is meant"
		}
	}
	return list
}

// quoted returns the name of a quotation, as the notation has it, and where its number is.
func quoted(line string, m []int) (name string, number [2]int) {
	number = [2]int{m[10], m[11]}
	if m[6] >= 0 {
		return notation.Canonical(line[m[6]:m[7]]), number
	}
	letter, index, _ := strings.Cut(line[m[2]:m[3]], "_")
	if command, ok := strings.CutPrefix(letter, `\`); ok {
		letter = notation.Canonical(command)
	}
	if index != "" {
		letter += "_" + texIndex.Replace(index)
	}
	return letter, number
}
