package derive

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
)

// A mistaken line is what the line above would give with one slip made, or, of
// an undone one, what the claim would be without its slip.
type mistaken struct {
	expr    notation.Expr
	words   string
	slip    Slip
	name    string // if set, a name that must be used in the claim
	undone  bool
	general bool // a slip of algebra, named only where none of the trade explains the line
}

func slipOf(e notation.Expr, words string, slip Slip) mistaken {
	return mistaken{expr: e, words: words, slip: slip}
}

// undoing is a claim with its slip taken back: it must equal the line above.
func undoing(e notation.Expr, words string, slip Slip) mistaken {
	return mistaken{expr: e, words: words, slip: slip, undone: true}
}

// showing limits a slip to claims that contain a name: where one name is
// taken for another and then cancels, the claim is better called a special
// case.
func (s mistaken) showing(name string) mistaken {
	s.name = name
	return s
}

// inGeneral marks a slip of algebra.
func (s mistaken) inGeneral() mistaken {
	s.general = true
	return s
}

// maxSlips bounds how many are tried at one level of definitions.
const maxSlips = 400

// slips lists the slips that can be made in a line e, a form of the line above,
// and that the claim may have made: first those of the trade, the likeliest
// first, then those of algebra. The catalogue is common practice, no source.
func (j *judge) slips(e, claim notation.Expr) []mistaken {
	t := traceOf(j, e, claim)
	var list []mistaken
	list = j.integralSlips(list, e, claim)
	list = j.endSlips(list, e)
	list = sumSlips(list, e)
	list = j.denominatorSlips(list, e)
	list = absoluteSlips(list, e)
	list = j.slopeSlips(list, e)
	list = bendingSlips(list, e, t)
	list = j.radiusSlips(list, e)
	list = j.angleSlips(list, e)
	list = j.speedSlips(list, e, t)
	list = j.nameSlips(list, e, claim)
	list = j.unitSlips(list, e, slipOf, true)
	list = decimalSlips(list, e, slipOf)
	list = roundingSlips(list, e)
	list = meanSlips(list, e)
	list = termSlips(list, e)
	list = powerSlips(list, e)
	list = functionSlips(list, e)
	return list[:min(len(list), maxSlips)]
}

// undone lists what the claim would be with one slip taken back, of the slips
// that show in its numbers.
func (j *judge) undone(claim notation.Expr) []mistaken {
	list := j.unitSlips(nil, claim, undoing, false)
	list = decimalSlips(list, claim, undoing)
	for _, q := range find(claim, func(n *notation.Number) bool { return n.Value == 64 && !isExponent(claim, n) }) {
		list = append(list, undoing(replace(claim, q, makerAt(q).number(32)), "bending and torsion were mixed: π/64·d⁴ is for bending, π/32·d⁴ for torsion", Bending))
	}
	return list[:min(len(list), maxSlips)]
}

// levels returns the line above as it is written, then with its definitions put
// in one after the other, as they are written, and at last in terms of given
// names only, with integrals and in closed form.
func (j *judge) levels(a *statement) []notation.Expr {
	list := []notation.Expr{a.expr}
	e := a.expr
	for range 4 {
		next := j.scope.apply(e)
		for _, n := range notation.FreeNames(next) {
			if symbol := j.scope.symbols[n.Ident]; symbol != nil && symbol.Kind == check.Value && symbol.Expr != nil {
				next = put(next, n.Ident, symbol.Expr)
			}
		}
		if next == e || size(next, maxLevel) > maxLevel {
			break
		}
		list, e = append(list, next), next
	}
	for _, e := range []notation.Expr{a.full, j.withNames(a.closed)} {
		if e != nil && size(e, maxLevel) <= maxLevel {
			list = append(list, e)
		}
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(list, func(e notation.Expr) bool {
		text := notation.Print(e)
		if seen[text] {
			return true
		}
		seen[text] = true
		return false
	})
}

// withNames writes the sums in a closed form as the names that they are equal to:
// d_0 + (d_1 − d_0)/L·L is d_1.
func (j *judge) withNames(e notation.Expr) notation.Expr {
	if e == nil || size(e, maxLevel) > maxLevel {
		return nil
	}
	tried := map[string]notation.Expr{}
	var walk func(notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		b, ok := notation.Unparen(e).(*notation.Binary)
		if !ok || !isSum(b) {
			return notation.Map(e, walk)
		}
		key := notation.Print(b)
		if _, known := tried[key]; !known {
			tried[key] = notation.Map(e, walk)
			if ident := j.called(b); ident != key {
				tried[key] = makerAt(e).name(ident)
			}
		}
		return tried[key]
	}
	return walk(e)
}

// maxLevel bounds the lines in which slips are looked for, in nodes.
const maxLevel = 400
