package notation

import "strings"

// The levels of precedence, as in parse_expr.go.
const (
	levelOr = iota
	levelAnd
	levelNot
	levelCompare
	levelPlusMinus
	levelSum
	levelProduct
	levelSign
	levelPower
	levelPrimary
)

// levelOf returns the level at which an expression needs no brackets.
func levelOf(e Expr) int {
	switch e := e.(type) {
	case *Logic:
		switch e.Op {
		case OpOr:
			return levelOr
		case OpAnd:
			return levelAnd
		}
		return levelNot
	case *Compare:
		return levelCompare
	case *PlusMinus:
		return levelPlusMinus
	case *Binary:
		switch e.Op {
		case OpAdd, OpSub:
			return levelSum
		case OpMul, OpDiv:
			return levelProduct
		}
		return levelPower
	case *Unary, *Root:
		return levelSign
	case *Bind:
		switch {
		case e.Kind == Change:
			return levelPower // its upper end takes in a power after it
		case isFactorial(e):
			return levelPrimary
		}
	case *Number:
		if e.Text == "" && e.Value < 0 {
			return levelSign
		}
	}
	return levelPrimary
}

// swallows reports whether a form would take in the operator after it.
func swallows(e Expr, right int) bool {
	switch e := e.(type) {
	case *Bind:
		return e.Kind != Change && !isFactorial(e) && right > levelPlusMinus
	case *Between:
		return right > levelPlusMinus
	case *If:
		return right > levelOr
	}
	return false
}

// endsWithUnit reports whether the text of e ends in a unit.
func endsWithUnit(e Expr) bool {
	_, ok := lastLeaf(e).(*Quantity)
	return ok
}

// endsInNumber reports whether the text of e ends in a number or its unit.
func endsInNumber(e Expr) bool {
	_, ok := lastLeaf(e).(*Number)
	return ok || endsWithUnit(e)
}

// endsWithMantissa reports whether the text of e ends in a number that a power
// of ten after it would join.
func endsWithMantissa(e Expr) bool {
	n, ok := lastLeaf(e).(*Number)
	if !ok {
		return false
	}
	return !strings.ContainsAny(numberText(n), "eE·×*⋅")
}

// lastLeaf returns the operand with which a product ends.
func lastLeaf(e Expr) Expr {
	for {
		switch x := e.(type) {
		case *Binary:
			if x.Op != OpMul && x.Op != OpDiv {
				return e
			}
			e = x.Y
		case *Unary:
			e = x.X
		case *Root:
			e = x.X
		default:
			return e
		}
	}
}

// isPowerOfTen reports whether e is 10 to a whole number.
func isPowerOfTen(e Expr) bool {
	b, ok := e.(*Binary)
	if !ok || b.Op != OpPow {
		return false
	}
	ten, ok := b.X.(*Number)
	if !ok || numberText(ten) != "10" {
		return false
	}
	y := b.Y
	if u, ok := y.(*Unary); ok {
		y = u.X
	}
	n, ok := y.(*Number)
	return ok && digitsEnd(numberText(n), 0) == len(numberText(n))
}

// superscriptOf returns an exponent in superscript digits, if it is a whole
// number with at most a minus sign.
func superscriptOf(e Expr) (string, bool) {
	sign := ""
	if u, ok := e.(*Unary); ok && u.Op == OpNeg {
		sign, e = "⁻", u.X
	}
	n, ok := e.(*Number)
	if !ok {
		return "", false
	}
	text := numberText(n)
	if text == "" || len(text) > maxSuperscript || digitsEnd(text, 0) != len(text) {
		return "", false
	}
	var b strings.Builder
	b.WriteString(sign)
	for i := range len(text) {
		b.WriteString(superscriptDigits[text[i]-'0'])
	}
	return b.String(), true
}

var superscriptDigits = [...]string{"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"}
