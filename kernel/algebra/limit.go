package algebra

import (
	"math/big"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// AtZero returns the limit of e as a name tends to 0, from either side, as a
// quotient num/den: both are polynomials without the name, den is not
// identically 0, and the limit is num/den wherever den is not 0 there. ok is
// false if e is not a quotient of polynomials in the name, or grows without
// bound.
//
// A limit n → ∞ is that of e with n = 1/h as h → 0 from above.
func AtZero(e notation.Expr, ident string) (num, den notation.Expr, ok bool) {
	r, ok := Normal(e, nil)
	if !ok {
		return nil, nil, false
	}
	for atom, names := range r.n.opaque {
		if names[ident] && (r.num.holds(atom) || r.den.holds(atom)) {
			return nil, nil, false
		}
	}
	id, ok := r.n.id(ident)
	if !ok {
		return nil, nil, false
	}
	// Normal has taken out the powers of the name that both share, so den is
	// identically 0 at 0 only if e grows without bound, or is of the form 0/0
	// through a sum.
	top, bottom := r.num.at0(id), r.den.at0(id)
	if bottom.isZero() {
		return nil, nil, false
	}
	b := builder{e.Span()}
	num, ok1 := top.expression(b, r.n)
	den, ok2 := bottom.expression(b, r.n)
	return num, den, ok1 && ok2
}

// expression writes p as a tree, or reports that an opaque part cannot be
// written outside the form that binds its names.
func (p poly) expression(b builder, n *normaliser) (notation.Expr, bool) {
	sum := b.number(0)
	writable := true
	for _, m := range p {
		term := rationalAt(b.at, m.coefficient.rat())
		m.powers.each(func(atom, exponent int) bool {
			part, known := n.written[atom]
			if !known {
				if n.opaque[atom] != nil {
					writable = false
					return false
				}
				part = b.name(n.names[atom])
			}
			term = b.mul(term, b.pow(part, b.number(exponent)))
			return true
		})
		sum = b.add(sum, term)
	}
	return sum, writable
}

// rationalAt writes a number exactly.
func rationalAt(at source.Span, r *big.Rat) notation.Expr {
	b := builder{at}
	integer := func(i *big.Int) notation.Expr {
		size := new(big.Int).Abs(i)
		value, _ := new(big.Float).SetInt(size).Float64()
		node := &notation.Number{Text: size.String(), Value: value}
		node.At = at
		if i.Sign() < 0 {
			return b.neg(node)
		}
		return node
	}
	if r.IsInt() {
		return integer(r.Num())
	}
	return b.div(integer(r.Num()), integer(r.Denom()))
}

// Terms returns the terms of a sum that is equal to e, each a product, where the
// divisor of e does not depend on a name or is a product itself. ok is false
// where it is neither, and for a single term.
func Terms(e notation.Expr, ident string) (terms []notation.Expr, ok bool) {
	r, ok := Normal(e, nil)
	if !ok || len(r.num) < 2 || len(r.num) > maxQuotient || len(r.den) > 1 && r.dependsOn(r.den, ident) {
		return nil, false
	}
	b := builder{e.Span()}
	for i := range r.num {
		// One by one, so that what a term shares with the divisor is cancelled.
		term, ok := r.n.reduced(r.num[i:i+1], r.den)
		if !ok {
			return nil, false
		}
		num, ok1 := term.num.expression(b, r.n)
		den, ok2 := term.den.expression(b, r.n)
		if !ok1 || !ok2 {
			return nil, false
		}
		terms = append(terms, b.div(num, den))
	}
	return terms, true
}

func (r Ratio) dependsOn(p poly, ident string) bool {
	for id, name := range r.n.names {
		if (name == ident || r.n.opaque[id][ident]) && p.holds(id) {
			return true
		}
	}
	return false
}

// Fraction returns e as one fraction of two polynomials, written out. ok is false if e
// is not such a fraction, or cannot be written outside a form that binds a name.
func Fraction(e notation.Expr) (num, den notation.Expr, ok bool) {
	r, ok := Normal(e, nil)
	if !ok {
		return nil, nil, false
	}
	b := builder{e.Span()}
	num, ok1 := r.num.expression(b, r.n)
	den, ok2 := r.den.expression(b, r.n)
	return num, den, ok1 && ok2
}
