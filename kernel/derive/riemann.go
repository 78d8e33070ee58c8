package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// riemann judges the passage from a sum to an integral, either way round:
//
//	limit of (sum of g(i, n) for i from 1 to n) as n → ∞
//	  = integral of f(x) for x from A to B
//
// follows if n·g(s·n, n) tends to (B − A)·f(A + (B − A)·s) for every s between
// 0 and 1: the terms are those of a Riemann sum of f. It is proved where n·g is
// a quotient of polynomials in s and 1/n whose divisor is not 0 at 1/n = 0, so
// that it is continuous there, for all s at once, or where each term is one of a
// Riemann sum as it is. It reports whether it could prove that; if not, the two
// sides are compared as they are: terms that vanish for every s may add up.
func (j *judge) riemann(p *prover, v *Verdict, a, b *statement) bool {
	sum, integral := a, b
	if !hasLimit(a.full) {
		sum, integral = b, a
	}
	x, ok := j.limitElement(sum.full)
	if !ok {
		return false
	}
	y, ok := j.integralElement(integral.full)
	if !ok {
		return false
	}
	if p.sameElement(x, y) {
		v.Kind, v.Exact = Follows, true
		v.Why = "the terms of the sum are those of this integral in the limit, by exact algebra"
		return true
	}
	if p.sameTerms(sum.full, y) {
		v.Kind, v.Exact = Follows, true
		v.Why = "each term of the sum is the integrand at a place of its piece times the length of the piece, and the integrand has a value on the whole range"
		return true
	}
	return false
}

// sameTerms proves that the terms of the only sum in e, from 1 to n, are those of a
// Riemann sum for the element y: with i = s·n + c, n times the term is y whatever n
// is, for a c between 0 and 1. Then each place lies in its piece of the range, and
// the sum tends to the integral, as the integrand is bounded and continuous but for
// jumps.
func (p *prover) sameTerms(e, y notation.Expr) bool {
	limit := binds(e, notation.Limit)[0]
	sum := binds(limit.Body, notation.Sum)[0]
	m := makerAt(sum)
	if first, decided := algebra.EqualExactly(sum.From, m.number(1), nil); !first || !decided {
		return false
	}
	if !p.in(share, m.number(0), m.number(1), func() bool { return p.defined(y) == nil }) {
		return false
	}
	n := limit.Var.Ident
	for _, c := range []notation.Expr{m.number(0), m.number(1), m.paren(m.div(m.number(1), m.number(2)))} {
		place := m.add(m.mul(m.name(share), m.name(n)), c)
		term := m.mul(m.name(n), m.paren(put(sum.Body, sum.Var.Ident, place)))
		whole := replace(e, limit, m.paren(replace(limit.Body, sum, m.paren(term))))
		if equal, decided := algebra.EqualExactly(whole, y, nil); equal && decided {
			return true
		}
	}
	return false
}

// sameElement proves that the limit of the terms, x, is the element y of the
// integral for every share of the range.
func (p *prover) sameElement(x, y notation.Expr) bool {
	m := makerAt(x)
	return p.in(share, m.number(0), m.number(1), func() bool {
		limit := p.limits(x)
		if hasLimit(limit) || p.defined(limit) != nil || p.defined(y) != nil {
			return false
		}
		equal, decided := algebra.EqualExactly(limit, y, nil)
		return equal && decided
	})
}

// share names the part of the range that has been passed; no text can hold it.
const share = "′share"

// limitElement replaces the only limit of a sum in e by the limit of n times
// its term at s·n.
func (j *judge) limitElement(e notation.Expr) (notation.Expr, bool) {
	limits := binds(e, notation.Limit)
	if len(limits) != 1 || !isAffine(e, limits[0]) {
		return nil, false
	}
	element, ok := riemannElement(limits[0])
	if !ok {
		return nil, false
	}
	return replace(e, limits[0], makerAt(element).paren(element)), true
}

// riemannElement turns the limit of a sum up to n into the limit of n times its
// term at s·n.
func riemannElement(l *notation.Bind) (*notation.Bind, bool) {
	if end, ok := l.From.(*notation.Infinity); !ok || end.Sign < 0 {
		return nil, false
	}
	sums := binds(l.Body, notation.Sum)
	if len(sums) != 1 || !isAffine(l.Body, sums[0]) {
		return nil, false
	}
	b := sums[0]
	n, ok := notation.Unparen(b.To).(*notation.Name)
	if !ok || n.Ident != l.Var.Ident || isFree(b.From, n.Ident) {
		return nil, false
	}
	m := makerAt(b)
	term := m.mul(m.name(n.Ident), m.paren(put(b.Body, b.Var.Ident, m.mul(m.name(share), m.name(n.Ident)))))
	c := *l
	c.Body = replace(l.Body, b, m.paren(term))
	return &c, true
}

// integralElement replaces the only integral in e by its range times the
// integrand at the share s of the range.
func (j *judge) integralElement(e notation.Expr) (notation.Expr, bool) {
	integrals := binds(e, notation.Integral)
	if len(integrals) != 1 || !isAffine(e, integrals[0]) || hasLimit(e) {
		return nil, false
	}
	b := integrals[0]
	m := makerAt(b)
	run := m.paren(m.sub(m.paren(b.To), m.paren(b.From)))
	place := m.add(m.paren(b.From), m.mul(run, m.name(share)))
	return replace(e, b, m.paren(m.mul(run, m.paren(put(b.Body, b.Var.Ident, place))))), true
}

// isAffine reports whether e is of the form c·part + r.
func isAffine(e, part notation.Expr) bool {
	const z = "′part"
	slope, err := algebra.Derivative(replace(e, part, makerAt(part).name(z)), z, nil)
	return err == nil && !isFree(slope, z)
}
