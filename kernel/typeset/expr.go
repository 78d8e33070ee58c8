package typeset

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// setter lays out expressions. slash is set in exponents and limits, where a
// quotient is written with a slash instead of a bar.
type setter struct{ slash bool }

// small returns the setter for exponents and limits.
func (s setter) small() setter { s.slash = true; return s }

// expr sets e on its own, without brackets around it.
func (s setter) expr(e notation.Expr) box.Box {
	switch e := e.(type) {
	case nil:
		return box.Row(nil)
	case *notation.Number:
		return numberBox(e.Text)
	case *notation.Quantity:
		return s.quantity(e)
	case *notation.Name:
		return nameBox(e.Ident)
	case *notation.Call:
		return s.call(e)
	case *notation.Field:
		return s.field(e)
	case *notation.Unary:
		return box.Row{box.Op{Sign: e.Op.String(), Form: box.Prefix}, s.operand(e.X, levelMul, true)}
	case *notation.Binary:
		return s.binary(e)
	case *notation.Paren:
		if b, ok := notation.Unparen(e).(*notation.Between); ok {
			return s.expr(b) // has brackets of its own
		}
		return box.Fence{Open: "(", Close: ")", X: s.expr(notation.Unparen(e))}
	case *notation.Abs:
		return box.Fence{Open: "|", Close: "|", X: s.inner(e.X)}
	case *notation.Root:
		return box.Root{X: s.inner(e.X)}
	case *notation.Between:
		return box.Fence{Open: "[", Close: "]", X: box.Row{s.expr(e.Low), box.Op{Sign: ",", Form: box.Comma}, s.expr(e.High)}}
	case *notation.PlusMinus:
		return box.Row{s.operand(e.Mid, levelMul, false), box.Op{Sign: "±", Form: box.Infix}, s.operand(e.Half, levelMul, true)}
	case *notation.Bind:
		return s.bind(e)
	case *notation.Infinity:
		return infinityBox(e)
	case *notation.If:
		return s.conditional(e)
	case *notation.Compare:
		return s.compare(e)
	case *notation.Logic:
		return s.logic(e)
	default:
		return asWritten(e)
	}
}

// inner sets e where something else already holds it together, so that
// brackets the writer needed on one line fall away.
func (s setter) inner(e notation.Expr) box.Box {
	if e == nil {
		return box.Row(nil)
	}
	return s.expr(notation.Unparen(e))
}

// operand sets e beside an operator: in brackets if it holds together less
// tightly than least, or if it follows the operator and opens with a sign.
func (s setter) operand(e notation.Expr, least int, follows bool) box.Box {
	if e == nil {
		return box.Row(nil)
	}
	if level(e, s.slash) < least || follows && opens(e, s.slash) {
		return box.Fence{Open: "(", Close: ")", X: s.expr(e)}
	}
	return s.expr(e)
}

// left sets an operand that something follows.
func (s setter) left(e notation.Expr, least int) box.Box {
	if e != nil && runsOn(e, s.slash) {
		return box.Fence{Open: "(", Close: ")", X: s.expr(e)}
	}
	return s.operand(e, least, false)
}

func (s setter) binary(e *notation.Binary) box.Box {
	switch e.Op {
	case notation.OpPow:
		return s.power(e)
	case notation.OpDiv:
		return s.quotient(e)
	case notation.OpMul:
		if q, ok := e.Y.(*notation.Quantity); ok && e.UnitBehind {
			return s.unitBehind(e.X, q.Unit.Text)
		}
		return box.Row{s.factor(e.X), s.productSign(e.X, e.Y), s.operand(e.Y, levelSign, true)}
	}
	return box.Row{s.left(e.X, levelAdd), box.Op{Sign: e.Op.String(), Form: box.Infix}, s.operand(e.Y, levelMul, true)}
}

// factor sets the left operand of a product. The d of an integral could be
// taken for a factor of what follows, so an integral has brackets there.
func (s setter) factor(e notation.Expr) box.Box {
	if b, ok := e.(*notation.Bind); ok && level(b, s.slash) < levelPower {
		return box.Fence{Open: "(", Close: ")", X: s.bind(b)}
	}
	return s.left(e, levelMul)
}

// productSign is the centred dot between symbols, and the cross where a dot
// would stand next to a digit or a unit (SI Brochure, 9th ed., 5.4.6; ISO
// 80000-1, from memory).
func (s setter) productSign(x, y notation.Expr) box.Box {
	if startsWithDigit(y, s.slash) || endsWithUnit(x, s.slash) {
		return box.Op{Sign: "×", Form: box.Infix}
	}
	return box.Op{Sign: "·", Form: box.Dot}
}

func (s setter) quotient(e *notation.Binary) box.Box {
	if product, ok := lastFactor(e); ok && !s.slash {
		last := box.Fraction{Num: s.inner(product.Y), Den: s.inner(e.Y)}
		return box.Row{s.factor(product.X), box.Op{Sign: "·", Form: box.Dot}, last}
	}
	if !s.slash {
		return box.Fraction{Num: s.inner(e.X), Den: s.inner(e.Y)}
	}
	return box.Row{s.factor(e.X), box.Op{Sign: "/", Form: box.Tight}, s.operand(e.Y, levelPower, true)}
}

func (s setter) power(e *notation.Binary) box.Box {
	exponent := s.small().inner(e.Y)
	if call, ok := e.X.(*notation.Call); ok && isFunction(call.Fun) {
		if trigonometric[call.Fun.Ident] && isCount(e.Y) {
			return box.Row{box.Script{Base: functionBox(call.Fun.Ident), Sup: exponent}, box.Apply{}, s.arguments(call.Args)}
		}
		if !selfHeld[call.Fun.Ident] {
			return box.Script{Base: box.Fence{Open: "(", Close: ")", X: s.call(call)}, Sup: exponent}
		}
	}
	base := s.operand(e.X, levelAtom, true)
	if name, ok := base.(box.Script); ok && name.Sup == nil {
		return box.Script{Base: name.Base, Sub: name.Sub, Sup: exponent}
	}
	return box.Script{Base: base, Sup: exponent}
}

// isCount reports whether e is a number such as 2, so that sin²(x) cannot be
// taken for the inverse function.
func isCount(e notation.Expr) bool {
	n, ok := notation.Unparen(e).(*notation.Number)
	return ok && n.Value >= 2
}

func (s setter) arguments(args []notation.Expr) box.Box {
	var inside box.Row
	for i, a := range args {
		if i > 0 {
			inside = append(inside, box.Op{Sign: ",", Form: box.Comma})
		}
		if len(args) == 1 {
			inside = append(inside, s.inner(a))
			continue
		}
		inside = append(inside, s.expr(a))
	}
	return box.Fence{Open: "(", Close: ")", X: inside}
}

// selfHeld are the functions with a sign of their own around the argument.
var selfHeld = map[string]bool{"sqrt": true, "abs": true, "floor": true, "ceil": true}

func (s setter) call(e *notation.Call) box.Box {
	if e.Fun == nil {
		return asWritten(e)
	}
	if len(e.Args) == 1 {
		switch e.Fun.Ident {
		case "sqrt":
			return box.Root{X: s.inner(e.Args[0])}
		case "abs":
			return box.Fence{Open: "|", Close: "|", X: s.inner(e.Args[0])}
		case "floor":
			return box.Fence{Open: "⌊", Close: "⌋", X: s.inner(e.Args[0])}
		case "ceil":
			return box.Fence{Open: "⌈", Close: "⌉", X: s.inner(e.Args[0])}
		}
	}
	name := nameBox(e.Fun.Ident)
	if isFunction(e.Fun) {
		name = functionBox(e.Fun.Ident)
	}
	return box.Row{name, box.Apply{}, s.arguments(e.Args)}
}

func (s setter) field(e *notation.Field) box.Box {
	if e.X == nil {
		return asWritten(e)
	}
	out := box.Row{nameBox(e.X.Ident), box.Op{Sign: ".", Form: box.Tight}, fieldBox(e.Field)}
	if e.HasArgs {
		out = append(out, box.Apply{}, s.arguments(e.Args))
	}
	return out
}

func (s setter) compare(e *notation.Compare) box.Box {
	var out box.Row
	for i, x := range e.Xs {
		if i > 0 && i-1 < len(e.Ops) {
			out = append(out, box.Op{Sign: e.Ops[i-1].String(), Form: box.Relation})
		}
		out = append(out, s.operand(x, levelSpread, false))
	}
	return out
}

func (s setter) logic(e *notation.Logic) box.Box {
	if e.Op == notation.OpNot {
		return box.Row{box.Text("not "), s.operand(e.X, levelSpread, false)}
	}
	least := level(e, s.slash)
	return box.Row{s.left(e.X, least), box.Text(" " + e.Op.String() + " "), s.operand(e.Y, least+1, false)}
}

func infinityBox(e *notation.Infinity) box.Box {
	if e.Sign < 0 {
		return box.Row{box.Op{Sign: "−", Form: box.Prefix}, box.Ident{Name: "∞", Upright: true}}
	}
	return box.Ident{Name: "∞", Upright: true}
}
