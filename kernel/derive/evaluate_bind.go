package derive

import (
	"errors"
	"maps"
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// maxTerms bounds a sum.
const maxTerms = 20_000

var errWhole = errors.New("a sum does not run between whole numbers")

// bind evaluates the forms that bind a name.
func (v *evaluator) bind(e *notation.Bind, p point) (bigfloat.Value, error) {
	inner := maps.Clone(p)
	f := func(x bigfloat.Value) (bigfloat.Value, error) {
		inner[e.Var.Ident] = x
		return v.value(e.Body, inner)
	}
	switch e.Kind {
	case notation.Limit:
		return v.limit(e, p, f)
	case notation.Derivative:
		slope, err := algebra.Derivative(e.Body, e.Var.Ident, nil)
		if err != nil {
			return bigfloat.Value{}, errForm
		}
		return v.value(put(slope, e.Var.Ident, e.From), p)
	case notation.Largest, notation.Smallest:
		return bigfloat.Value{}, errForm
	}
	from, err := v.value(e.From, p)
	if err != nil {
		return from, err
	}
	to, err := v.value(e.To, p)
	if err != nil {
		return to, err
	}
	switch e.Kind {
	case notation.Integral:
		return bigfloat.Integrate(f, from, to)
	case notation.FindRoot:
		return bigfloat.Root(f, from, to)
	}
	return series(e.Kind, f, from, to)
}

// series adds or multiplies the terms. From a to a−1 there is nothing to add.
func series(kind notation.BindKind, f bigfloat.Func, from, to bigfloat.Value) (bigfloat.Value, error) {
	a, ok1 := from.Whole()
	b, ok2 := to.Whole()
	if !ok1 || !ok2 {
		return bigfloat.Value{}, errWhole
	}
	if b-a >= maxTerms {
		return bigfloat.Value{}, errBudget
	}
	join, total := bigfloat.Add, bigfloat.Int(0)
	if kind == notation.Product {
		join, total = bigfloat.Mul, bigfloat.Int(1)
	}
	for i := a; i <= b; i++ {
		x, err := f(bigfloat.Int(i))
		if err != nil {
			return x, err
		}
		if total, err = join(total, x); err != nil {
			return total, err
		}
	}
	return total, nil
}

// limit extrapolates: towards ∞ in 1/x, through whole numbers; towards a
// finite value from above, and from below where that has no value.
func (v *evaluator) limit(e *notation.Bind, p point, f bigfloat.Func) (bigfloat.Value, error) {
	if end, ok := e.From.(*notation.Infinity); ok {
		sign := int64(1)
		if end.Sign < 0 {
			sign = -1
		}
		step := int64(256)
		if countsTerms(e.Body, e.Var.Ident) {
			step = 4 // every term costs
		}
		h, err := bigfloat.Div(bigfloat.Int(sign), bigfloat.Int(step))
		if err != nil {
			return h, err
		}
		return bigfloat.Extrapolate(func(x bigfloat.Value) (bigfloat.Value, error) {
			n, err := bigfloat.Div(bigfloat.Int(1), x)
			if err != nil {
				return n, err
			}
			if whole, ok := n.Whole(); ok {
				n = bigfloat.Int(whole)
			}
			return f(n)
		}, h)
	}
	end, err := v.value(e.From, p)
	if err != nil {
		return end, err
	}
	var result bigfloat.Value
	for _, side := range []float64{1, -1} {
		h, hErr := bigfloat.Float(side * math.Max(math.Abs(end.Float64())/16, 0))
		if end.Sign() == 0 {
			h, hErr = bigfloat.Float(side / 16)
		}
		if hErr != nil {
			return h, hErr
		}
		result, err = bigfloat.Extrapolate(func(x bigfloat.Value) (bigfloat.Value, error) {
			moved, err := bigfloat.Add(end, x)
			if err != nil {
				return moved, err
			}
			return f(moved)
		}, h)
		if err == nil {
			return result, nil
		}
	}
	return result, err
}
