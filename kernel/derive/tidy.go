package derive

import "shaftbook/kernel/notation"

// tidied writes a worked out expression the way one would by hand: π − 180 for π + −180,
// b − a for −1·a + b, √a for a^(1/2).
func tidied(e notation.Expr) notation.Expr {
	e = notation.Map(e, tidied)
	b, ok := e.(*notation.Binary)
	if !ok {
		return e
	}
	m := makerAt(e)
	switch b.Op {
	case notation.OpAdd:
		if y, negative := withoutSign(b.Y); negative {
			return m.sub(b.X, y)
		}
		if x, negative := withoutSign(b.X); negative {
			return m.sub(b.Y, x)
		}
	case notation.OpMul:
		switch x, negative := withoutSign(b.X); {
		case !isOne(x):
		case negative:
			return m.neg(b.Y)
		default:
			return b.Y
		}
	case notation.OpPow:
		if r, ok := constantOf(b.Y); ok && r.RatString() == "1/2" {
			return m.root(b.X)
		}
	}
	return e
}

// withoutSign returns e without the minus sign before it, if it has one.
func withoutSign(e notation.Expr) (notation.Expr, bool) {
	m := makerAt(e)
	switch e := notation.Unparen(e).(type) {
	case *notation.Unary:
		return e.X, e.Op == notation.OpNeg
	case *notation.Binary:
		if e.Op == notation.OpMul || e.Op == notation.OpDiv {
			if x, negative := withoutSign(e.X); negative {
				return m.binary(e.Op, x, e.Y), true
			}
		}
	}
	return e, false
}

func isOne(e notation.Expr) bool {
	n, ok := notation.Unparen(e).(*notation.Number)
	return ok && n.Value == 1
}

func (m maker) root(e notation.Expr) notation.Expr {
	root := &notation.Root{X: notation.Unparen(e)}
	if _, isName := root.X.(*notation.Name); !isName {
		root.X = m.paren(root.X)
	}
	root.At = m.at
	return root
}
