package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// byTable integrates c·g(p) for a linear p and a constant c, with g one of the
// functions that have a short antiderivative G: ∫ c·g(p) dx = c·G(p)/p′. Where c
// is a polynomial, it integrates by parts. The antiderivative is differentiated before it is believed, and must have a value
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
		whole, ok := byParts(m, x, replace(f, call, m.number(1)), call, g, slope)
		if !ok {
			continue
		}
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

// byParts returns Σ (−1)ⁱ·c⁽ⁱ⁾·Gᵢ₊₁/slopeⁱ⁺¹ for c·call, with G₁ = g the
// antiderivative of the call by its argument, and so on. What comes out is an
// antiderivative only if call is a factor of the integrand; the caller checks.
func byParts(m maker, x string, c notation.Expr, call *notation.Call, g, slope notation.Expr) (notation.Expr, bool) {
	divisor := m.paren(slope)
	sum := m.div(m.mul(m.paren(c), g), divisor)
	for range 6 {
		if !isFree(c, x) {
			return sum, true
		}
		again, ok := again(m, call, g)
		next, err := algebra.Derivative(c, x, nil)
		if !ok || err != nil || !isPolynomial(c, x) || size(next, maxNodes/8) > maxNodes/8 {
			return nil, false
		}
		c, g = m.paren(m.neg(m.paren(next))), again
		divisor = m.mul(divisor, m.paren(slope))
		sum = m.add(sum, m.div(m.mul(c, g), m.paren(divisor)))
	}
	return nil, false
}

// again returns the antiderivative of g, which is one of sine, cosine or exp.
func again(m maker, call *notation.Call, g notation.Expr) (notation.Expr, bool) {
	switch e := notation.Unparen(g).(type) {
	case *notation.Unary:
		inner, ok := again(m, call, e.X)
		return m.paren(m.neg(m.paren(inner))), ok
	case *notation.Call:
		if call.Fun.Ident != "ln" {
			return antiderivative(m, e), true
		}
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
