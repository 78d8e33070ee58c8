package derive

import (
	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// mostSteps is how far apart two factorials may be to be written in terms of one.
const mostSteps = 24

// counts proves that n! exists: n is a whole number, and not negative.
func (p *prover) counts(n notation.Expr) *doubt {
	if !p.isWhole(n) {
		return &doubt{notation.Unparen(n), "is a whole number"}
	}
	if !p.sign(n).Within(algebra.NonNegative) {
		return &doubt{notation.Unparen(n), "is not negative"}
	}
	return nil
}

// isWhole proves that an expression is a whole number by how it is built.
func (p *prover) isWhole(e notation.Expr) bool {
	switch e := e.(type) {
	case *notation.Paren:
		return p.isWhole(e.X)
	case *notation.Unary:
		return p.isWhole(e.X)
	case *notation.Name:
		return p.whole[e.Ident]
	case *notation.Binary:
		if e.Op == notation.OpPow {
			n, ok := exponentOf(e)
			return ok && n >= 0 && p.isWhole(e.X)
		}
		if e.Op != notation.OpDiv {
			return p.isWhole(e.X) && p.isWhole(e.Y)
		}
	}
	r, ok := constantOf(e)
	return ok && r.IsInt()
}

// factorials writes the factorials of two lines in terms of the least of those whose
// arguments differ by whole numbers: (m + 2)! is (m + 1)·(m + 2)·m!, if m is proved to
// be a whole number that is not negative.
func (p *prover) factorials(x, y notation.Expr) (notation.Expr, notation.Expr) {
	isFactorial := func(b *notation.Bind) bool { _, ok := notation.IsFactorial(b); return ok }
	all := append(find(x, isFactorial), find(y, isFactorial)...)
	if len(all) < 2 {
		return x, y
	}
	steps := func(from, to notation.Expr) (int, bool) {
		m := makerAt(to)
		r, ok := constantOf(m.sub(m.paren(to), m.paren(from)))
		if !ok || !r.IsInt() || !r.Num().IsInt64() {
			return 0, false
		}
		k := r.Num().Int64()
		return int(k), k >= -mostSteps && k <= mostSteps
	}
	least := func(n notation.Expr) notation.Expr {
		best := n
		for _, b := range all {
			if k, ok := steps(best, b.To); ok && k < 0 {
				best = b.To
			}
		}
		return best
	}
	write := func(e notation.Expr) notation.Expr {
		return p.rewrite(e, func(e notation.Expr) notation.Expr {
			n, ok := notation.IsFactorial(e)
			if !ok {
				return e
			}
			from := least(n)
			k, ok := steps(from, n)
			if !ok || k <= 0 || p.counts(from) != nil {
				return e
			}
			m, c := makerAt(e), *e.(*notation.Bind)
			c.To = from
			var product notation.Expr = &c
			for i := 1; i <= k; i++ {
				product = m.mul(product, m.paren(m.add(m.paren(from), m.number(i))))
			}
			return m.paren(product)
		})
	}
	return write(x), write(y)
}
