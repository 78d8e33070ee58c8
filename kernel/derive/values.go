package derive

import (
	"context"
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A GivenName is a name for which a reader must choose a value before a
// derivation can be run with numbers.
type GivenName struct {
	Name  string
	Dim   unit.Dimension
	Unit  unit.Unit // to show and read it in
	Whole bool
}

// Givens lists the names that must have values, in the order they are given.
func Givens(cell *notation.DeriveCell, settings Settings) []GivenName {
	j := newJudge(context.Background(), cell, settings)
	j.markCounts()
	var list []GivenName
	for _, v := range j.scope.vars {
		low, high := usual(v.dim)
		u := unit.Choose(math.Sqrt(low*high), v.dim, settings.Prefer, unit.NoHint)
		if v.unit != nil {
			u = *v.unit
		}
		list = append(list, GivenName{v.name.Ident, v.dim, u, v.whole})
	}
	return list
}

// A LineValue is the value of one line for given data.
type LineValue struct {
	Span  source.Span
	Line  int
	Name  string // what the line defines, or "" for a step
	SI    float64
	Text  string
	Err   string // why it has no value; "" if it has one
	Parts bool   // it is a step, and its value is not that of the line above
}

// partsAt is the relative difference at which two lines are said to part.
const partsAt = 1e-12

// Values evaluates every line of a derivation for given data in SI base units.
// Functions, differential statements, what depends on their coordinate, and
// gaps are left out. It
// fails with diagnostics if a name has no value, or one outside the domain.
func Values(ctx context.Context, cell *notation.DeriveCell, data map[string]float64, settings Settings) ([]LineValue, source.List) {
	j := newJudge(ctx, cell, settings)
	j.markCounts()
	p, list := j.data(data)
	if list.HasErrors() {
		return nil, list
	}
	var out []LineValue
	above := math.NaN()
	for _, line := range cell.Lines {
		isStep := repeatsValue(line)
		if d, ok := line.(*notation.DeriveDefine); ok && d.Over == nil {
			if e, restated := j.scope.values[d.Name.Ident]; restated || p[d.Name.Ident] != (bigfloat.Value{}) {
				isStep = true
				above = j.number(e, d.Name, p)
			}
		}
		j.quietLine(line)
		if j.above == nil || isGapOrFunction(line) || !isKnown(j.above.full, p) {
			continue
		}
		v := LineValue{Span: line.Span(), Line: line.Span().Position().Line}
		if d, ok := line.(*notation.DeriveDefine); ok {
			v.Name = d.Name.Ident
			if d.Over != nil {
				v.Name += "/" + d.Over.Ident
			}
		}
		j.eval.left = stepNodes
		x, err := j.eval.value(j.above.full, p)
		if err != nil {
			v.Err, above = describe(err), math.NaN()
			out = append(out, v)
			continue
		}
		v.SI, v.Text = x.Float64(), j.show(x, j.above)
		v.Parts = isStep && math.Abs(v.SI-above) > partsAt*math.Max(math.Abs(v.SI), math.Abs(above))
		above = v.SI
		out = append(out, v)
	}
	return out, list
}

// repeatsValue reports whether a line claims the value of the line above: a
// bound has another, and so has a rounded number.
func repeatsValue(line notation.DeriveLine) bool {
	step, ok := line.(*notation.DeriveStep)
	if !ok || step.Gap || step.Op != notation.OpEqual || step.Left != nil {
		return false
	}
	_, _, isNumber := roundedNumber(step.X)
	return !isNumber
}

// number is the value of a name that a line states again, NaN if it has none.
func (j *judge) number(e notation.Expr, name *notation.Name, p point) float64 {
	if e == nil {
		e = name
	}
	j.eval.left = stepNodes
	x, err := j.eval.value(e, p)
	if err != nil {
		return math.NaN()
	}
	return x.Float64()
}

// isKnown reports whether every name in e has a value; the coordinate of a
// differential statement and the parameter of a function have none.
func isKnown(e notation.Expr, p point) bool {
	for _, n := range notation.FreeNames(e) {
		if _, ok := p[n.Ident]; ok || n.Ident == "π" {
			continue
		}
		if _, builtin := notation.LookupBuiltin(n.Ident); !builtin {
			return false
		}
	}
	return true
}

// data makes a point of the values and checks it against the domain.
func (j *judge) data(data map[string]float64) (point, source.List) {
	p := point{}
	var list source.List
	for _, v := range j.scope.vars {
		f, ok := data[v.name.Ident]
		x, err := bigfloat.Float(f)
		if !ok || err != nil {
			list.Addf(v.name.Span(), CodeNoValue, "%s has no value", v.name.Ident).Repair = "give it one"
			continue
		}
		p[v.name.Ident] = x
	}
	if list.HasErrors() {
		return nil, list
	}
	j.eval.left = stepNodes
	for _, c := range j.scope.domain {
		if holds, err := j.eval.truth(c, p); err == nil && !holds {
			list.Addf(c.Span(), CodeOutsideDomain, "with these values %s does not hold", notation.Print(c)).
				Repair = "choose values for which it does"
		}
	}
	return p, list
}

// Codes of running with numbers.
const (
	// CodeNoValue: a given name was given no value.
	CodeNoValue source.Code = "no-value"
	// CodeOutsideDomain: the values lie outside the stated domain.
	CodeOutsideDomain source.Code = "outside-domain"
)

// quietLine follows a line without judging it.
func (j *judge) quietLine(line notation.DeriveLine) {
	j.quiet = true
	j.line(line)
}

func isGapOrFunction(line notation.DeriveLine) bool {
	switch line := line.(type) {
	case *notation.DeriveStep:
		return line.Gap
	case *notation.DeriveDefine:
		return line.Params != nil || isDifferential(line)
	}
	return true
}

// Part returns the first line that parts from the one above it, or nil.
func Part(values []LineValue) *LineValue {
	for i := range values {
		if values[i].Parts {
			return &values[i]
		}
	}
	return nil
}

// String returns the line as plain text: "line 5: 0.9706 deg".
func (v LineValue) String() string {
	text := v.Text
	if v.Err != "" {
		text = "no value: " + v.Err
	}
	if v.Name != "" {
		text = v.Name + " = " + text
	}
	if v.Parts {
		text += "   (not the value of the line above)"
	}
	return strings.TrimRight(fmt.Sprintf("line %d: %s", v.Line, text), " ")
}
