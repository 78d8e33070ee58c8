package derive

import (
	"shaftbook/kernel/algebra"
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
