package algebra

import (
	"math/big"

	"shaftbook/kernel/notation"
)

// A Ratio is a quotient of two polynomials with rational coefficients in
// indeterminates: names, π, and opaque parts such as sin(x), which count as the
// same if their own normal forms are. Common factors are taken out only where
// they are single terms, or where one polynomial divides the other, so two ratios
// of one function may look different;
// Equal compares them rightly.
type Ratio struct {
	num, den poly
	n        *normaliser
}

// String returns the ratio for people who look into a failure.
func (r Ratio) String() string {
	return "(" + r.num.text(r.n.names) + ")/(" + r.den.text(r.n.names) + ")"
}

func (r Ratio) equals(s Ratio) bool { return r.num.equals(s.num) && r.den.equals(s.den) }

// Constant returns the value of a ratio that has the same value for all values
// of its indeterminates.
func (r Ratio) Constant() (*big.Rat, bool) {
	if r.num.isZero() {
		return new(big.Rat), true
	}
	c, ok := r.num.multipleOf(r.den)
	if !ok {
		return nil, false
	}
	return c.rat(), true
}

// multipleOf returns c if p = c·q; neither is 0.
func (p poly) multipleOf(q poly) (rational, bool) {
	if len(p) != len(q) {
		return rational{}, false
	}
	c := p[0].coefficient.quo(q[0].coefficient)
	for i, m := range p {
		if m.powers != q[i].powers || !m.coefficient.equals(q[i].coefficient.mul(c)) {
			return rational{}, false
		}
	}
	return c, true
}

// hasOpaque reports whether the ratio depends on opaque parts; if not, it is a
// rational function of names and π.
func (r Ratio) hasOpaque() bool {
	for _, p := range []poly{r.num, r.den} {
		for _, m := range p {
			found := false
			m.powers.each(func(atom, _ int) bool {
				found = r.n.opaque[atom] != nil
				return !found
			})
			if found {
				return true
			}
		}
	}
	return false
}

// Normal returns e as a quotient of polynomials. ok is false if e holds a part
// that has no value of this kind (a bracket, a division by what is identically
// 0), or if a limit is passed: 2000 terms, degree 64, coefficients of 4096
// bits, 48 different indeterminates, about 40 000 products of terms in all.
//
// Quantities count by their SI value where the unit's factor is a decimal
// number or a part of π (deg); other units are indeterminates. Roots with a polynomial under
// them obey (√p)² = p, whole powers likewise with exponents p/q, |u|² = u² and
// sin² = 1 − cos². Integrals and sums are linear: each term of the integrand
// is by itself, its constants taken out.
func Normal(e notation.Expr, funcs Functions) (r Ratio, ok bool) {
	return newNormaliser(funcs).normal(e, deepest)
}

// EqualExactly decides whether two expressions are equal wherever both have a
// value. decided is false where exact arithmetic cannot tell: where a limit is
// passed, and where the two differ but hold opaque parts, between which
// relations may exist that are not known here (exp(x)² and exp(2·x)).
func EqualExactly(a, b notation.Expr, funcs Functions) (equal, decided bool) {
	n := newNormaliser(funcs)
	x, ok := n.normal(a, deepest)
	if !ok {
		return false, false
	}
	y, ok := n.normal(b, deepest)
	if !ok {
		return false, false
	}
	difference, ok := n.sub(x, y)
	if !ok {
		return false, false
	}
	if difference.num.isZero() {
		return true, true
	}
	return false, !difference.hasOpaque()
}

// Quotient returns a/b as a constant, if it is one: the factor by which a claim
// is off.
func Quotient(a, b notation.Expr, funcs Functions) (*big.Rat, bool) {
	n := newNormaliser(funcs)
	x, ok := n.normal(a, deepest)
	if !ok {
		return nil, false
	}
	y, ok := n.normal(b, deepest)
	if !ok || y.num.isZero() {
		return nil, false
	}
	left, ok := n.product(x.num, y.den)
	if !ok || left.isZero() {
		return nil, false
	}
	right, ok := n.product(y.num, x.den)
	if !ok || right.isZero() {
		return nil, false
	}
	c, ok := left.multipleOf(right)
	if !ok {
		return nil, false
	}
	return c.rat(), true
}
