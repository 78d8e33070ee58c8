package exercises

import (
	"math"

	"shaftbook/kernel/notation"
)

// A factor is one factor of a solution that is written as one product, with the line
// that it comes from.
type factor struct {
	text  string // canonical
	below bool   // the stroke
	line  int    // -1 for a factor of a wrong formula
	mixed bool   // it holds names that other lines define
}

// ofFormula looks for the line that a wrong formula differs in: both are taken apart into
// factors, and the factors of the right one that the wrong one lacks must all come from
// one line. Constant factors that were added are not told apart: they may be of any line.
func (f *turnFinder) ofFormula() []WrongTurn {
	values, err := f.m.SlipValues(f.ctx, f.slip)
	if err != nil || len(values) != 1 || !f.isGiven(values[0]) {
		return nil
	}
	p := productReader{lines: f.solution.Lines, last: map[string]int{}}
	for n, l := range f.solution.Lines {
		if l.name != "" {
			p.last[l.name] = n
		}
	}
	n := len(p.lines) - 1
	right := p.factors(p.lines[n].formula(), n, false, deepest)
	wrong := (&productReader{}).factors(f.slip.Formula, -1, false, deepest)
	line, ok := onlyLine(right, wrong)
	if !ok {
		return nil
	}
	ratio := values[0] / f.m.Key.Value
	for _, power := range []float64{1, -1, 0.5, -0.5, 0.25, -0.25, 1. / 3, -1. / 3, 2, -2, 3, -3, 4, -4} {
		if ratio < 0 && power != math.Trunc(power) {
			continue
		}
		if w, ok := f.leads(line, times(p.lines[line].formula(), math.Pow(ratio, power)), values[0]); ok {
			return []WrongTurn{w}
		}
	}
	return nil
}

// onlyLine returns the one line that all factors come from which the wrong product lacks.
func onlyLine(right, wrong []factor) (line int, ok bool) {
	left := map[[2]any]int{}
	for _, w := range wrong {
		left[[2]any{w.text, w.below}]++
	}
	lines := map[int]bool{}
	origins := map[[2]any]map[int]bool{}
	for _, r := range right {
		key := [2]any{r.text, r.below}
		if origins[key] == nil {
			origins[key] = map[int]bool{}
		}
		origins[key][r.line] = true
	}
	for _, r := range right {
		key := [2]any{r.text, r.below}
		if left[key] > 0 {
			left[key]--
			continue
		}
		if r.mixed || len(origins[key]) > 1 {
			return 0, false
		}
		lines[r.line] = true
	}
	if len(lines) != 1 {
		return 0, false
	}
	for line = range lines {
	}
	return line, true
}

type productReader struct {
	lines []*SolutionLine
	last  map[string]int
}

// factors takes a product apart. A name that a line works out is replaced by what that
// line says.
func (p *productReader) factors(x notation.Expr, line int, below bool, left int) []factor {
	switch x := x.(type) {
	case *notation.Paren:
		return p.factors(x.X, line, below, left)
	case *notation.Name:
		if n, ok := p.last[x.Ident]; ok && left > 0 {
			return p.factors(p.lines[n].formula(), n, below, left-1)
		}
	case *notation.Unary:
		if x.Op == notation.OpNeg {
			return append(p.factors(x.X, line, below, left), factor{text: "−1", line: line})
		}
	case *notation.Binary:
		if x.Op == notation.OpMul || x.Op == notation.OpDiv {
			first := p.factors(x.X, line, below, left)
			return append(first, p.factors(x.Y, line, below != (x.Op == notation.OpDiv), left)...)
		}
	}
	whole := factor{text: notation.Print(x), below: below, line: line}
	for _, name := range notation.FreeNames(x) {
		if _, ok := p.last[name.Ident]; ok {
			whole.mixed = true
		}
	}
	return []factor{whole}
}
