package num

import (
	"math"
	"sort"
)

// An Extreme is a largest or smallest value and where it is reached.
type Extreme struct {
	X           float64
	Value       float64
	AtEnd       bool // X is an end of the range
	Evaluations int
}

// FindExtreme returns the largest (or smallest) value of f between a and b,
// ends included.
//
// f is looked at in 129 equally spaced points; each of the most promising dips
// or humps (8 at most) is refined by Brent's method, golden sections with
// parabolic steps. The value is good to rounding; the place of an interior
// extreme to about √ulp of the range, since f is flat there. An extreme
// narrower than 1/128 of the range that no point falls on is missed.
//
// Failure: *RangeError, *UndefinedError if f has no finite value at one of the
// points, *UnboundedError near a pole, *BudgetError, or the error of f or Stop.
//
// Source: R.P. Brent, Algorithms for Minimization without Derivatives, 1973,
// chapter 5.
func FindExtreme(f Func, a, b float64, largest bool, o Options) (Extreme, error) {
	if !finite(a) || !finite(b) {
		return Extreme{}, &RangeError{a, b}
	}
	e := newEvaluator(f, o, searchEvaluation)
	s, err := e.scan(a, b)
	if err != nil {
		return Extreme{}, err
	}
	for i, y := range s.y {
		if !finite(y) {
			return Extreme{}, &UndefinedError{Where: s.x[i], Value: y}
		}
	}
	cost := func(y float64) float64 { return y }
	if largest {
		cost = func(y float64) float64 { return -y }
	}
	best := 0
	for i, y := range s.y {
		if cost(y) < cost(s.y[best]) {
			best = i
		}
	}
	found := Extreme{X: s.x[best], Value: s.y[best]}
	for _, d := range s.dips(cost) {
		m, err := e.minimise(d, s, cost)
		if err != nil {
			return Extreme{}, err
		}
		value := cost(m.y) // cost is its own inverse
		if m.singular || math.Abs(value) > 1e6*s.largest {
			return Extreme{}, &UnboundedError{Where: m.x, Value: value}
		}
		if m.y < cost(found.Value) {
			found.X, found.Value = m.x, value
		}
	}
	found.AtEnd = found.X == a || found.X == b
	found.Evaluations = e.count
	return found, nil
}

// A dip is a run of three scan points, the middle one lowest; at the ends of
// the range the middle is one of the outer ones.
type dip struct{ left, middle, right int }

// dips returns the most promising places for a smallest cost, best first for
// more than 8, in order of place otherwise.
func (s scan) dips(cost func(float64) float64) []dip {
	const most = 8
	last := len(s.x) - 1
	var dips []dip
	for i := range s.x {
		left, right := max(i-1, 0), min(i+1, last)
		if left == right || !finite(s.y[left]) || !finite(s.y[i]) || !finite(s.y[right]) {
			continue
		}
		if cost(s.y[i]) <= cost(s.y[left]) && cost(s.y[i]) <= cost(s.y[right]) {
			dips = append(dips, dip{left, i, right})
		}
	}
	if len(dips) > most {
		sort.SliceStable(dips, func(i, j int) bool {
			return cost(s.y[dips[i].middle]) < cost(s.y[dips[j].middle])
		})
		dips = dips[:most]
	}
	return dips
}

// A minimum is the lowest cost found in a dip.
type minimum struct {
	x, y     float64 // y is the cost
	singular bool    // a value that is not finite was met on the way
}

// minimise is Brent's method on the interval of a dip: a parabola through the
// three lowest points if its step is small enough, a golden section otherwise.
// It goes on to a few ulps of the place, which a kink needs; a smooth minimum is
// flat long before, and gains or loses nothing.
func (e *evaluator) minimise(d dip, s scan, cost func(float64) float64) (minimum, error) {
	const golden = 0.3819660112501051 // (3 − √5)/2
	lo, hi := s.x[d.left], s.x[d.right]
	if lo > hi {
		lo, hi = hi, lo
	}
	low := minimum{x: s.x[d.middle], y: cost(s.y[d.middle])}
	x := low.x
	if x == lo || x == hi {
		x = lo + float64(golden*(hi-lo))
	}
	v, w := x, x
	fx := low.y
	if x != low.x {
		y, err := e.one(x)
		if err != nil {
			return low, err
		}
		fx = cost(y)
	}
	fv, fw := fx, fx
	var step, before float64
	for range 100 {
		if !finite(fx) {
			low.singular, low.x, low.y = true, x, fx
			return low, nil
		}
		if fx < low.y {
			low.x, low.y = x, fx
		}
		middle := float64(lo/2) + float64(hi/2)
		tolerance := float64(2*spacing(x)) + float64(ulp*math.Abs(s.x[d.right]-s.x[d.left])/16)
		if math.Abs(x-middle) <= float64(2*tolerance)-float64((hi-lo)/2) {
			break
		}
		parabola, ok := parabolicStep(x, w, v, fx, fw, fv)
		if ok && math.Abs(parabola) < math.Abs(before/2) && x+parabola > lo && x+parabola < hi {
			before, step = step, parabola
			if x+step-lo < 2*tolerance || hi-x-step < 2*tolerance {
				step = math.Copysign(tolerance, middle-x)
			}
		} else {
			before = hi - x
			if x >= middle {
				before = lo - x
			}
			step = golden * before
		}
		u := x + step
		if math.Abs(step) < tolerance {
			u = x + math.Copysign(tolerance, step)
		}
		y, err := e.one(u)
		if err != nil {
			return low, err
		}
		fu := cost(y)
		if !finite(fu) {
			low.singular, low.x, low.y = true, u, fu
			return low, nil
		}
		if fu <= fx {
			if u >= x {
				lo = x
			} else {
				hi = x
			}
			v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
			continue
		}
		if u < x {
			lo = u
		} else {
			hi = u
		}
		if fu <= fw || w == x {
			v, fv, w, fw = w, fw, u, fu
		} else if fu <= fv || v == x || v == w {
			v, fv = u, fu
		}
	}
	if fx < low.y {
		low.x, low.y = x, fx
	}
	return low, nil
}

// parabolicStep returns the step from x to the vertex of the parabola through
// three points; not ok if there is none.
func parabolicStep(x, w, v, fx, fw, fv float64) (float64, bool) {
	r := float64((x - w) * (fx - fv))
	q := float64((x - v) * (fx - fw))
	p := float64((x-v)*q) - float64((x-w)*r)
	q = float64(2 * (q - r))
	if q == 0 {
		return 0, false
	}
	return -p / q, finite(p / q)
}
