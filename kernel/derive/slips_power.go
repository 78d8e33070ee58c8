package derive

import (
	"fmt"
	"math/big"
	"strings"

	"shaftbook/kernel/notation"
)

func isPower(b *notation.Binary) bool { return b.Op == notation.OpPow }

// powerSlips changes exponents, and splits powers of sums.
func powerSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, b := range find(e, isPower) {
		n, ok := exponentOf(b)
		if !ok {
			continue
		}
		m := makerAt(b)
		for _, wrong := range []int{n - 1, n + 1, -n} {
			if wrong == 0 {
				continue
			}
			list = append(list, slipOf(replace(e, b, m.pow(b.X, wrong)),
				fmt.Sprintf("the exponent of %s became %s", notation.Print(b), signed(fmt.Sprint(wrong))), WrongPower).inGeneral())
		}
		base, ok := notation.Unparen(b.X).(*notation.Binary)
		if !ok {
			continue
		}
		switch base.Op {
		case notation.OpAdd, notation.OpSub:
			split := m.paren(m.binary(base.Op, m.pow(m.paren(base.X), n), m.pow(m.paren(base.Y), n)))
			list = append(list, slipOf(replace(e, b, split), fmt.Sprintf("the power of %s was split term by term", notation.Print(b)), Powers))
		case notation.OpMul, notation.OpDiv:
			words := "the power of " + notation.Print(b) + " was taken of %s only"
			list = append(list,
				slipOf(replace(e, b, m.paren(m.binary(base.Op, base.X, m.pow(m.paren(base.Y), n)))), fmt.Sprintf(words, notation.Print(base.Y)), WrongPower).inGeneral(),
				slipOf(replace(e, b, m.paren(m.binary(base.Op, m.pow(m.paren(base.X), n), m.paren(base.Y)))), fmt.Sprintf(words, notation.Print(base.X)), WrongPower).inGeneral())
		}
	}
	for _, b := range find(e, isSum) {
		x, ok1 := notation.Unparen(b.X).(*notation.Binary)
		y, ok2 := notation.Unparen(b.Y).(*notation.Binary)
		if !ok1 || !ok2 || x.Op != notation.OpPow || y.Op != notation.OpPow {
			continue
		}
		n, ok1 := exponentOf(x)
		k, ok2 := exponentOf(y)
		if !ok1 || !ok2 || n != k {
			continue
		}
		m := makerAt(b)
		joined := m.pow(m.paren(m.binary(b.Op, x.X, y.X)), n)
		list = append(list, slipOf(replace(e, b, m.paren(joined)), fmt.Sprintf("the powers in %s were joined before they were taken", notation.Print(b)), Powers))
		for _, wrong := range []int{n - 1, n + 1, n - 2} {
			if wrong < 1 {
				continue
			}
			both := m.paren(m.binary(b.Op, m.pow(x.X, wrong), m.pow(y.X, wrong)))
			list = append(list, slipOf(replace(e, b, both), fmt.Sprintf("the exponents in %s became %d", notation.Print(b), wrong), WrongPower).inGeneral())
		}
	}
	return list
}

func exponentOf(b *notation.Binary) (int, bool) {
	r, ok := fractionalExponent(b)
	if !ok || !r.IsInt() || r.Num().CmpAbs(big.NewInt(12)) > 0 {
		return 0, false
	}
	return int(r.Num().Int64()), true
}

func fractionalExponent(b *notation.Binary) (*big.Rat, bool) {
	return notation.StaticRational(b.Y, func(string) (notation.Expr, bool) { return nil, false })
}

// isAcross reports whether a name is that of a radius or a diameter.
func isAcross(ident string) bool { return strings.ContainsAny(ident[:1], "dDrR") }

// radiusSlips takes a diameter for its half or its double: a name or the base of a third or fourth power; and the result of a cube or fourth root.
func (j *judge) radiusSlips(list []mistaken, e notation.Expr) []mistaken {
	const half, twice = "radius and diameter were mixed: half of %s stands for %[1]s", "radius and diameter were mixed: twice %s stands for %[1]s"
	both := func(of notation.Expr, with func(notation.Expr) notation.Expr) {
		m, text := makerAt(of), notation.Print(notation.Unparen(of))
		list = append(list,
			slipOf(with(m.paren(m.div(m.paren(of), m.number(2)))), fmt.Sprintf(half, text), RadiusSlip),
			slipOf(with(m.paren(m.mul(m.number(2), m.paren(of)))), fmt.Sprintf(twice, text), RadiusSlip))
	}
	seen := map[string]bool{}
	for _, use := range notation.FreeNames(e) {
		symbol, known := j.scope.symbols[use.Ident]
		if !known || symbol.Func != nil || seen[use.Ident] || symbol.Type.Dim != lengthDimension || !isAcross(use.Ident) {
			continue
		}
		seen[use.Ident] = true
		both(makerAt(use).name(use.Ident), func(x notation.Expr) notation.Expr { return put(e, use.Ident, x) })
	}
	for _, b := range find(e, isPower) {
		r, ok := fractionalExponent(b)
		if !ok {
			continue
		}
		third, fourth := r.Cmp(big.NewRat(1, 3)) == 0, r.Cmp(big.NewRat(1, 4)) == 0
		n, _ := exponentOf(b)
		if (n == 3 || n == 4 || n == -3 || n == -4) && couldBeAcross(b.X) {
			both(b.X, func(x notation.Expr) notation.Expr { return replace(e, b, makerAt(b).pow(x, n)) })
		}
		if third || fourth {
			both(b, func(x notation.Expr) notation.Expr { return replace(e, b, x) })
		}
	}
	return list
}

// couldBeAcross reports whether the base of a power is a diameter or a number
// that may be one.
func couldBeAcross(e notation.Expr) bool {
	names := notation.FreeNames(e)
	for _, n := range names {
		if isAcross(n.Ident) {
			return true
		}
	}
	if len(names) > 0 || len(find(e, isFunctionCall)) > 0 {
		return len(find(e, isFunctionCall)) > 0
	}
	return true
}

func isFunctionCall(c *notation.Call) bool { return isAcross(c.Fun.Ident) }

// functionSlips writes one function for its sister.
func functionSlips(list []mistaken, e notation.Expr) []mistaken {
	sisters := map[string]string{"sin": "cos", "cos": "sin", "ln": "log10", "asin": "acos", "acos": "asin", "tan": "atan"}
	for _, c := range find(e, func(c *notation.Call) bool { return sisters[c.Fun.Ident] != "" && len(c.Args) == 1 }) {
		other := sisters[c.Fun.Ident]
		list = append(list, slipOf(replace(e, c, makerAt(c).call(other, c.Args[0])), fmt.Sprintf("%s stands where %s belongs", other, c.Fun.Ident), WrongName).inGeneral())
	}
	return list
}
