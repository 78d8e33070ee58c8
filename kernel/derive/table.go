package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// byTable integrates c·g(p) for a linear p and a constant c, with g one of the
// functions that have a short antiderivative G: ∫ c·g(p) dx = c·G(p)/p′. The
// antiderivative is differentiated before it is believed, and must have a value
// on the whole range.
func (p *prover) byTable(b *notation.Bind, f notation.Expr) (notation.Expr, bool) {
	x, m := b.Var.Ident, makerAt(b)
	for _, call := range find(f, func(c *notation.Call) bool { return len(c.Args) == 1 && isFree(c.Args[0], x) }) {
		g := antiderivative(m, call)
		if g == nil {
			continue
		}
		slope, err := algebra.Derivative(call.Args[0], x, nil)
		if err != nil || isFree(slope, x) {
			continue
		}
		// f = c·call with a c that holds no x.
		c := m.div(m.paren(f), call)
		steady, err := algebra.Derivative(c, x, nil)
		if err != nil {
			continue
		}
		if zero, decided := algebra.EqualExactly(steady, m.number(0), nil); !zero || !decided {
			continue
		}
		constant := replace(f, call, m.number(1))
		if isFree(constant, x) {
			continue
		}
		whole := m.div(m.mul(m.paren(constant), g), m.paren(slope))
		back, err := algebra.Derivative(whole, x, nil)
		if err != nil {
			continue
		}
		if equal, decided := algebra.EqualExactly(back, f, nil); !equal || !decided {
			continue
		}
		if !p.isSmooth(whole, x, b.From, b.To) {
			continue
		}
		return m.sub(m.paren(put(whole, x, b.To)), m.paren(put(whole, x, b.From))), true
	}
	return nil, false
}

// antiderivative returns G with G′ = g, applied to the argument of a call of g.
func antiderivative(m maker, c *notation.Call) notation.Expr {
	u := c.Args[0]
	switch c.Fun.Ident {
	case "sin":
		return m.paren(m.neg(m.call("cos", u)))
	case "cos":
		return m.call("sin", u)
	case "exp":
		return m.call("exp", u)
	case "ln":
		return m.paren(m.sub(m.mul(m.paren(u), m.call("ln", u)), m.paren(u)))
	}
	return nil
}
