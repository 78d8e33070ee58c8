package exercises

import (
	"context"
	"math"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// sameTurn is how closely a line with a wrong turn in it must lead to the value of the
// slip, relative to it. Some slips of the catalogue are limits that are approached to
// about 1e-8 (see marking.near).
const sameTurn = 1e-6

// A WrongTurn is a slip at the line of a worked solution where it happens.
type WrongTurn struct {
	Line    int     // from 0
	Says    string  // what the slip is, in a sentence
	Taken   []Taken // given names that were taken wrongly there; none where it was something else
	Symbol  string  // what the line works out
	Factor  float64 // its value after the wrong turn, as a multiple of the right one; 0 for a function
	Outcome float64 // the answer that follows, as a multiple of the right one
}

// Taken is a given name with the value that it was taken to have.
type Taken struct{ Name, Right, Wrong string }

// WrongTurn returns where in the worked solution of a part a slip happens. It is nil
// where that cannot be told: where the slip could stand in several lines, or in none of
// them alone. The relative value is that of the answer, as [Variant.Relative] has it; it
// decides between the values of a slip that has several. The error is for a part that
// does not exist, and ctx.
func (v *Variant) WrongTurn(ctx context.Context, part, slip string, relative float64) (*WrongTurn, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return nil, err
	}
	a, m := v.Structure.Parts[i], v.markers[i]
	s, known := m.SlipNamed(slip)
	solution := v.solutionOf(a)
	if !known || solution == nil || a.Kind != marking.Number || m.Key == nil {
		return nil, nil
	}
	key := turnKey{a.Name, slip, relative}
	found, asked := v.turns[key]
	if asked {
		return onlyTurn(found), nil
	}
	f := turnFinder{ctx: ctx, v: v, a: a, m: m, slip: s, solution: solution, relative: relative}
	if found = f.candidates(); ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if v.turns == nil || len(v.turns) >= mostTurns {
		v.turns = map[turnKey][]WrongTurn{}
	}
	v.turns[key] = found
	return onlyTurn(found), nil
}

// mostTurns bounds the wrong turns that a variant remembers; a learner has a few tries.
const mostTurns = 64

type turnKey struct {
	part, slip string
	relative   float64
}

func onlyTurn(found []WrongTurn) *WrongTurn {
	if len(found) != 1 {
		return nil
	}
	return &found[0]
}

type turnFinder struct {
	ctx      context.Context
	v        *Variant
	a        *Part
	m        *marking.Marker
	slip     *marking.Slip
	solution *Solution
	relative float64
}

// candidates lists the lines in which the slip may have happened.
func (f *turnFinder) candidates() []WrongTurn {
	switch {
	case f.slip.Formula != nil:
		return f.ofFormula()
	case f.slip.Name == "bending-for-torsion":
		return f.ofSection()
	case f.slip.Name == "radians-for-degrees" && f.m.Key.Angle:
		return f.ofUnit()
	}
	turns, err := f.m.Turns(f.ctx, f.slip)
	if err != nil {
		return nil
	}
	var found []WrongTurn
	for _, t := range turns {
		if !f.isGiven(t.Result) {
			continue
		}
		found = append(found, f.ofTurn(t)...)
	}
	return found
}

// isGiven reports whether a value is that of the learner's answer.
func (f *turnFinder) isGiven(value float64) bool {
	right := f.m.Key.Value
	return math.Abs(value-f.relative*right) <= f.a.Tolerance.Widest(value)
}

// ofTurn looks for lines that lead to the value of the slip if given names are taken
// wrongly in that line alone. A line that gives a length on the way to a section, such as
// r = d/2, leaves it open whether the slip is there or where r is used.
func (f *turnFinder) ofTurn(t marking.Turn) []WrongTurn {
	with := map[string]notation.Expr{}
	var taken []Taken
	for i, value := range t.Values {
		g := f.v.Structure.Given[i]
		x, list := notation.ParseExpr(source.NewText("taken", "("+literal(value, f.v.dims[i])+")"))
		if list.HasErrors() {
			return nil
		}
		with[g.Name] = x
	}
	for i, g := range f.v.Structure.Given { // in their order
		if value, ok := t.Values[i]; ok {
			taken = append(taken, Taken{g.Name, f.v.Given[i].Text, likeText(f.v.Given[i].Text, value)})
		}
	}
	var found []WrongTurn
	for n, l := range f.solution.Lines {
		inLine := with
		if fn, ok := l.stmt.(*notation.DefineFunc); ok {
			inLine = map[string]notation.Expr{}
			for name, x := range with {
				inLine[name] = x
			}
			for _, p := range fn.Params {
				delete(inLine, p.Ident)
			}
		}
		formula := replaceFree(l.formula(), inLine)
		if notation.Print(formula) == notation.Print(l.formula()) {
			continue
		}
		if w, ok := f.leads(n, formula, t.Result); ok {
			w.Taken = taken
			found = append(found, w)
		}
	}
	return f.unlessPassedOn(found, t.Result)
}

// unlessPassedOn adds lines that take a value from the line found and would lead to the
// same if that value were changed in the same way there.
func (f *turnFinder) unlessPassedOn(found []WrongTurn, result float64) []WrongTurn {
	if len(found) != 1 || found[0].Factor == 0 {
		return found
	}
	at := found[0]
	name := f.solution.Lines[at.Line].name
	results, list, err := f.v.follow(f.ctx, f.solution)
	if name == "" || err != nil || list.HasErrors() || results[at.Line].Value == nil || results[at.Line].Value.Dim != unit.Base(1, 0, 0) {
		return found
	}
	scaled, problems := notation.ParseExpr(source.NewText("taken", "("+name+"·"+unit.Shortest(at.Factor)+")"))
	if problems.HasErrors() {
		return nil
	}
	for n := at.Line + 1; n < len(f.solution.Lines); n++ {
		formula := f.solution.Lines[n].formula()
		changed := replaceFree(formula, map[string]notation.Expr{name: scaled})
		if notation.Print(changed) == notation.Print(formula) {
			continue
		}
		if w, ok := f.leads(n, changed, result); ok {
			found = append(found, w)
		}
	}
	return found
}

// leads reports whether another formula in one line leads to the value of the slip.
func (f *turnFinder) leads(n int, formula notation.Expr, result float64) (WrongTurn, bool) {
	line, last, ok := f.v.followWith(f.ctx, f.solution, n, formula)
	if !ok || math.Abs(last-result) > sameTurn*math.Abs(result) {
		return WrongTurn{}, false
	}
	w := WrongTurn{Line: n, Says: f.slip.Says, Symbol: f.solution.Lines[n].name, Outcome: result / f.m.Key.Value}
	if right := f.rightAt(n); right != 0 && line != 0 {
		w.Factor = line / right
	}
	if w.Symbol == "" {
		w.Symbol = f.a.Symbol
	}
	return w, true
}

// rightAt returns the right value of a line; 0 for a function.
func (f *turnFinder) rightAt(n int) float64 {
	results, list, err := f.v.follow(f.ctx, f.solution)
	if err != nil || list.HasErrors() || results[n].Value == nil {
		return 0
	}
	return results[n].Value.Number
}

// ofSection looks for the lines that give a polar second moment of area, which the slip
// takes half as large.
func (f *turnFinder) ofSection() []WrongTurn {
	values, err := f.m.SlipValues(f.ctx, f.slip)
	if err != nil || len(values) != 1 {
		return nil
	}
	results, list, err := f.v.follow(f.ctx, f.solution)
	if err != nil || list.HasErrors() {
		return nil
	}
	var found []WrongTurn
	for n, l := range f.solution.Lines {
		isSection := results[n].Value != nil && results[n].Value.Dim == unit.Base(4, 0, 0)
		if !isSection && len(f.solution.Lines) > 1 && !isSectionFunction(l) {
			continue
		}
		for _, factor := range []float64{0.5, 2} { // in a line that is not J itself it may stand below the stroke
			if w, ok := f.leads(n, times(l.formula(), factor), values[0]); ok {
				found = append(found, w)
				break
			}
		}
	}
	return found
}

// isSectionFunction reports whether a line is a function with the letter of the polar
// second moment of area.
func isSectionFunction(l *SolutionLine) bool {
	_, isFunc := l.stmt.(*notation.DefineFunc)
	return isFunc && (l.name == "J" || len(l.name) > 2 && l.name[:2] == "J_")
}

// ofUnit is the slip by which radians get the sign of degrees: it is made where the
// result is read off.
func (f *turnFinder) ofUnit() []WrongTurn {
	values, err := f.m.SlipValues(f.ctx, f.slip)
	if err != nil || len(values) != 1 || math.Abs(values[0]/f.m.Key.Value-math.Pi/180) > sameTurn {
		return nil
	}
	n := len(f.solution.Lines) - 1
	if w, ok := f.leads(n, times(f.solution.Lines[n].formula(), math.Pi/180), values[0]); ok {
		return []WrongTurn{w}
	}
	return nil
}

// times returns an expression times a number.
func times(x notation.Expr, factor float64) notation.Expr {
	number, _ := notation.ParseExpr(source.NewText("factor", unit.Shortest(factor)))
	return &notation.Binary{Op: notation.OpMul, X: &notation.Paren{X: x}, Y: number}
}

// likeText writes a value in the unit of a text.
func likeText(text string, value float64) string {
	x, list := notation.ParseExpr(source.NewText("like", text))
	u := unit.Unit{Factor: 1}
	if q, ok := notation.Unparen(x).(*notation.Quantity); ok && !list.HasErrors() {
		u = q.Unit.Unit
	} else if n, ok := x.(*notation.Unary); ok {
		if q, ok := n.X.(*notation.Quantity); ok {
			u = q.Unit.Unit
		}
	}
	return unit.Format(value, u, unit.Rounding{})
}
