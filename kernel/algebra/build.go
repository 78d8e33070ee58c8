package algebra

import (
	"strconv"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// builder makes nodes at one place. Its products and sums leave out what has no
// effect (0·x, 1·x, x + 0), which keeps derivatives readable; a factor 0 takes
// the rest with it, so the result may exist where the rest does not.
type builder struct{ at source.Span }

func (b builder) number(n int) notation.Expr {
	if n < 0 {
		return b.neg(b.number(-n))
	}
	node := &notation.Number{Text: strconv.Itoa(n), Value: float64(n)}
	node.At = b.at
	return node
}

func (b builder) binary(op notation.Op, x, y notation.Expr) notation.Expr {
	node := &notation.Binary{Op: op, OpAt: b.at, X: x, Y: y}
	node.At = b.at
	return node
}

func (b builder) add(x, y notation.Expr) notation.Expr {
	switch {
	case isNumber(x, 0):
		return y
	case isNumber(y, 0):
		return x
	}
	return b.binary(notation.OpAdd, x, y)
}

func (b builder) sub(x, y notation.Expr) notation.Expr {
	switch {
	case isNumber(y, 0):
		return x
	case isNumber(x, 0):
		return b.neg(y)
	}
	return b.binary(notation.OpSub, x, y)
}

func (b builder) mul(x, y notation.Expr) notation.Expr {
	switch {
	case isNumber(x, 0) || isNumber(y, 0):
		return b.number(0)
	case isNumber(x, 1):
		return y
	case isNumber(y, 1):
		return x
	}
	return b.binary(notation.OpMul, x, y)
}

func (b builder) div(x, y notation.Expr) notation.Expr {
	if isNumber(x, 0) || isNumber(y, 1) {
		return x
	}
	return b.binary(notation.OpDiv, x, y)
}

func (b builder) pow(x, y notation.Expr) notation.Expr {
	if isNumber(y, 1) {
		return x
	}
	return b.binary(notation.OpPow, x, y)
}

func (b builder) square(x notation.Expr) notation.Expr { return b.pow(x, b.number(2)) }

func (b builder) neg(x notation.Expr) notation.Expr {
	if isNumber(x, 0) {
		return x
	}
	node := &notation.Unary{Op: notation.OpNeg, X: x}
	node.At = b.at
	return node
}

func (b builder) name(ident string) *notation.Name {
	node := &notation.Name{Ident: ident}
	node.At = b.at
	return node
}

func (b builder) call(fun string, args ...notation.Expr) notation.Expr {
	node := &notation.Call{Fun: b.name(fun), Args: args}
	node.At = b.at
	return node
}

func (b builder) root(x notation.Expr) notation.Expr {
	node := &notation.Root{X: x}
	node.At = b.at
	return node
}

// ifLess is "if x < y then a else c".
func (b builder) ifLess(x, y, a, c notation.Expr) notation.Expr {
	if isNumber(a, 0) && isNumber(c, 0) {
		return a
	}
	condition := &notation.Compare{Ops: []notation.Op{notation.OpLess}, OpAt: []source.Span{b.at}, Xs: []notation.Expr{x, y}}
	condition.At = b.at
	node := &notation.If{Cond: condition, Then: a, Else: c}
	node.At = b.at
	return node
}

// sign is the sign of x, 1 for 0. Comparing with −x spares a 0 that would need
// the unit of x.
func (b builder) sign(x notation.Expr) notation.Expr {
	return b.ifLess(x, b.neg(x), b.number(-1), b.number(1))
}

// bind is a copy of a binding form with another kind and body.
func (b builder) bind(e *notation.Bind, kind notation.BindKind, body notation.Expr) notation.Expr {
	if isNumber(body, 0) {
		return body
	}
	node := *e
	node.Kind, node.Body, node.Glyph = kind, body, false
	return &node
}

func isNumber(e notation.Expr, value float64) bool {
	n, ok := notation.Unparen(e).(*notation.Number)
	return ok && n.Value == value
}
