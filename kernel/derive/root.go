package derive

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// linearRoot returns the root of an expression that is linear in the unknown, with a
// slope that is proved not to be 0 and a root that is proved to be in the range.
func (p *prover) linearRoot(b *notation.Bind) (notation.Expr, bool) {
	slope, err := algebra.Derivative(b.Body, b.Var.Ident, nil)
	if err != nil || isPiecewise(b.Body) {
		return nil, false
	}
	m := makerAt(b)
	steady, decided := algebra.EqualExactly(slope, put(slope, b.Var.Ident, b.From), nil)
	slope = put(slope, b.Var.Ident, b.From)
	if !steady || !decided || !p.isNonZero(slope) {
		return nil, false
	}
	root := m.paren(m.sub(m.paren(b.From), m.div(m.paren(put(b.Body, b.Var.Ident, b.From)), m.paren(slope))))
	return root, p.isInRange(b, root)
}

// isInRange proves that x lies between the ends of a range, whichever is larger.
func (p *prover) isInRange(b *notation.Bind, x notation.Expr) bool {
	m := makerAt(b)
	above, below := p.sign(m.sub(m.paren(x), m.paren(b.From))), p.sign(m.sub(m.paren(b.To), m.paren(x)))
	return above.Within(algebra.NonNegative) && below.Within(algebra.NonNegative) ||
		above.Within(algebra.NonPositive) && below.Within(algebra.NonPositive)
}

// satisfiesRoot proves that y is the root x: it makes the equation 0 = 0, it is in
// the range, and the left side only rises or only falls there.
func (p *prover) satisfiesRoot(x, y notation.Expr) bool {
	b, ok := notation.Unparen(x).(*notation.Bind)
	if !ok || b.Kind != notation.FindRoot || isFree(y, b.Var.Ident) || isPiecewise(b.Body) {
		return false
	}
	equal, decided := algebra.EqualExactly(put(b.Body, b.Var.Ident, y), makerAt(b).number(0), nil)
	return equal && decided && p.isInRange(b, y) && p.isStrictlyMonotonic(b)
}

// isStrictlyMonotonic proves that the body of a form only rises or only falls on its
// range: its slope has one sign, or it is a quotient of polynomials with a slope that is
// nowhere of the other sign, and not 0 at an end or in the middle for any data.
func (p *prover) isStrictlyMonotonic(b *notation.Bind) bool {
	x := b.Var.Ident
	slope, err := algebra.Derivative(b.Body, x, nil)
	if err != nil {
		return false
	}
	sign := algebra.AnySign
	if !p.in(x, b.From, b.To, func() bool {
		sign = p.sign(slope)
		return p.defined(b.Body) == nil && p.defined(slope) == nil
	}) {
		return false
	}
	switch {
	case sign == algebra.Positive || sign == algebra.Negative:
		return true
	case !sign.Within(algebra.NonNegative) && !sign.Within(algebra.NonPositive), !isRational(b.Body, x):
		return false
	}
	m := makerAt(b)
	middle := m.div(m.paren(m.add(m.paren(b.From), m.paren(b.To))), m.number(2))
	for _, place := range []notation.Expr{b.From, b.To, middle} {
		if p.isNonZero(put(slope, x, m.paren(place))) {
			return true
		}
	}
	return false
}

// isNoRoot finds a point at which the range of the root x has several roots, and y is
// none of them: it lies beyond the range, or the equation does not hold for it.
func (j *judge) isNoRoot(x, y notation.Expr) (point, bool) {
	b, ok := notation.Unparen(x).(*notation.Bind)
	if !ok || b.Kind != notation.FindRoot || isCostly(b.Body) {
		return nil, false
	}
	for _, how := range []manner{readable, random} {
		for i := range minorPoints {
			s := j.points().site(how, i)
			if s == nil {
				break
			}
			value, err := j.eval.value(y, s.point)
			if err != nil {
				continue
			}
			body := put(b.Body, b.Var.Ident, y)
			rest, err := j.eval.value(body, s.point)
			if err == nil && math.Abs(rest.Float64()) > rest.Radius()+float64(mostDrift*j.termSize(body, s.point)) || j.isBeyond(b, value, s.point) {
				return s.point, true
			}
		}
	}
	return nil, false
}

// isBeyond reports whether a value lies outside the range of a form, whichever end is
// larger.
func (j *judge) isBeyond(b *notation.Bind, x bigfloat.Value, p point) bool {
	from, err1 := j.eval.value(b.From, p)
	to, err2 := j.eval.value(b.To, p)
	if err1 != nil || err2 != nil {
		return false
	}
	above, err1 := bigfloat.Sub(x, from)
	below, err2 := bigfloat.Sub(to, x)
	return err1 == nil && err2 == nil && above.Sign()*below.Sign() < 0
}
