package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// tending names what tends to 0 in an exact limit; no text can hold it.
const tending = "′tending"

// limits replaces the limits in e that are those of a quotient of polynomials
// whose divisor is proved not to vanish.
func (p *prover) limits(e notation.Expr) notation.Expr {
	return p.rewrite(e, func(e notation.Expr) notation.Expr {
		b, ok := e.(*notation.Bind)
		if !ok || b.Kind != notation.Limit {
			return e
		}
		if value, ok := p.limit(b); ok {
			return makerAt(b).paren(value)
		}
		return e
	})
}

func (p *prover) limit(b *notation.Bind) (notation.Expr, bool) {
	m := makerAt(b)
	h := m.name(tending)
	var moved notation.Expr
	if end, ok := b.From.(*notation.Infinity); ok {
		moved = m.div(m.number(1), h)
		if end.Sign < 0 {
			moved = m.neg(moved)
		}
	} else {
		moved = m.add(m.paren(b.From), h)
	}
	return p.atZero(put(b.Body, b.Var.Ident, m.paren(moved)))
}

// atZero returns the limit of e as tending → 0.
func (p *prover) atZero(e notation.Expr) (notation.Expr, bool) {
	num, den, ok := algebra.AtZero(e, tending)
	if !ok || !p.isNonZero(den) {
		return nil, false
	}
	m := makerAt(e)
	return m.div(m.paren(num), m.paren(den)), true
}
