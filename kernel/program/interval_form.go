package program

import (
	"errors"
	"math"

	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

// encloseForm evaluates a form that binds a name by interval arithmetic.
func (w *walker) encloseForm(e *notation.Bind) (interval.Interval, bool) {
	switch e.Kind {
	case notation.FindRoot:
		if !w.formHoldsBracket(e) {
			return w.encloseRoot(e)
		}
		w.failAt(e.Span(), CodeBracketUse, "look for the root with low(…) and with high(…) of the brackets, or enclose the formula itself",
			"a root of a formula with brackets is not looked for: where the formula may be zero is a range, and its ends are not the roots at the ends")
		return interval.Interval{}, false
	case notation.Limit:
		return interval.Interval{}, w.fail(e, CodeUnknown, "a limit can be used only in a derivation")
	case notation.Derivative:
		return w.encloseDerivative(e)
	}
	if e.Kind == notation.Integral || e.Kind == notation.Largest || e.Kind == notation.Smallest {
		if b, known, ok := w.encloseSurely(e); known || !ok {
			return b, ok
		}
	}
	from, to, ok := w.bounds(e)
	if !ok {
		return interval.Interval{}, false
	}
	switch e.Kind {
	case notation.Sum, notation.Product:
		return w.encloseCounted(e, from, to)
	case notation.Integral:
		return w.encloseIntegral(e, from, to)
	}
	return w.encloseExtreme(e, from, to)
}

// encloseSurely encloses an integral or an extreme by package certify. known is
// false where that gives no enclosure, and another way may.
func (w *walker) encloseSurely(e *notation.Bind) (b interval.Interval, known, ok bool) {
	for _, bound := range []notation.Expr{e.From, e.To} {
		if w.holdsBracket(bound) {
			return b, false, true // bounds will say what is wrong
		}
	}
	f, params := w.certified(e, true)
	if f.doubtful != nil {
		return b, false, w.failUncertain(f.doubtOf, f.doubtful)
	}
	for i, name := range f.params {
		if l, _ := w.lookup(name); !l.isBracket {
			params[i] = widened(l.x)
		}
	}
	v, err := f.enclose(w.run, params)
	var diverges *certify.DivergentError
	switch {
	case errors.As(err, &diverges):
		return b, false, w.failSearch(e, &num.DivergentError{Where: diverges.Where, Exponent: diverges.Exponent, Proven: true})
	case err != nil:
		return b, false, w.failLimit(e, err)
	}
	return v.Interval(), v.Certain, true
}

// encloseRoot encloses the root of a formula without brackets.
func (w *walker) encloseRoot(e *notation.Bind) (interval.Interval, bool) {
	f, params := w.certified(e, true)
	if f.doubtful != nil {
		return interval.Interval{}, w.failUncertain(f.doubtOf, f.doubtful)
	}
	v, err := f.enclose(w.run, params)
	switch {
	case errors.Is(err, certify.ErrNoRoot):
		return interval.Interval{}, w.fail(e, CodeRoot, "this formula is never zero")
	case err != nil:
		return interval.Interval{}, w.failLimit(e, err)
	case !v.Certain:
		return interval.Interval{}, w.fail(e, CodeUncertain, "no bracket of this root is certain: %s, near %s", v.Reason, place(e, v.Where))
	}
	return v.Interval(), true
}

// bounds encloses the ends of a range, which must be single numbers: an end that is
// known within bounds alone makes what the form comes to no better known.
func (w *walker) bounds(e *notation.Bind) (from, to interval.Interval, ok bool) {
	for _, bound := range []notation.Expr{e.From, e.To} {
		if _, infinite := notation.Unparen(bound).(*notation.Infinity); infinite {
			return from, to, w.fail(e, CodeIntegral, "this integral to infinity could not be enclosed")
		}
		if w.holdsBracket(bound) {
			w.failAt(bound.Span(), CodeBracketUse, "take mid(…), low(…) or high(…) of it", "a limit must be one value, not a bracket: %s", w.piece(bound))
			return from, to, false
		}
	}
	if from, ok = w.interval(e.From); !ok {
		return from, to, false
	}
	to, ok = w.interval(e.To)
	return from, to, ok
}

// over evaluates the body with the bound name standing for all of a bracket.
func (w *walker) over(e *notation.Bind, body notation.Expr, x interval.Interval) (interval.Interval, bool) {
	if err := w.run.spend(1, costEnclosed); err != nil {
		return x, w.failLimit(e, err)
	}
	mark := len(w.locals)
	w.locals = append(w.locals, local{name: e.Var.Ident, x: x.Lo, b: x, isBracket: true, single: x.IsPoint(), sliced: !x.IsPoint(), form: e})
	b, ok := w.interval(body)
	w.locals = w.locals[:mark]
	return b, ok
}

// try is over for attempts that may fail: the failure is forgotten unless it
// is a limit.
func (w *walker) try(e *notation.Bind, body notation.Expr, x interval.Interval) (interval.Interval, bool) {
	b, ok := w.over(e, body, x)
	if !ok && w.limit == nil {
		w.problem = nil
	}
	return b, ok
}

func (w *walker) encloseCounted(e *notation.Bind, from, to interval.Interval) (interval.Interval, bool) {
	first, n, problem := count(from.Mid(), to.Mid())
	if problem != "" {
		bound, value := e.From, from
		if problem == "to" {
			bound, value = e.To, to
		}
		return interval.Interval{}, w.failBound(e, bound, value.Mid())
	}
	for i, end := range [...]interval.Interval{from, to} {
		if !countsAsOne(end) {
			bound := [...]notation.Expr{e.From, e.To}[i]
			w.failAt(bound.Span(), CodeUncertain, "take round(…) or floor(…) of it where that is meant", "how many terms this %s has is not certain: %s lies between %s and %s",
				e.Kind, w.piece(bound), digits(end.Lo), digits(end.Hi))
			return interval.Interval{}, false
		}
	}
	if e.Kind == notation.Sum && n > fewTerms && !w.holdsBracket(e.Body) {
		if b, ok := w.reckonedSum(e, first, n); ok {
			return b, true
		}
	}
	if err := w.run.afford(n, costEnclosed); err != nil {
		return interval.Interval{}, w.failLimit(e, err)
	}
	var sum interval.Sum
	product := interval.Interval{Lo: 1, Hi: 1}
	for k := range n {
		i := float64(first + k)
		term, ok := w.over(e, e.Body, interval.Interval{Lo: i, Hi: i})
		if !ok {
			return term, false
		}
		if k%reportEvery == 0 {
			w.run.report(float64(k)/float64(n), e.Kind.String())
		}
		if e.Kind == notation.Sum {
			sum.Add(term)
			continue
		}
		var err error
		if product, err = interval.Mul(product, term); !w.sound(e, e.Body, err) {
			return product, false
		}
	}
	if e.Kind == notation.Product {
		return product, true
	}
	b, err := sum.Value()
	return b, w.sound(e, e, err)
}

// Slices of a guaranteed integral: doubled from the fewest until a doubling
// takes less than a hundredth off the width, or the width is no wider than
// rounding makes it anyway. Where each doubling only halves the width, as without a
// slope, the last of them is the one that counts, and those between are left out.
const (
	fewestSlices = 16
	mostSlices   = 4096
	worthwhile   = 0.99
	narrowEnough = 1e-13
	steadyFrom   = 64 // slices from which a halving is taken to go on
)

// encloseIntegral encloses an integral by slices. A slice of width h with
// middle m holds
//
//	h·F(slice)   and   h·F(m) + [F′]·h²/8·[−1, 1]
//
// where F and F′ are the interval extensions of the body and its symbolic
// derivative and [F′] is the spread of F′ over the slice (mean value theorem);
// their intersection is taken.
//
// Source: R.E. Moore, R.B. Kearfott, M.J. Cloud, Introduction to Interval
// Analysis, SIAM 2009, chapter 9 (from memory).
//
// Where an end is known only to lie within bounds, it adds from its float64 on what the
// body may be between them times how far it may be off.
func (w *walker) encloseIntegral(e *notation.Bind, from, to interval.Interval) (interval.Interval, bool) {
	at := [...]float64{w.heldWithin(e.From, from), w.heldWithin(e.To, to)}
	b, ok := w.encloseBetweenPoints(e, at[0], at[1])
	for i, end := range [...]interval.Interval{from, to} {
		if !ok || end.IsPoint() {
			continue
		}
		var part interval.Interval
		if part, ok = w.overEnd(e, end, at[i]); !ok {
			return part, false
		}
		off, err := interval.Sub(end, point(at[i]))
		if err == nil {
			part, err = interval.Mul(part, off)
		}
		if i == 0 {
			part = interval.Neg(part)
		}
		if err == nil {
			b, err = interval.Add(b, part)
		}
		ok = w.sound(e, e.Body, err)
	}
	return b, ok
}

// overEnd evaluates the body over the bounds of an end. Where they are apart by the
// rounding of a decimal alone, the body may have a value on one side of the decimal
// only, as the diameter of a shaft has none a rounding beyond its length: then it is
// taken at a place in it, which stands for the decimal.
func (w *walker) overEnd(e *notation.Bind, end interval.Interval, at float64) (interval.Interval, bool) {
	if end.Hi-end.Lo > roundedEnd*size(end) {
		return w.over(e, e.Body, end)
	}
	if b, ok := w.try(e, e.Body, end); ok || w.limit != nil {
		return b, ok
	}
	return w.over(e, e.Body, point(at))
}

// heldWithin returns the float64 of an end of a range, if it lies within the bounds of
// the exact value, else their middle.
func (w *walker) heldWithin(bound notation.Expr, b interval.Interval) float64 {
	v, ok := w.number(bound)
	if !ok && w.limit == nil {
		w.problem = nil
	}
	if ok && b.Contains(v.x) {
		return v.x
	}
	return b.Mid()
}

// encloseBetweenPoints is encloseIntegral between two numbers.
func (w *walker) encloseBetweenPoints(e *notation.Bind, from, to float64) (interval.Interval, bool) {
	if from == to {
		return interval.Interval{}, true
	}
	a, b := min(from, to), max(from, to)
	slope, smooth := w.derivedFrom(&notation.Bind{Kind: notation.Derivative, Body: e.Body, Var: e.Var})
	if w.limit != nil {
		return interval.Interval{}, false
	}
	if !smooth || hasSeam(e.Body, w.scope) {
		slope = nil // the mean value theorem needs a formula without jumps
	}
	var best interval.Interval
	for n := fewestSlices; n <= mostSlices; n *= 2 {
		total, ok := w.slices(e, slope, a, b, n)
		if !ok {
			return total, false
		}
		if n == fewestSlices {
			best = total
			continue
		}
		before := best.Hi - best.Lo
		if common, ok := interval.Intersect(best, total); ok {
			best = common
		}
		after := best.Hi - best.Lo
		narrow := narrowEnough * max(math.Abs(best.Lo), math.Abs(best.Hi))
		if after > worthwhile*before || after <= narrow {
			break
		}
		if slope == nil && n >= steadyFrom && after > 0.45*before && after < 0.55*before &&
			after*float64(n) > float64(narrow*mostSlices) {
			n = mostSlices / 2
		}
	}
	if from > to {
		best = interval.Neg(best)
	}
	return best, true
}

func (w *walker) slices(e *notation.Bind, slope notation.Expr, a, b float64, n int) (interval.Interval, bool) {
	var sum interval.Sum
	left := a
	for k := 1; k <= n; k++ {
		right := a + float64((b-a)*(float64(k)/float64(n)))
		if k == n {
			right = b
		}
		part, ok := w.slice(e, slope, interval.Interval{Lo: left, Hi: right})
		if !ok {
			return part, false
		}
		sum.Add(part)
		left = right
	}
	total, err := sum.Value()
	return total, w.sound(e, e.Body, err)
}

func (w *walker) slice(e *notation.Bind, slope notation.Expr, x interval.Interval) (interval.Interval, bool) {
	h, err := interval.Sub(interval.Interval{Lo: x.Hi, Hi: x.Hi}, interval.Interval{Lo: x.Lo, Hi: x.Lo})
	if !w.sound(e, e.Body, err) {
		return h, false
	}
	f, ok := w.over(e, e.Body, x)
	if !ok {
		return f, false
	}
	plain, err := interval.Mul(h, f)
	if !w.sound(e, e.Body, err) {
		return plain, false
	}
	if slope == nil {
		return plain, true
	}
	sharp, ok := w.meanValue(e, slope, x, h)
	if !ok {
		return plain, w.limit == nil
	}
	if common, ok := interval.Intersect(plain, sharp); ok {
		return common, true
	}
	return plain, true
}

// meanValue is h·F(m) + [F′]·h²/8·[−1, 1]. The middle m is off the true one by
// rounding, so the half width is taken outward.
func (w *walker) meanValue(e *notation.Bind, slope notation.Expr, x, h interval.Interval) (interval.Interval, bool) {
	m := x.Mid()
	middle, ok := w.try(e, e.Body, interval.Interval{Lo: m, Hi: m})
	if !ok {
		return middle, false
	}
	d, ok := w.try(e, slope, x)
	if !ok {
		return d, false
	}
	// ∫(x−m)·f′(ξ) dx over the two halves of widths p ≤ q: between
	// (p²·F′ − q²·F′)/2 taken with independent values of F′.
	p, errP := interval.Sub(point(m), point(x.Lo))
	q, errQ := interval.Sub(point(x.Hi), point(m))
	p2, err1 := interval.Sqr(p)
	q2, err2 := interval.Sqr(q)
	right, err3 := interval.Mul(q2, d)
	left, err4 := interval.Mul(p2, d)
	spread, err5 := interval.Sub(right, left)
	half, err6 := interval.Mul(spread, interval.Interval{Lo: 0.5, Hi: 0.5})
	base, err7 := interval.Mul(h, middle)
	sum, err8 := interval.Add(base, half)
	for _, err := range []error{errP, errQ, err1, err2, err3, err4, err5, err6, err7, err8} {
		if err != nil {
			return sum, false
		}
	}
	return sum, true
}

func point(x float64) interval.Interval { return interval.Interval{Lo: x, Hi: x} }

// mostSplits bounds the search for a guaranteed extreme.
const mostSplits = 2000

// encloseExtreme encloses the largest or smallest value by branch and bound:
// the slice that may reach farthest is split until its bound is no farther out
// than a value that is reached for certain. Where an end is known only to lie within
// bounds, the extreme of what is in the range for certain can be passed between them.
func (w *walker) encloseExtreme(e *notation.Bind, from, to interval.Interval) (interval.Interval, bool) {
	if from.Mid() > to.Mid() {
		from, to = to, from
	}
	if from.Hi > to.Lo {
		return w.over(e, e.Body, interval.Hull(from, to))
	}
	b, ok := w.encloseExtremeBetween(e, from.Hi, to.Lo)
	inner := [...]float64{from.Hi, to.Lo}
	for i, end := range [...]interval.Interval{from, to} {
		if !ok || end.IsPoint() {
			continue
		}
		var v interval.Interval
		v, ok = w.overEnd(e, end, inner[i])
		if e.Kind == notation.Largest {
			b.Hi = max(b.Hi, v.Hi)
		} else {
			b.Lo = min(b.Lo, v.Lo)
		}
	}
	return b, ok
}

// encloseExtremeBetween is encloseExtreme between two numbers.
func (w *walker) encloseExtremeBetween(e *notation.Bind, from, to float64) (interval.Interval, bool) {
	s := extreme{w: w, e: e, sign: 1, reached: math.Inf(-1)}
	if e.Kind == notation.Smallest {
		s.sign = -1
	}
	ends := interval.Interval{Lo: min(from, to), Hi: max(from, to)}
	if !s.value(ends.Lo) || !s.value(ends.Hi) || !s.add(ends) {
		return interval.Interval{}, false
	}
	for range mostSplits {
		i := s.farthest()
		x := s.open[i]
		if m := x.slice.Mid(); x.bound <= s.reached || m <= x.slice.Lo || m >= x.slice.Hi || s.settled(x.bound) {
			break
		}
		m := x.slice.Mid()
		s.open[i] = s.open[len(s.open)-1]
		s.open = s.open[:len(s.open)-1]
		if !s.value(m) || !s.add(interval.Interval{Lo: x.slice.Lo, Hi: m}) || !s.add(interval.Interval{Lo: m, Hi: x.slice.Hi}) {
			return interval.Interval{}, false
		}
	}
	b := interval.Interval{Lo: s.reached, Hi: max(s.reached, s.open[s.farthest()].bound)}
	if s.sign < 0 {
		b = interval.Neg(b)
	}
	return b, true
}

type openSlice struct {
	slice interval.Interval
	bound float64 // the body lies below it over the slice
}

type extreme struct {
	w       *walker
	e       *notation.Bind
	sign    float64 // −1 looks for the smallest
	reached float64 // the extreme is at least this
	open    []openSlice
}

func (s *extreme) signed(b interval.Interval) interval.Interval {
	if s.sign < 0 {
		return interval.Neg(b)
	}
	return b
}

// value takes in the value at a point, which is reached for certain.
func (s *extreme) value(x float64) bool {
	b, ok := s.w.over(s.e, s.e.Body, point(x))
	if ok {
		s.reached = max(s.reached, s.signed(b).Lo)
	}
	return ok
}

func (s *extreme) add(x interval.Interval) bool {
	b, ok := s.w.over(s.e, s.e.Body, x)
	if ok {
		s.open = append(s.open, openSlice{x, s.signed(b).Hi})
	}
	return ok
}

func (s *extreme) farthest() int {
	best := 0
	for i, x := range s.open {
		if x.bound > s.open[best].bound {
			best = i
		}
	}
	return best
}

// settled reports whether the bound is as close to a reached value as rounding
// lets it be.
func (s *extreme) settled(bound float64) bool {
	return bound-s.reached <= narrowEnough*max(math.Abs(bound), math.Abs(s.reached))
}

// encloseDerivative encloses a slope at one place, or for all places in a bracket
// at which there is one.
func (w *walker) encloseDerivative(e *notation.Bind) (interval.Interval, bool) {
	at, ok := w.interval(e.From)
	if !ok {
		return at, false
	}
	if hasSeam(e.Body, w.scope) && !w.formHoldsBracket(e) {
		return w.encloseSeamed(e, at)
	}
	d, ok := w.symbolic(e)
	if !ok {
		if w.limit != nil {
			return at, false
		}
		w.failAt(e.Span(), CodeDerivative, "write the derivative out", "the slope of this formula cannot be enclosed: it has no derivative in symbols")
		return at, false
	}
	mark := len(w.locals)
	w.locals = append(w.locals, local{name: e.Var.Ident, b: at, isBracket: true})
	b, ok := w.interval(d)
	w.locals = w.locals[:mark]
	return b, ok
}
