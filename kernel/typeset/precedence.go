package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
)

// Levels of binding, loosest first.
const (
	levelIf = iota
	levelOr
	levelAnd
	levelNot
	levelCompare
	levelSpread // ±
	levelAdd
	levelMul
	levelSign
	levelPower
	levelAtom
)

// level returns how tightly e holds together as it is set: a fraction bar, a
// radical and a pair of bars hold their operands, so that brackets around them
// are needed only under an exponent. slash is set where quotients are written
// with a slash.
func level(e notation.Expr, slash bool) int {
	switch e := e.(type) {
	case *notation.If:
		return levelIf
	case *notation.Logic:
		return logicLevel(e.Op)
	case *notation.Compare:
		return levelCompare
	case *notation.PlusMinus:
		return levelSpread
	case *notation.Unary:
		return levelSign
	case *notation.Binary:
		return binaryLevel(e, slash)
	case *notation.Bind:
		if e.Kind == notation.Change {
			return levelPower // a bracket with limits beside it
		}
		if _, ok := notation.IsFactorial(e); ok {
			return levelPower
		}
		return levelMul
	case *notation.Quantity:
		return levelPower
	case *notation.Number:
		return numberLevel(e.Text)
	case *notation.Infinity:
		if e.Sign < 0 {
			return levelSign
		}
	}
	return levelAtom
}

func logicLevel(o notation.Op) int {
	switch o {
	case notation.OpOr:
		return levelOr
	case notation.OpAnd:
		return levelAnd
	}
	return levelNot
}

func binaryLevel(e *notation.Binary, slash bool) int {
	switch {
	case e.Op == notation.OpAdd || e.Op == notation.OpSub:
		return levelAdd
	case e.Op == notation.OpPow || isBar(e, slash):
		return levelPower
	}
	return levelMul
}

// isBar reports whether e is a quotient that is set as one fraction bar, and
// so holds its operands.
func isBar(e *notation.Binary, slash bool) bool {
	if e.Op != notation.OpDiv || slash {
		return false
	}
	_, split := lastFactor(e)
	return !split
}

// lastFactor finds the quotients that read better as a product of fractions:
// a/b·c/d is one quotient by d, and is set as the fraction a/b times the
// Fraction c/d, as it was written. It returns the product above the bar.
func lastFactor(e *notation.Binary) (product *notation.Binary, ok bool) {
	product, ok = e.X.(*notation.Binary)
	if !ok || product.Op != notation.OpMul {
		return nil, false
	}
	for x := product.X; ; {
		b, isBinary := x.(*notation.Binary)
		if !isBinary || b.Op != notation.OpMul && b.Op != notation.OpDiv {
			return nil, false
		}
		if b.Op == notation.OpDiv {
			return product, true
		}
		x = b.X
	}
}

func numberLevel(written string) int {
	switch {
	case strings.HasPrefix(written, "-") || strings.HasPrefix(written, "−"):
		return levelSign
	case strings.ContainsAny(written, "eE×·"):
		return levelPower
	}
	return levelAtom
}

// opens reports whether the first thing seen of e is a sign, so that it cannot
// follow an operator without brackets.
func opens(e notation.Expr, slash bool) bool {
	switch e := e.(type) {
	case *notation.Unary:
		return true
	case *notation.Infinity:
		return e.Sign < 0
	case *notation.Number:
		return level(e, slash) == levelSign
	case *notation.Quantity:
		return e.Number != nil && opens(e.Number, slash)
	case *notation.PlusMinus:
		return opens(e.Mid, slash)
	case *notation.Binary:
		if e.Op == notation.OpPow || isBar(e, slash) {
			return false
		}
		return opens(e.X, slash)
	}
	return false
}

// runsOn reports whether e ends in a form whose reach to the right would
// swallow what follows: a sum, a product, an extreme, a limit. An integral is
// ended by its differential, a derivative by its place.
func runsOn(e notation.Expr, slash bool) bool {
	switch e := e.(type) {
	case *notation.Bind:
		_, factorial := notation.IsFactorial(e)
		return !factorial && e.Kind != notation.Integral && e.Kind != notation.Derivative && e.Kind != notation.Change
	case *notation.Unary:
		return runsOn(e.X, slash)
	case *notation.Binary:
		if e.Op == notation.OpPow || e.Op == notation.OpDiv && !slash {
			return false // an exponent and a bar end what they hold
		}
		return runsOn(e.Y, slash)
	case *notation.Logic:
		return runsOn(e.Y, slash)
	}
	return false
}

// startsWithDigit reports whether the first thing seen of e is a number, so
// that a centred dot before it could be taken for a decimal point. A value in
// brackets counts; a longer bracket does not.
func startsWithDigit(e notation.Expr, slash bool) bool {
	switch e := e.(type) {
	case *notation.Number, *notation.Quantity:
		return true
	case *notation.Paren:
		return isValue(notation.Unparen(e))
	case *notation.PlusMinus:
		return startsWithDigit(e.Mid, slash)
	case *notation.Unary:
		return startsWithDigit(e.X, slash)
	case *notation.Binary:
		return !isBar(e, slash) && startsWithDigit(e.X, slash)
	}
	return false
}

// endsWithUnit reports whether the last thing seen of e is a unit, so that a
// centred dot after it could be taken for a product of units.
func endsWithUnit(e notation.Expr, slash bool) bool {
	switch e := e.(type) {
	case *notation.Quantity:
		return true
	case *notation.Between:
		return isValue(e)
	case *notation.Paren:
		return isValue(notation.Unparen(e))
	case *notation.Unary:
		return endsWithUnit(e.X, slash)
	case *notation.PlusMinus:
		return endsWithUnit(e.Half, slash)
	case *notation.Binary:
		if e.Op == notation.OpPow || e.Op == notation.OpDiv && !slash {
			return false
		}
		return endsWithUnit(e.Y, slash)
	}
	return false
}
