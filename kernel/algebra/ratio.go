package algebra

import (
	"math/big"
	"sort"

	"shaftbook/kernel/notation"
)

// A Ratio is a quotient of two polynomials with rational coefficients in
// indeterminates: names, π, and opaque parts such as sin(x), which count as the
// same if their own normal forms are. Common factors are taken out only where
// they are single terms, so two ratios of one function may look different;
// Equal compares them rightly.
type Ratio struct {
	num, den poly
	n        *normaliser
}

// String returns the ratio for people who look into a failure.
func (r Ratio) String() string { return "(" + r.num.String() + ")/(" + r.den.String() + ")" }

// Constant returns the value of a ratio that has the same value for all values
// of its indeterminates.
func (r Ratio) Constant() (*big.Rat, bool) {
	if r.num.isZero() {
		return new(big.Rat), true
	}
	for key, m := range r.den {
		top, found := r.num[key]
		if !found {
			return nil, false
		}
		c := new(big.Rat).Quo(top.coefficient, m.coefficient)
		return c, r.num.add(r.den.scale(new(big.Rat).Neg(c))).isZero()
	}
	return nil, false
}

// Opaque returns the opaque parts on which the ratio depends, in order; with
// none, it is a rational function of names and π.
func (r Ratio) Opaque() []string {
	seen := map[string]bool{}
	for _, p := range []poly{r.num, r.den} {
		for _, m := range p {
			for _, f := range m.factors {
				if _, opaque := r.n.opaque[f.atom]; opaque {
					seen[f.atom] = true
				}
			}
		}
	}
	list := make([]string, 0, len(seen))
	for a := range seen {
		list = append(list, a)
	}
	sort.Strings(list)
	return list
}

// Normal returns e as a quotient of polynomials. ok is false if e holds a part
// that has no value of this kind (a bracket, a division by what is identically
// 0), or if a limit is passed: 2000 terms, degree 64, coefficients of 4096
// bits, about 40 000 products of terms in all.
//
// Quantities count by their SI value where the unit's factor is a decimal
// number; other units (deg) are indeterminates. Roots with a polynomial under
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
	return false, len(difference.Opaque()) == 0
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
	// x = c·y term by term: the candidate c is the quotient of one pair of terms.
	left, ok := n.product(x.num, y.den)
	if !ok || left.isZero() {
		return nil, false
	}
	right, ok := n.product(y.num, x.den)
	if !ok {
		return nil, false
	}
	for key, m := range left {
		other, found := right[key]
		if !found {
			return nil, false
		}
		c := new(big.Rat).Quo(m.coefficient, other.coefficient)
		rest := left.add(right.scale(new(big.Rat).Neg(c)))
		return c, rest.isZero()
	}
	return nil, false
}
