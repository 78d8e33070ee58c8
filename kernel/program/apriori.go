package program

import (
	"maps"
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// A reckoned value is what a formula comes to in float64 arithmetic for all
// values of a counter at once: the exact values lie in b, and each float64 is
// within off of its exact value.
//
// This is running error analysis with intervals for the sizes: N.J. Higham,
// Accuracy and Stability of Numerical Algorithms, 2nd ed., SIAM 2002, section
// 3.3 (from memory).
type reckoned struct {
	b   interval.Interval
	off float64
}

// A reckoner bounds the rounding of the terms of a sum, so that a sum of many
// terms is enclosed without looking at each. It knows plain formulas; ok is
// false for any other.
type reckoner struct {
	w     *walker
	names []map[string]reckoned
}

const (
	smallest = 5e-324   // the least float64: what an underflow may lose
	upward   = 1 + 1e-9 // takes up the rounding of the bounds themselves
	function = 6 * roundoff
	// closeParameter is the largest relative width of a name for which a sum is
	// bounded by its middle.
	closeParameter = 1e-9
)

func size(b interval.Interval) float64 { return max(math.Abs(b.Lo), math.Abs(b.Hi)) }

// least returns the least size of a number in b.
func least(b interval.Interval) float64 {
	if b.Contains(0) {
		return 0
	}
	return min(math.Abs(b.Lo), math.Abs(b.Hi))
}

// rounded adds the rounding of one operation, in units of roundoff, to a bound.
func rounded(b interval.Interval, err error, off, units float64) (reckoned, bool) {
	off = float64(off) // callers pass products
	off = float64((off + float64(units*(size(b)+off)) + smallest) * upward)
	return reckoned{b, off}, err == nil && finite(off)
}

// known is a number that is held as a float64 within a bracket.
func known(b interval.Interval, x float64) reckoned {
	return reckoned{interval.Hull(b, interval.Interval{Lo: x, Hi: x}), max(b.Hi-x, x-b.Lo, 0) * upward}
}

func (r *reckoner) value(e notation.Expr) (reckoned, bool) {
	if err := r.w.run.charge(costEnclosed); err != nil {
		return reckoned{}, r.w.failLimit(e, err)
	}
	switch e := e.(type) {
	case *notation.Number:
		b, ok := r.w.encloseNumber(e)
		return known(b, e.Value), ok
	case *notation.Quantity:
		b, ok := r.w.encloseQuantity(e)
		return known(b, e.Unit.Unit.SI(e.Number.Value)), ok
	case *notation.Name:
		return r.name(e)
	case *notation.Paren:
		return r.value(e.X)
	case *notation.Abs:
		x, ok := r.value(e.X)
		return reckoned{interval.Abs(x.b), x.off}, ok
	case *notation.Unary:
		x, ok := r.value(e.X)
		if e.Op == notation.OpNeg {
			x.b = interval.Neg(x.b)
		}
		return x, ok
	case *notation.Root:
		return r.function("sqrt", e.X)
	case *notation.Binary:
		return r.binary(e)
	case *notation.Call:
		return r.call(e)
	}
	return reckoned{}, false
}

func (r *reckoner) name(e *notation.Name) (reckoned, bool) {
	if x, ok := r.names[len(r.names)-1][e.Ident]; ok {
		return x, true
	}
	object, ok := r.w.scope.Lookup(e.Ident)
	if !ok {
		return known(interval.Pi, math.Pi), e.Ident == "π"
	}
	x, ok := object.(Scalar)
	if !ok {
		return reckoned{}, false
	}
	b, ok := r.w.encloseName(e)
	return known(b, float64(x)), ok
}

func (r *reckoner) binary(e *notation.Binary) (reckoned, bool) {
	x, ok := r.value(e.X)
	if !ok {
		return x, false
	}
	if e.Op == notation.OpPow {
		return r.power(x, e.Y)
	}
	y, ok := r.value(e.Y)
	if !ok {
		return y, false
	}
	switch e.Op {
	case notation.OpAdd:
		b, err := interval.Add(x.b, y.b)
		return rounded(b, err, x.off+y.off, roundoff)
	case notation.OpSub:
		b, err := interval.Sub(x.b, y.b)
		return rounded(b, err, x.off+y.off, roundoff)
	case notation.OpMul:
		b, err := interval.Mul(x.b, y.b)
		return rounded(b, err, float64(size(x.b)*y.off)+float64(size(y.b)*x.off)+float64(x.off*y.off), roundoff)
	}
	near := least(y.b) - y.off
	if near <= 0 {
		return reckoned{}, false
	}
	b, err := interval.Div(x.b, y.b)
	return rounded(b, err, (x.off+float64(size(b)*y.off))/near, roundoff)
}

// power bounds a power with a small whole exponent, which is multiplied out.
func (r *reckoner) power(x reckoned, exponent notation.Expr) (reckoned, bool) {
	q, ok := notation.StaticRational(exponent, noDefinitions)
	if !ok || !q.IsInt() || !q.Num().IsInt64() {
		return reckoned{}, false
	}
	n := q.Num().Int64()
	if n > largestPower || n < -largestPower {
		return reckoned{}, false
	}
	m := max(n, -n)
	b, err := interval.PowInt(x.b, int(m))
	reach := size(x.b) + x.off
	off := float64(m) * elementary.Pow(reach, float64(m-1)) * x.off * upward
	p, ok := rounded(b, err, off, float64(2*m)*roundoff)
	if n >= 0 || !ok {
		return p, ok
	}
	near := least(p.b) - p.off
	if near <= 0 {
		return p, false
	}
	b, err = interval.Div(point(1), p.b)
	return rounded(b, err, size(b)*p.off/near, roundoff)
}

func (r *reckoner) call(e *notation.Call) (reckoned, bool) {
	if len(e.Args) == 1 {
		if x, ok := r.function(e.Fun.Ident, e.Args[0]); ok {
			return x, true
		}
	}
	object, _ := r.w.scope.Lookup(e.Fun.Ident)
	f, ok := object.(*Function)
	if !ok || len(f.Params) != len(e.Args) || len(r.names) > deepestCall {
		return reckoned{}, false
	}
	names := make(map[string]reckoned, len(e.Args))
	for i, a := range e.Args {
		x, ok := r.value(a)
		if !ok {
			return x, false
		}
		names[f.Params[i]] = x
	}
	r.names = append(r.names, names)
	x, ok := r.value(f.Body)
	r.names = r.names[:len(r.names)-1]
	return x, ok
}

// function bounds the functions whose slope is known in size.
func (r *reckoner) function(name string, arg notation.Expr) (reckoned, bool) {
	f, ok := bracketFunctions[name]
	if !ok {
		return reckoned{}, false
	}
	x, ok := r.value(arg)
	if !ok {
		return x, false
	}
	b, err := f(x.b)
	if err != nil {
		return x, false
	}
	switch name {
	case "abs":
		return reckoned{b, x.off}, true
	case "sqrt":
		near := x.b.Lo - x.off
		return rounded(b, nil, x.off/math.Sqrt(near), roundoff) // no number if near ≤ 0
	case "exp":
		return rounded(b, nil, size(b)*elementary.Expm1(x.off)*upward, function)
	case "ln":
		return rounded(b, nil, x.off/(x.b.Lo-x.off), function*(1+1/max(least(b), smallest)))
	case "sin", "cos":
		return rounded(b, nil, x.off+float64(function*(1+size(x.b))), function)
	case "atan":
		return rounded(b, nil, x.off, function)
	}
	return reckoned{}, false
}

// fewTerms is up to how many terms of a sum are enclosed one by one, which is
// tighter.
const fewTerms = 8

// closeSum is the relative error at which a sum is known well enough not to look
// at its terms in parts.
const closeSum = 1e-12

// reckonedSum encloses a sum whose names are all but exact by its float64 value
// and a bound of all rounding in it. ok is false where no bound is known.
func (w *walker) reckonedSum(e *notation.Bind, first, n int64) (interval.Interval, bool) {
	names, ok := w.nearNames()
	if !ok {
		return interval.Interval{}, false
	}
	problem := w.problem
	off, ok := w.termError(e, names, first, first+n-1)
	if !ok {
		w.problem = problem
		return interval.Interval{}, false
	}
	body, caps, ok := w.body(e)
	if !ok {
		w.problem = problem
		return interval.Interval{}, false
	}
	for i, l := range w.locals[w.base:] {
		if l.isBracket {
			caps[i] = singleOf(l.b)
		}
	}
	x, err := body.reduce(w.run, caps, first, n, false, func(float64) (float64, error) { return 0, errFailed })
	if err != nil || !finite(x) {
		return interval.Interval{}, false
	}
	bound := off.total(n)
	if bound > closeSum*math.Abs(x) {
		if parts, ok := w.errorInParts(e, names, first, n); ok {
			bound = min(bound, parts.total(n))
		}
	}
	return interval.Interval{Lo: math.Nextafter(x-bound, math.Inf(-1)), Hi: math.Nextafter(x+bound, math.Inf(1))}, finite(bound)
}

// nearNames returns the visible names with their float64; ok is false if one is
// a bracket of some width.
func (w *walker) nearNames() (map[string]reckoned, bool) {
	names := map[string]reckoned{}
	for _, l := range w.locals[w.base:] {
		x, b := l.x, widened(l.x)
		if l.isBracket {
			x, b = singleOf(l.b), l.b
		}
		if b.Hi-b.Lo > closeParameter*math.Abs(x) {
			return nil, false
		}
		names[l.name] = known(b, x)
	}
	return names, true
}

// A sumError bounds the rounding of terms: what they are off by, and the sum of
// their sizes.
type sumError struct{ off, size float64 }

// total adds the rounding of the additions: in whatever order, n terms are off by
// less than n roundings of the sum of their sizes (Higham, section 4.2).
func (s sumError) total(n int64) float64 {
	return (s.off + float64(float64(n)*roundoff*(s.size+s.off))) * upward
}

// termError bounds the terms from first to last, all at once.
func (w *walker) termError(e *notation.Bind, names map[string]reckoned, first, last int64) (sumError, bool) {
	r := reckoner{w: w, names: []map[string]reckoned{maps.Clone(names)}}
	r.names[0][e.Var.Ident] = reckoned{b: interval.Interval{Lo: float64(first), Hi: float64(last)}}
	term, ok := r.value(e.Body)
	count := float64(last - first + 1)
	return sumError{count * term.off * upward, count * size(term.b) * upward}, ok && finite(count*term.off)
}

// errorInParts bounds the terms in parts over which the counter at most doubles,
// so that large terms and small ones are not taken for one another.
func (w *walker) errorInParts(e *notation.Bind, names map[string]reckoned, first, n int64) (sumError, bool) {
	var sum sumError
	last := first + n - 1
	for from := first; from <= last; {
		to := min(last, from+max(from, -from, 1)-1)
		if from < 0 {
			to = min(last, from/2-1)
		}
		to = max(to, from)
		part, ok := w.termError(e, names, from, to)
		if !ok {
			return sum, false
		}
		sum.off, sum.size = sum.off+part.off, sum.size+part.size
		from = to + 1
	}
	return sum, true
}
