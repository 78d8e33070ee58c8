package derive

import (
	"maps"
	"slices"
	"strconv"

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
		if value, ok := p.limitOfSums(b); ok {
			return makerAt(b).paren(value)
		}
		return e
	})
}

// limitOfSums returns the integral that a limit of Riemann sums is: of Σ g(i, n) for
// i up to n, the integral of the limit of n·g(s·n, n) for s from 0 to 1. The
// limit is that of a function of s and 1/n that is continuous for every s of the
// range down to 1/n = 0, so the terms come close to it all at once.
func (p *prover) limitOfSums(b *notation.Bind) (notation.Expr, bool) {
	element, ok := riemannElement(b)
	if !ok {
		return nil, false
	}
	m := makerAt(b)
	integral := &notation.Bind{Kind: notation.Integral, Var: m.name(share), From: m.number(0), To: m.number(1)}
	integral.At = m.at
	ok = p.in(share, integral.From, integral.To, func() bool {
		value, ok := p.limit(element)
		integral.Body = value
		return ok && p.defined(value) == nil
	})
	if !ok {
		return nil, false
	}
	return p.closed(integral), true
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

// atZero returns the limit of e as tending → 0: of a quotient of polynomials, or
// of one that holds continuous functions, each by its own limit.
func (p *prover) atZero(e notation.Expr) (notation.Expr, bool) {
	if num, den, ok := algebra.AtZero(e, tending); ok {
		return p.quotient(e, num, den)
	}
	calls := map[string]notation.Expr{} // name → limit
	names := map[string]string{}        // text of a call → name
	failed := false
	var freeze func(notation.Expr) notation.Expr
	freeze = func(e notation.Expr) notation.Expr {
		if failed || !isFree(e, tending) {
			return e
		}
		value, isCall, ok := p.continuous(e)
		if !isCall {
			return notation.Map(e, freeze)
		}
		failed = failed || !ok
		text := notation.Print(e)
		if names[text] == "" {
			names[text] = tending + strconv.Itoa(len(names))
			calls[names[text]] = value
		}
		return makerAt(e).name(names[text])
	}
	frozen := freeze(e)
	if failed || len(calls) == 0 {
		return nil, false
	}
	num, den, ok := algebra.AtZero(frozen, tending)
	if !ok {
		return nil, false
	}
	for _, name := range slices.Sorted(maps.Keys(calls)) {
		num, den = put(num, name, calls[name]), put(den, name, calls[name])
	}
	return p.quotient(e, num, den)
}

func (p *prover) quotient(e, num, den notation.Expr) (notation.Expr, bool) {
	if !p.isNonZero(den) {
		return nil, false
	}
	m := makerAt(e)
	return m.div(m.paren(num), m.paren(den)), true
}

// continuous returns the limit of a function that is continuous where the limit
// of its argument is proved to be.
func (p *prover) continuous(e notation.Expr) (value notation.Expr, isCall, ok bool) {
	name, argument := "sqrt", notation.Expr(nil)
	switch e := e.(type) {
	case *notation.Call:
		if len(e.Args) == 1 {
			name, argument = e.Fun.Ident, e.Args[0]
		}
	case *notation.Root:
		argument = e.X
	case *notation.Abs:
		name, argument = "abs", e.X
	}
	if argument == nil {
		return nil, false, false
	}
	limit, ok := p.atZero(argument)
	if !ok {
		return nil, true, false
	}
	switch name {
	case "sin", "cos", "exp", "atan", "abs":
	case "sqrt", "ln":
		ok = p.sign(limit) == algebra.Positive
	default:
		ok = false
	}
	return makerAt(e).call(name, limit), true, ok
}
