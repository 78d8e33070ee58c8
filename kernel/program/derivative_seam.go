package program

import (
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

// An agreement is whether the two sides of a seam meet in value and slope.
type agreement int8

const (
	notFound    agreement = iota // a side has no value or no slope in symbols there
	disagree                     // proven apart: a kink or a jump
	withinError                  // equal as far as their brackets show
	agree                        // proven equal
)

// meeting compares the sides of a formula at the place: the values of both and
// of the place itself, and the slopes of both. The slopes are returned with
// their brackets.
func (w *walker) meeting(s sidesOf, at interval.Interval) (slope notation.Expr, b interval.Interval, is agreement) {
	left, okLeft := w.symbolic(s.left)
	right, okRight := w.symbolic(s.right)
	if !okLeft || !okRight {
		return nil, b, notFound
	}
	r := seamResolver{w: w, e: s.left, at: at, over: at, on: onPoint}
	is = agree
	pairs := [][2]notation.Expr{{s.left.Body, s.right.Body}, {s.left.Body, s.point.Body}, {left, right}}
	if s.leftKey == s.rightKey {
		pairs = pairs[1:2] // one formula on both sides
	}
	for _, pair := range pairs {
		if is = min(is, r.meet(pair[0], pair[1])); is == notFound {
			return nil, b, notFound
		}
	}
	x, okX := r.enclose(left, at)
	y, okY := r.enclose(right, at)
	common, overlap := interval.Intersect(x, y)
	switch {
	case !okX || !okY:
		return nil, b, notFound
	case is == withinError && spread(x, y) > seamDoubt*max(math.Abs(x.Mid()), math.Abs(y.Mid())):
		return nil, b, notFound
	case !overlap:
		return nil, b, disagree
	}
	return right, common, is
}

func spread(x, y interval.Interval) float64 { return max(x.Hi, y.Hi) - min(x.Lo, y.Lo) }

// seamDoubt is the largest relative doubt of a slope at a seam that is given as
// an estimate, without differences.
const seamDoubt = 1e-6

func (r *seamResolver) meet(f, g notation.Expr) agreement {
	x, okX := r.enclose(f, r.at)
	y, okY := r.enclose(g, r.at)
	switch {
	case !okX || !okY:
		return notFound
	case x.Hi < y.Lo || y.Hi < x.Lo:
		return disagree
	case x.IsPoint() && x == y, r.zeroAt(minus(f, g)):
		return agree
	}
	return withinError
}

// seamedDerivative evaluates the slope of a formula with branches at x.
func (w *walker) seamedDerivative(e *notation.Bind, x float64) (number, bool) {
	s, at := w.sidesAt(e, x)
	switch {
	case w.limit != nil:
		return number{}, false
	case s.around != nil:
		return w.smoothDerivative(s.around, x)
	case s.left == nil:
		return w.difference(e, x)
	}
	slope, b, is := w.meeting(s, at)
	switch {
	case w.limit != nil:
		return number{}, false
	case is == disagree:
		return number{}, w.failSearch(e, &num.NoDerivativeError{X: x})
	case is == notFound:
		return w.difference(e, x)
	}
	v, ok := w.slope(e, slope, x)
	if ok && is == withinError {
		v.estimate += b.Hi - b.Lo + spacing(v.x)
	}
	return v, ok
}

// sidesAt resolves a formula around the value of its place.
func (w *walker) sidesAt(e *notation.Bind, x float64) (sidesOf, interval.Interval) {
	at, ok := w.interval(e.From)
	if !ok {
		if w.limit != nil {
			return sidesOf{}, at
		}
		w.problem = nil
		at = widened(x)
	}
	return w.sides(e, at), at
}

// encloseSeamed encloses the slope of a formula with branches at the one number
// that lies in at.
func (w *walker) encloseSeamed(e *notation.Bind, at interval.Interval) (interval.Interval, bool) {
	s := w.sides(e, at)
	if s.around != nil {
		if d, ok := w.symbolic(s.around); ok {
			return w.over(e, d, at)
		}
	}
	if s.left != nil {
		switch _, b, is := w.meeting(s, at); {
		case w.limit != nil:
		case is == agree:
			return b, true
		case is == disagree:
			return b, w.failSearch(e, &num.NoDerivativeError{X: at.Mid()})
		}
	}
	return at, w.fail(e, CodeUncertain, "no bracket of this slope is certain: which branches hold beside %s, or whether they meet there, is not proven", place(e, at.Mid()))
}
