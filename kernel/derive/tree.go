package derive

import (
	"math/big"
	"strconv"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// replace returns e with one node, found by identity, replaced.
func replace(e, old, by notation.Expr) notation.Expr {
	if e == old {
		return by
	}
	return notation.Map(e, func(c notation.Expr) notation.Expr { return replace(c, old, by) })
}

// find returns the nodes of e that a test holds for, in the order of the text.
func find[N notation.Node](e notation.Expr, test func(N) bool) []N {
	var list []N
	notation.Inspect(e, func(n notation.Node) bool {
		if m, ok := n.(N); ok && test(m) {
			list = append(list, m)
		}
		return true
	})
	return list
}

// binds returns the forms of a kind in e.
func binds(e notation.Expr, kind notation.BindKind) []*notation.Bind {
	return find(e, func(b *notation.Bind) bool { return b.Kind == kind })
}

// isFree reports whether a name is used in e as a free name.
func isFree(e notation.Expr, ident string) bool {
	return notation.HasFree(e, func(name string) bool { return name == ident })
}

// size counts the nodes of e up to a limit.
func size(e notation.Expr, limit int) int {
	n := 0
	notation.Inspect(e, func(notation.Node) bool { n++; return n <= limit })
	return n
}

// maker makes nodes at one place.
type maker struct{ at source.Span }

func (m maker) number(n int) notation.Expr {
	if n < 0 {
		return m.neg(m.number(-n))
	}
	node := &notation.Number{Text: strconv.Itoa(n), Value: float64(n)}
	node.At = m.at
	return node
}

func (m maker) name(ident string) *notation.Name {
	node := &notation.Name{Ident: ident}
	node.At = m.at
	return node
}

func (m maker) binary(op notation.Op, x, y notation.Expr) notation.Expr {
	node := &notation.Binary{Op: op, OpAt: m.at, X: x, Y: y}
	node.At = m.at
	return node
}

func (m maker) add(x, y notation.Expr) notation.Expr { return m.binary(notation.OpAdd, x, y) }
func (m maker) sub(x, y notation.Expr) notation.Expr { return m.binary(notation.OpSub, x, y) }
func (m maker) mul(x, y notation.Expr) notation.Expr { return m.binary(notation.OpMul, x, y) }
func (m maker) div(x, y notation.Expr) notation.Expr { return m.binary(notation.OpDiv, x, y) }
func (m maker) pow(x notation.Expr, n int) notation.Expr {
	return m.binary(notation.OpPow, x, m.number(n))
}

func (m maker) neg(x notation.Expr) notation.Expr {
	node := &notation.Unary{Op: notation.OpNeg, X: x}
	node.At = m.at
	return node
}

func (m maker) paren(x notation.Expr) notation.Expr {
	switch x.(type) {
	case *notation.Name, *notation.Number, *notation.Paren, *notation.Call:
		return x
	}
	node := &notation.Paren{X: x}
	node.At = x.Span()
	return node
}

// makerAt is a maker for the place of a node.
func makerAt(n notation.Node) maker { return maker{n.Span()} }

// put returns e with a name replaced by an expression in brackets.
func put(e notation.Expr, ident string, by notation.Expr) notation.Expr {
	return algebra.Substitute(e, ident, makerAt(by).paren(by))
}

func (m maker) call(fun string, args ...notation.Expr) notation.Expr {
	node := &notation.Call{Fun: m.name(fun), Args: args}
	node.At = m.at
	return node
}

// rational makes a fraction.
func (m maker) rational(r *big.Rat) notation.Expr {
	n := m.number(int(r.Num().Int64()))
	if r.IsInt() {
		return n
	}
	return m.paren(m.div(n, m.number(int(r.Denom().Int64()))))
}

// power makes x^r.
func (m maker) power(x notation.Expr, r *big.Rat) notation.Expr {
	if r.IsInt() {
		return m.pow(m.paren(x), int(r.Num().Int64()))
	}
	return m.binary(notation.OpPow, m.paren(x), m.paren(m.rational(r)))
}
