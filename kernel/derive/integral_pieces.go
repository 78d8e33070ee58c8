package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// maxPieces bounds how deep switches are taken apart.
const maxPieces = 6

// byPieces integrates an integrand that is put together from pieces, if each
// switch u is linear in the variable, with a slope of known sign, and is proved to
// lie in the range or outside it: at c = from − u(from)/u′ the range is split, and
// on each side the sign of u is known. What holds at c itself does not change the
// integral. The range must be proved to run one way.
func (p *prover) byPieces(b *notation.Bind, depth int) (notation.Expr, bool) {
	if depth == maxPieces {
		c := *b
		c.Body = unchained(b.Body)
		b = &c
		if m := makerAt(b); p.sign(m.sub(m.paren(b.To), m.paren(b.From))).Within(algebra.NonPositive) {
			c.From, c.To = b.To, b.From
			value, ok := p.byPieces(&c, depth-1)
			if !ok {
				return nil, false
			}
			return m.neg(m.paren(value)), true
		}
	}
	if !isPiecewise(b.Body) {
		if depth == maxPieces || p.definedBind(b) != nil {
			return nil, false
		}
		return integral(p, b, b.Body, 8, honest)
	}
	part, u := firstSwitch(b.Body, b.Var.Ident)
	if part == nil || depth == 0 {
		return nil, false
	}
	m := makerAt(b)
	slope, err := algebra.Derivative(u, b.Var.Ident, nil)
	if err != nil || isFree(slope, b.Var.Ident) || isPiecewise(u) {
		return nil, false
	}
	rises := p.sign(slope)
	if rises != algebra.Positive && rises != algebra.Negative || !p.sign(m.sub(m.paren(b.To), m.paren(b.From))).Within(algebra.NonNegative) {
		return nil, false
	}
	c := m.paren(m.sub(m.paren(b.From), m.div(m.paren(put(u, b.Var.Ident, b.From)), m.paren(slope))))
	after, before := p.sign(m.sub(c, m.paren(b.From))), p.sign(m.sub(m.paren(b.To), c))
	on := func(from, to notation.Expr, beyond bool) (notation.Expr, bool) {
		body, ok := decided(b.Body, part, beyond == (rises == algebra.Positive))
		if !ok {
			return nil, false
		}
		piece := *b
		piece.From, piece.To, piece.Body = from, to, body
		return p.byPieces(&piece, depth-1)
	}
	switch {
	case after.Within(algebra.NonPositive):
		return on(b.From, b.To, true)
	case before.Within(algebra.NonPositive):
		return on(b.From, b.To, false)
	case after.Within(algebra.NonNegative) && before.Within(algebra.NonNegative):
		x, ok1 := on(b.From, c, false)
		y, ok2 := on(c, b.To, true)
		if !ok1 || !ok2 {
			return nil, false
		}
		return m.add(m.paren(x), m.paren(y)), true
	}
	return nil, false
}

// unchained writes each chain of comparisons, as in a < x < b, with “and”.
func unchained(e notation.Expr) notation.Expr {
	e = notation.Map(e, unchained)
	c, ok := e.(*notation.Compare)
	if !ok || len(c.Ops) < 2 {
		return e
	}
	var all notation.Expr
	for i, op := range c.Ops {
		one := &notation.Compare{Ops: []notation.Op{op}, Xs: []notation.Expr{c.Xs[i], c.Xs[i+1]}}
		one.At = c.At
		if all == nil {
			all = one
			continue
		}
		both := &notation.Logic{Op: notation.OpAnd, X: all, Y: one}
		both.At = c.At
		all = both
	}
	return all
}

// firstSwitch returns an innermost part of e that changes its form with x, and the
// u whose sign decides on it: a comparison, an absolute value, a minimum or maximum
// of two.
func firstSwitch(e notation.Expr, x string) (part, u notation.Expr) {
	notation.Map(e, func(c notation.Expr) notation.Expr {
		if part == nil {
			part, u = firstSwitch(c, x)
		}
		return c
	})
	if part != nil || !isFree(e, x) {
		return part, u
	}
	if _, bound := e.(*notation.Bind); bound {
		return nil, nil
	}
	if inner, ok := absoluteOf(e); ok {
		return e, inner
	}
	m := makerAt(e)
	switch e := e.(type) {
	case *notation.Compare:
		for i, op := range e.Ops {
			if u := m.sub(m.paren(e.Xs[i]), m.paren(e.Xs[i+1])); isFree(u, x) && op != notation.OpEqual && op != notation.OpNotEqual {
				return e, u
			}
		}
	case *notation.Call:
		if (e.Fun.Ident == "min" || e.Fun.Ident == "max") && len(e.Args) == 2 {
			return e, m.sub(m.paren(e.Args[0]), m.paren(e.Args[1]))
		}
	}
	return nil, nil
}

// decided returns e with a part from firstSwitch replaced, once its u is above 0,
// or below.
func decided(e, part notation.Expr, above bool) (notation.Expr, bool) {
	m := makerAt(part)
	if inner, ok := absoluteOf(part); ok {
		if above {
			return replace(e, part, m.paren(inner)), true
		}
		return replace(e, part, m.paren(m.neg(m.paren(inner)))), true
	}
	switch n := part.(type) {
	case *notation.Call:
		chosen := n.Args[1]
		if above == (n.Fun.Ident == "max") {
			chosen = n.Args[0]
		}
		return replace(e, part, m.paren(chosen)), true
	case *notation.Compare:
		return conditional(e, n, above)
	}
	return nil, false
}

// conditional decides the condition of the if that holds a comparison.
func conditional(e notation.Expr, c *notation.Compare, above bool) (notation.Expr, bool) {
	for _, choice := range find(e, func(f *notation.If) bool { return holdsNode(f.Cond, c) }) {
		cond, truth := assumed(choice.Cond, c, above)
		switch truth {
		case isTrue:
			return replace(e, choice, makerAt(e).paren(choice.Then)), true
		case isFalse:
			return replace(e, choice, makerAt(e).paren(choice.Else)), true
		case isOpen:
			next := *choice
			next.Cond = cond
			return replace(e, choice, &next), true
		}
	}
	return nil, false
}

func holdsNode(e notation.Expr, c *notation.Compare) bool {
	return len(find(e, func(d *notation.Compare) bool { return d == c })) > 0
}

type truth int

const (
	isUnknown truth = iota // the comparison is of another kind
	isOpen                 // a condition is left
	isTrue
	isFalse
)

// assumed simplifies a condition in which the sign of the first difference of a
// comparison that depends on the variable is known.
func assumed(cond notation.Expr, c *notation.Compare, above bool) (notation.Expr, truth) {
	cond = notation.Unparen(cond)
	switch e := cond.(type) {
	case *notation.Compare:
		if e != c {
			return e, isOpen
		}
		if len(e.Ops) != 1 {
			return nil, isUnknown
		}
		holds := above == (e.Ops[0] == notation.OpGreater || e.Ops[0] == notation.OpGreaterEq)
		if holds {
			return nil, isTrue
		}
		return nil, isFalse
	case *notation.Logic:
		if e.Op == notation.OpNot {
			inner, t := assumed(e.X, c, above)
			switch t {
			case isTrue:
				return nil, isFalse
			case isFalse:
				return nil, isTrue
			case isOpen:
				next := *e
				next.X = inner
				return &next, isOpen
			}
			return nil, isUnknown
		}
		x, tx := assumed(e.X, c, above)
		y, ty := assumed(e.Y, c, above)
		decisive, neutral := isFalse, isTrue
		if e.Op == notation.OpOr {
			decisive, neutral = isTrue, isFalse
		}
		switch {
		case tx == isUnknown || ty == isUnknown:
			return nil, isUnknown
		case tx == decisive || ty == decisive:
			return nil, decisive
		case tx == neutral && ty == neutral:
			return nil, neutral
		case tx == neutral:
			return y, isOpen
		case ty == neutral:
			return x, isOpen
		}
		next := *e
		next.X, next.Y = x, y
		return &next, isOpen
	}
	return cond, isOpen
}
