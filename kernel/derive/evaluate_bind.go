package derive

import (
	"errors"
	"maps"
	"math"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// maxTerms bounds a sum.
const maxTerms = 20_000

var errFactorial = errors.New("n! has a value only for the whole numbers from 0 on")

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
		return v.slope(e, p)
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
		return v.integrate(e, inner, f, from, to)
	case notation.FindRoot:
		return oneRoot(f, from, to)
	}
	if _, ok := notation.IsFactorial(e); ok {
		if _, whole := to.Whole(); !whole || to.Sign() < 0 {
			return bigfloat.Value{}, errFactorial
		}
	}
	return series(e.Kind, f, from, to)
}

var errRoots = errors.New("there are several roots in the range, so it does not say which is meant")

// rootCells are the parts of a range that are looked at for more than one root.
const rootCells = 16

// oneRoot finds a root, unless there is more than one: both ends of the range are roots,
// or the sign changes more than once.
func oneRoot(f bigfloat.Func, from, to bigfloat.Value) (bigfloat.Value, error) {
	roots, before := 0, 0
	for i := range rootCells + 1 {
		x, err := between(from, to, float64(i)/rootCells)
		if err != nil {
			return x, err
		}
		y, err := f(x)
		if err != nil {
			if errors.Is(err, errBudget) {
				return y, err
			}
			before = 0
			continue
		}
		sign := y.Sign()
		if sign == 0 || before*sign < 0 {
			roots++
		}
		if before = sign; roots > 1 {
			return x, errRoots
		}
	}
	return bigfloat.Root(f, from, to)
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

// limit extrapolates. Towards ∞ it does so in 1/x along several sequences, so
// that what swings from one number to the next is not taken to settle; towards a
// finite value from both sides, unless the expression has no value on one.
func (v *evaluator) limit(e *notation.Bind, p point, f bigfloat.Func) (bigfloat.Value, error) {
	end, ok := e.From.(*notation.Infinity)
	if !ok {
		return v.limitFromBothSides(e, p, f)
	}
	steps := []float64{256, 255, 257.382}
	if countsTerms(e.Body, e.Var.Ident) {
		steps = []float64{4, 5} // every term costs
	}
	if end.Sign < 0 {
		for i := range steps {
			steps[i] = -steps[i]
		}
	}
	results := make([]bigfloat.Value, len(steps))
	for i, step := range steps {
		along, err := alongReciprocals(f, step)
		if err != nil {
			return along, err
		}
		results[i] = along
	}
	return together(results)
}

// alongReciprocals extrapolates f(step·j) to j → ∞.
func alongReciprocals(f bigfloat.Func, step float64) (bigfloat.Value, error) {
	size, err := bigfloat.Float(step)
	if err != nil {
		return size, err
	}
	h, err := bigfloat.Div(bigfloat.Int(1), size)
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

func (v *evaluator) limitFromBothSides(e *notation.Bind, p point, f bigfloat.Func) (bigfloat.Value, error) {
	end, err := v.value(e.From, p)
	if err != nil {
		return end, err
	}
	size := math.Abs(end.Float64()) / 16
	if end.Sign() == 0 {
		size = 1.0 / 16
	}
	var results []bigfloat.Value
	for _, side := range []float64{size, -size, size * 0.7317, -size * 0.7317} {
		h, err := bigfloat.Float(side)
		if err != nil {
			return h, err
		}
		from, err := bigfloat.Extrapolate(func(x bigfloat.Value) (bigfloat.Value, error) {
			moved, err := bigfloat.Add(end, x)
			if err != nil {
				return moved, err
			}
			return f(moved)
		}, h)
		switch {
		case err == nil:
			results = append(results, from)
		case errors.Is(err, bigfloat.ErrDomain): // no value on this side
		default:
			return from, err
		}
	}
	if len(results) == 0 {
		return bigfloat.Value{}, bigfloat.ErrDomain
	}
	return together(results)
}

// together returns the first of several values if they are the same limit.
func together(list []bigfloat.Value) (bigfloat.Value, error) {
	for _, other := range list[1:] {
		difference, err := bigfloat.Sub(list[0], other)
		if err != nil {
			return difference, err
		}
		scale := math.Max(math.Abs(list[0].Float64()), math.Abs(other.Float64()))
		if math.Abs(difference.Float64()) > float64(1e-8*scale)+float64(1000*(list[0].Radius()+other.Radius())) {
			return list[0], bigfloat.ErrConverge
		}
	}
	return list[0], nil
}
