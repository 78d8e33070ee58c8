package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// isAtLeast proves n ≥ from + k for whole numbers n and from.
func (p *prover) isAtLeast(n, from notation.Expr, k int) bool {
	for _, r := range p.ranges {
		if isFree(n, r.ident) || isFree(from, r.ident) {
			return false // what the givens say of the name may not hold inside
		}
	}
	m := makerAt(n)
	distance := m.add(m.sub(m.paren(n), m.paren(from)), m.number(1-k))
	return p.isWhole(n) && p.isWhole(from) && p.sign(distance) == algebra.Positive
}

// plainSums replaces the sums that are proved to be empty by 0, and those of equal
// terms by the term times their number, where that is proved not to be negative: a
// sum that ends more than one before it begins is empty all the same. An empty sum is 0
// even of terms that have no value, of which a multiple has none.
func (p *prover) plainSums(e notation.Expr) notation.Expr {
	return p.rewrite(e, func(e notation.Expr) notation.Expr {
		b, ok := e.(*notation.Bind)
		if !ok || b.Kind != notation.Sum {
			return e
		}
		m := makerAt(b)
		switch {
		case p.isAtLeast(b.From, b.To, 1):
			return m.number(0)
		case !isFree(b.Body, b.Var.Ident) && p.isAtLeast(b.To, b.From, -1) && (p.isAtLeast(b.To, b.From, 0) || p.defined(b.Body) == nil):
			number := m.add(m.sub(m.paren(b.To), m.paren(b.From)), m.number(1))
			return m.paren(m.mul(m.paren(b.Body), m.paren(number)))
		}
		return e
	})
}

// sameDifferences decides on sums up to a name n: the two sides are equal for
// every n if they are for the first, and both grow by the same amount from
// n − 1 to n (mathematical induction). The first is the lower limit of the sums, or
// the number before it, where they are empty; that the givens allow none below it is
// proved.
func (p *prover) sameDifferences(s *scope, x, y notation.Expr) bool {
	for _, b := range append(binds(x, notation.Sum), binds(y, notation.Sum)...) {
		n, ok := notation.Unparen(b.To).(*notation.Name)
		if !ok || s.variable(n.Ident) == nil || isFree(b.From, n.Ident) || isFree(b.Body, n.Ident) {
			continue
		}
		for _, before := range []int{0, -1} {
			if p.isAtLeast(n, b.From, before) && p.byInduction(x, y, n, b.From, before) {
				return true
			}
		}
	}
	return false
}

// byInduction proves x = y for every n from the given start on: from, or from − 1.
func (p *prover) byInduction(x, y notation.Expr, n *notation.Name, from notation.Expr, before int) bool {
	m := makerAt(n)
	last := m.sub(m.name(n.Ident), m.number(1))
	start := m.paren(m.add(m.paren(from), m.number(before)))
	for _, e := range []notation.Expr{x, y} {
		for _, b := range binds(e, notation.Sum) {
			if isUpTo(b, n.Ident) && !p.isAtLeast(start, b.From, -1) {
				return false // it has no last term to split off at first
			}
		}
	}
	growth := func(e notation.Expr) notation.Expr {
		return m.sub(m.paren(growing(e, n.Ident)), m.paren(put(e, n.Ident, last)))
	}
	if equal, decided := algebra.EqualExactly(growth(x), growth(y), nil); !equal || !decided {
		return false
	}
	first := func(e notation.Expr) notation.Expr { return put(single(e, n.Ident, from, before), n.Ident, start) }
	if equal, decided := algebra.EqualExactly(first(x), first(y), nil); !equal || !decided {
		return false
	}
	return p.in(n.Ident, start, n, func() bool { return firstDoubt(p.defined(x), p.defined(y)) == nil })
}

// growing splits the last term off each sum up to n.
func growing(e notation.Expr, n string) notation.Expr {
	return eachSum(e, n, func(b *notation.Bind) notation.Expr {
		m, c := makerAt(b), *b
		c.To = m.paren(m.sub(m.name(n), m.number(1)))
		return m.paren(m.add(&c, m.paren(put(b.Body, b.Var.Ident, m.name(n)))))
	})
}

// single is e for n equal to the first number of the sums, where each is one term, or
// to the number before it, where each is empty.
func single(e notation.Expr, n string, from notation.Expr, before int) notation.Expr {
	return eachSum(e, n, func(b *notation.Bind) notation.Expr {
		if equal, decided := algebra.EqualExactly(b.From, from, nil); !equal || !decided {
			return b
		}
		if before < 0 {
			return makerAt(b).number(0)
		}
		return makerAt(b).paren(put(b.Body, b.Var.Ident, b.From))
	})
}

// isUpTo reports whether a sum runs up to n, with terms that do not depend on it.
func isUpTo(b *notation.Bind, n string) bool {
	to, ok := notation.Unparen(b.To).(*notation.Name)
	return ok && to.Ident == n && b.Kind == notation.Sum && !isFree(b.Body, n) && !isFree(b.From, n)
}

func eachSum(e notation.Expr, n string, f func(*notation.Bind) notation.Expr) notation.Expr {
	e = notation.Map(e, func(c notation.Expr) notation.Expr { return eachSum(c, n, f) })
	if b, ok := e.(*notation.Bind); ok && isUpTo(b, n) {
		return f(b)
	}
	return e
}
