package bigfloat

import (
	"math"
	"math/big"
	"sync"

	"shaftbook/kernel/elementary"
)

// A Func is a function of one variable.
type Func func(x Value) (Value, error)

// order is the number of nodes of the rule, even.
const order = 32

// rule holds the positive nodes of the Gauss–Legendre rule on [−1, 1] with
// their weights.
var rule = sync.OnceValue(func() (r struct{ x, w [order / 2]Value }) {
	for i := range order / 2 {
		x := wide().SetFloat64(elementary.Cos(math.Pi * (float64(i) + 0.75) / (order + 0.5)))
		var slope *big.Float
		for range 8 { // from about 4 digits, doubled each time
			p, d := legendre(x)
			slope = d
			x = wide().Sub(x, wide().Quo(p, d))
		}
		_, slope = legendre(x)
		rest := wide().Sub(fromInt(1), wide().Mul(x, x))
		w := wide().Quo(fromInt(2), wide().Mul(rest, wide().Mul(slope, slope)))
		r.x[i], r.w[i] = mustFinish(x), mustFinish(w)
	}
	return r
})

// legendre returns the Legendre polynomial of the rule's order at x and its
// slope (DLMF 18.9.1 and 18.9.17).
func legendre(x *big.Float) (p, slope *big.Float) {
	before, p := fromInt(1), wide().Set(x)
	for k := int64(2); k <= order; k++ {
		next := wide().Mul(fromInt(2*k-1), wide().Mul(x, p))
		next.Sub(next, wide().Mul(fromInt(k-1), before))
		before, p = p, next.Quo(next, fromInt(k))
	}
	slope = wide().Mul(fromInt(order), wide().Sub(before, wide().Mul(x, p)))
	return p, slope.Quo(slope, wide().Sub(fromInt(1), wide().Mul(x, x)))
}

// maxDepth bounds how often an interval is halved, maxPanels how many there
// may be.
const (
	maxDepth  = 14
	maxPanels = 80
)

// Integrate returns ∫ f dx from a to b by Gauss–Legendre rules of 32 nodes on
// intervals that are halved until a rule agrees with its two halves to 25
// digits; the halves are then good to 33, since the error e of a Gaussian rule
// falls to about e^1.4 or less when the interval is halved (for f analytic
// around it; the slowest case is a pole close to one end), and e^4/3 is what the
// radius is taken from. What is left where the limit of intervals is reached is
// in the radius too, which is an estimate.
//
// It fails as f does, and with ErrConverge if the radius is not below the
// thousandth part of the value.
//
// Source: DLMF 3.5(v).
func Integrate(f Func, a, b Value) (Value, error) {
	if Compare(a, b, 50, 0) == Agrees {
		return Int(0), nil
	}
	whole, err := panel(f, a, b)
	if err != nil {
		return Value{}, err
	}
	q := &quadrature{f: f, scale: math.Abs(whole.Float64()), left: maxPanels}
	sum, err := q.refine(a, b, whole, 0)
	if err != nil {
		return Value{}, err
	}
	sum.rad += q.err
	sum.est = true
	if q.err > q.scale*1e-30 {
		// The halving was cut short, most likely by an end.
		if other, err := doubleExponential(f, a, b); err == nil && other.rad < sum.rad {
			sum = other
		}
	}
	if sum.rad > q.scale/1000 {
		return Value{}, ErrConverge
	}
	return sum, nil
}

type quadrature struct {
	f     Func
	scale float64 // size of the whole, for the tolerance
	err   float64
	left  int // panels that may still be evaluated
}

func (q *quadrature) refine(a, b, whole Value, depth int) (Value, error) {
	sum, err := Add(a, b)
	if err != nil {
		return Value{}, err
	}
	mid, err := Div(sum, Int(2))
	if err != nil {
		return Value{}, err
	}
	q.left -= 2
	left, err := panel(q.f, a, mid)
	if err != nil {
		return Value{}, err
	}
	right, err := panel(q.f, mid, b)
	if err != nil {
		return Value{}, err
	}
	halves, err := Add(left, right)
	if err != nil {
		return Value{}, err
	}
	rest, err := Sub(halves, whole)
	if err != nil {
		return Value{}, err
	}
	difference := math.Abs(rest.Float64())
	q.scale = math.Max(q.scale, math.Abs(halves.Float64()))
	if difference <= q.scale*1e-25 {
		if q.scale > 0 {
			q.err += float64(difference * elementary.Pow(difference/q.scale, 1.0/3))
		}
		return halves, nil
	}
	if q.left < 2 || depth == maxDepth {
		q.err += difference
		return halves, nil
	}
	if left, err = q.refine(a, mid, left, depth+1); err != nil {
		return Value{}, err
	}
	if right, err = q.refine(mid, b, right, depth+1); err != nil {
		return Value{}, err
	}
	return Add(left, right)
}

// panel is the rule on one interval.
func panel(f Func, a, b Value) (Value, error) {
	r := rule()
	sum, err := Add(a, b)
	if err != nil {
		return Value{}, err
	}
	width, err := Sub(b, a)
	if err != nil {
		return Value{}, err
	}
	mid, _ := Div(sum, Int(2))
	half, _ := Div(width, Int(2))
	total := Int(0)
	for i := range r.x {
		offset, err := Mul(half, r.x[i])
		if err != nil {
			return Value{}, err
		}
		both := Int(0)
		for _, node := range []Value{offset, Neg(offset)} {
			x, err := Add(mid, node)
			if err != nil {
				return Value{}, err
			}
			y, err := f(x)
			if err != nil {
				return Value{}, err
			}
			if both, err = Add(both, y); err != nil {
				return Value{}, err
			}
		}
		if both, err = Mul(both, r.w[i]); err != nil {
			return Value{}, err
		}
		if total, err = Add(total, both); err != nil {
			return Value{}, err
		}
	}
	return Mul(total, half)
}
