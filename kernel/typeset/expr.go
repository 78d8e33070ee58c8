package typeset

import "shaftbook/kernel/notation"

// setter lays out expressions. slash is set in exponents and limits, where a
// quotient is written with a slash instead of a bar.
type setter struct{ slash bool }

// small returns the setter for exponents and limits.
func (s setter) small() setter { s.slash = true; return s }

// expr sets e as it stands alone.
func (s setter) expr(e notation.Expr) box {
	switch e := e.(type) {
	case nil:
		return row(nil)
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
		return row{op{e.Op.String(), prefix}, s.operand(e.X, levelMul, true)}
	case *notation.Binary:
		return s.binary(e)
	case *notation.Paren:
		if b, ok := notation.Unparen(e).(*notation.Between); ok {
			return s.expr(b) // has brackets of its own
		}
		return fence{"(", ")", s.expr(notation.Unparen(e))}
	case *notation.Abs:
		return fence{"|", "|", s.inner(e.X)}
	case *notation.Root:
		return root{s.inner(e.X)}
	case *notation.Between:
		return fence{"[", "]", row{s.expr(e.Low), op{",", comma}, s.expr(e.High)}}
	case *notation.PlusMinus:
		return row{s.operand(e.Mid, levelMul, false), op{"±", infix}, s.operand(e.Half, levelMul, true)}
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
func (s setter) inner(e notation.Expr) box {
	if e == nil {
		return row(nil)
	}
	return s.expr(notation.Unparen(e))
}

// operand sets e beside an operator: in brackets if it holds together less
// tightly than least, or if it follows the operator and opens with a sign.
func (s setter) operand(e notation.Expr, least int, follows bool) box {
	if e == nil {
		return row(nil)
	}
	if level(e, s.slash) < least || follows && opens(e, s.slash) {
		return fence{"(", ")", s.expr(e)}
	}
	return s.expr(e)
}

// left sets an operand that something follows.
func (s setter) left(e notation.Expr, least int) box {
	if e != nil && runsOn(e, s.slash) {
		return fence{"(", ")", s.expr(e)}
	}
	return s.operand(e, least, false)
}

func (s setter) binary(e *notation.Binary) box {
	switch e.Op {
	case notation.OpPow:
		return s.power(e)
	case notation.OpDiv:
		return s.quotient(e)
	case notation.OpMul:
		return row{s.factor(e.X), s.productSign(e.X, e.Y), s.operand(e.Y, levelSign, true)}
	}
	return row{s.left(e.X, levelAdd), op{e.Op.String(), infix}, s.operand(e.Y, levelMul, true)}
}

// factor sets the left operand of a product. The d of an integral could be
// taken for a factor of what follows, so an integral has brackets there.
func (s setter) factor(e notation.Expr) box {
	if b, ok := e.(*notation.Bind); ok {
		return fence{"(", ")", s.bind(b)}
	}
	return s.left(e, levelMul)
}

// productSign is the centred dot between symbols, and the cross where a dot
// would stand next to a digit or a unit (SI Brochure, 9th ed., 5.4.6; ISO
// 80000-1, from memory).
func (s setter) productSign(x, y notation.Expr) box {
	if startsWithDigit(y, s.slash) || endsWithUnit(x, s.slash) {
		return op{"×", infix}
	}
	return op{"·", dot}
}

func (s setter) quotient(e *notation.Binary) box {
	if product, ok := lastFactor(e); ok && !s.slash {
		last := fraction{s.inner(product.Y), s.inner(e.Y)}
		return row{s.factor(product.X), op{"·", dot}, last}
	}
	if !s.slash {
		return fraction{s.inner(e.X), s.inner(e.Y)}
	}
	return row{s.factor(e.X), op{"/", tight}, s.operand(e.Y, levelPower, true)}
}

func (s setter) power(e *notation.Binary) box {
	exponent := s.small().inner(e.Y)
	if call, ok := e.X.(*notation.Call); ok && isFunction(call.Fun) {
		if trigonometric[call.Fun.Ident] && isCount(e.Y) {
			return row{script{base: functionBox(call.Fun.Ident), sup: exponent}, apply{}, s.arguments(call.Args)}
		}
		if !selfHeld[call.Fun.Ident] {
			return script{base: fence{"(", ")", s.call(call)}, sup: exponent}
		}
	}
	base := s.operand(e.X, levelAtom, true)
	if name, ok := base.(script); ok && name.sup == nil {
		return script{name.base, name.sub, exponent}
	}
	return script{base: base, sup: exponent}
}

// isCount reports whether e is a number such as 2, so that sin²(x) cannot be
// taken for the inverse function.
func isCount(e notation.Expr) bool {
	n, ok := notation.Unparen(e).(*notation.Number)
	return ok && n.Value >= 2
}

func (s setter) arguments(args []notation.Expr) box {
	var inside row
	for i, a := range args {
		if i > 0 {
			inside = append(inside, op{",", comma})
		}
		if len(args) == 1 {
			inside = append(inside, s.inner(a))
			continue
		}
		inside = append(inside, s.expr(a))
	}
	return fence{"(", ")", inside}
}

// selfHeld are the functions with a sign of their own around the argument.
var selfHeld = map[string]bool{"sqrt": true, "abs": true, "floor": true, "ceil": true}

func (s setter) call(e *notation.Call) box {
	if e.Fun == nil {
		return asWritten(e)
	}
	if len(e.Args) == 1 {
		switch e.Fun.Ident {
		case "sqrt":
			return root{s.inner(e.Args[0])}
		case "abs":
			return fence{"|", "|", s.inner(e.Args[0])}
		case "floor":
			return fence{"⌊", "⌋", s.inner(e.Args[0])}
		case "ceil":
			return fence{"⌈", "⌉", s.inner(e.Args[0])}
		}
	}
	name := nameBox(e.Fun.Ident)
	if isFunction(e.Fun) {
		name = functionBox(e.Fun.Ident)
	}
	return row{name, apply{}, s.arguments(e.Args)}
}

func (s setter) field(e *notation.Field) box {
	if e.X == nil {
		return asWritten(e)
	}
	out := row{nameBox(e.X.Ident), op{".", tight}, fieldBox(e.Field)}
	if e.HasArgs {
		out = append(out, apply{}, s.arguments(e.Args))
	}
	return out
}

func (s setter) compare(e *notation.Compare) box {
	var out row
	for i, x := range e.Xs {
		if i > 0 && i-1 < len(e.Ops) {
			out = append(out, op{e.Ops[i-1].String(), relation})
		}
		out = append(out, s.operand(x, levelSpread, false))
	}
	return out
}

func (s setter) logic(e *notation.Logic) box {
	if e.Op == notation.OpNot {
		return row{text("not "), s.operand(e.X, levelSpread, false)}
	}
	least := level(e, s.slash)
	return row{s.left(e.X, least), text(" " + e.Op.String() + " "), s.operand(e.Y, least+1, false)}
}

func infinityBox(e *notation.Infinity) box {
	if e.Sign < 0 {
		return row{op{"−", prefix}, ident{"∞", true}}
	}
	return ident{"∞", true}
}
