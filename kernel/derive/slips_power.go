package derive

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/words"
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
		for _, wrong := range []int{n - 1, n + 1, -n, 1} {
			if wrong == 0 || wrong == n {
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
		list = differenceSlips(list, e, b)
	}
	return rootSlips(list, e)
}

// rootSlips splits the root of a sum.
func rootSlips(list []mistaken, e notation.Expr) []mistaken {
	add := func(x, under notation.Expr, root func(notation.Expr) notation.Expr) {
		sum, ok := notation.Unparen(under).(*notation.Binary)
		if !ok || !isSum(sum) {
			return
		}
		m := makerAt(x)
		split := m.paren(m.binary(sum.Op, root(m.paren(sum.X)), root(m.paren(sum.Y))))
		list = append(list, slipOf(replace(e, x, split), "the root of "+notation.Print(sum)+" was split term by term", Powers))
	}
	for _, r := range find(e, func(*notation.Root) bool { return true }) {
		add(r, r.X, func(x notation.Expr) notation.Expr { return makerAt(r).call("sqrt", x) })
	}
	for _, c := range find(e, func(c *notation.Call) bool { return c.Fun.Ident == "sqrt" && len(c.Args) == 1 }) {
		add(c, c.Args[0], func(x notation.Expr) notation.Expr { return makerAt(c).call("sqrt", x) })
	}
	for _, b := range find(e, isPower) {
		if r, ok := fractionalExponent(b); ok && !r.IsInt() {
			add(b, b.X, func(x notation.Expr) notation.Expr { return makerAt(b).binary(notation.OpPow, x, b.Y) })
		}
	}
	return list
}

// A scaled power is c·pⁿ.
type scaledPower struct {
	c, p notation.Expr // c is nil for 1
	n    int
}

func scaledPowerOf(e notation.Expr) (scaledPower, bool) {
	b, ok := notation.Unparen(e).(*notation.Binary)
	if !ok {
		return scaledPower{}, false
	}
	switch b.Op {
	case notation.OpMul, notation.OpDiv:
		inner, ok := scaledPowerOf(b.Y)
		if !ok || inner.c != nil {
			return scaledPower{}, false
		}
		if one, isNumber := notation.Unparen(b.X).(*notation.Number); !isNumber || one.Value != 1 {
			inner.c = b.X
		}
		if b.Op == notation.OpDiv {
			inner.n = -inner.n
		}
		return inner, true
	case notation.OpPow:
		n, ok := exponentOf(b)
		return scaledPower{nil, b.X, n}, ok && (n >= 2 || n <= -2)
	}
	return scaledPower{}, false
}

// differenceSlips joins the powers of a sum c·pⁿ ± c·qⁿ, or gives both another
// exponent. 1 counts as 1ⁿ.
func differenceSlips(list []mistaken, e notation.Expr, b *notation.Binary) []mistaken {
	m := makerAt(b)
	x, ok1 := scaledPowerOf(b.X)
	y, ok2 := scaledPowerOf(b.Y)
	if one, ok := notation.Unparen(b.X).(*notation.Number); ok && one.Value == 1 && ok2 && y.c == nil {
		x, ok1 = scaledPower{nil, m.number(1), y.n}, true
	}
	same := x.c == nil && y.c == nil || x.c != nil && y.c != nil && notation.Print(x.c) == notation.Print(y.c)
	if !ok1 || !ok2 || x.n != y.n || !same {
		return list
	}
	with := func(of notation.Expr) notation.Expr {
		if x.c != nil {
			of = m.mul(m.paren(x.c), m.paren(of))
		}
		return replace(e, b, m.paren(of))
	}
	text := notation.Print(b)
	joined := m.pow(m.paren(m.binary(b.Op, m.paren(x.p), m.paren(y.p))), x.n)
	list = append(list, slipOf(with(joined), fmt.Sprintf("the powers in %s were joined before they were taken", text), Powers))
	for _, wrong := range []int{x.n - 1, x.n + 1, x.n - 2} {
		if wrong < 1 {
			continue
		}
		both := m.paren(m.binary(b.Op, m.pow(m.paren(x.p), wrong), m.pow(m.paren(y.p), wrong)))
		list = append(list, slipOf(with(both), fmt.Sprintf("the exponents in %s became %d", text, wrong), WrongPower).inGeneral())
		if wrong == x.n-1 {
			list = append(list, slipOf(with(m.mul(m.paren(x.p), both)),
				fmt.Sprintf("%s was divided by %s term by term: the exponents became %d", text, notation.Print(x.p), wrong), WrongPower))
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

// isAcross reports whether a name is that of a radius or a diameter: d, D_o, r_1,
// but not dx.
func isAcross(ident string) bool {
	rest := ident[1:]
	return strings.ContainsAny(ident[:1], "dDrR") && (rest == "" || strings.ContainsAny(rest[:1], "_0123456789"))
}

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
	if len(seen) > 1 {
		idents := slices.Sorted(maps.Keys(seen))
		m, halves, doubles := makerAt(e), e, e
		for _, ident := range idents {
			halves = put(halves, ident, m.div(m.name(ident), m.number(2)))
			doubles = put(doubles, ident, m.mul(m.number(2), m.name(ident)))
		}
		list = append(list,
			slipOf(halves, "radius and diameter were mixed: the halves of "+words.And(idents)+" stand for them", RadiusSlip),
			slipOf(doubles, "radius and diameter were mixed: the doubles of "+words.And(idents)+" stand for them", RadiusSlip))
	}
	list = sectionSlips(list, e)
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

// sectionSlips takes the radii in a second moment of area, or in a section
// modulus, for diameters, and the reverse: all third or fourth powers at once.
func sectionSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, n := range []int{3, 4} {
		powers := find(e, func(b *notation.Binary) bool {
			k, ok := exponentOf(b)
			return isPower(b) && ok && (k == n || k == -n) && couldBeAcross(b.X)
		})
		if len(powers) < 2 {
			continue
		}
		halves, doubles := e, e
		for _, b := range powers {
			m := makerAt(b)
			halves = replace(halves, b, m.binary(notation.OpPow, m.paren(m.div(m.paren(b.X), m.number(2))), b.Y))
			doubles = replace(doubles, b, m.binary(notation.OpPow, m.paren(m.mul(m.number(2), m.paren(b.X))), b.Y))
		}
		list = append(list,
			slipOf(halves, "radius and diameter were mixed in the formula of the section: it is that for diameters, with radii put in", RadiusSlip),
			slipOf(doubles, "radius and diameter were mixed in the formula of the section: it is that for radii, with diameters put in", RadiusSlip))
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
