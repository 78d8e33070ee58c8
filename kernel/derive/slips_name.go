package derive

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

var (
	torqueDimension = unit.Base(2, 1, -2)
	stressDimension = unit.Base(-1, 1, -2)
	secondMoment    = unit.Base(4, 0, 0)
	speedDimension  = unit.Base(0, 0, -1)
	compliance      = unit.Base(-2, -1, 2) // of a shaft: an angle per torque
)

// nameSlips writes one name for another of the same dimension.
func (j *judge) nameSlips(list []mistaken, e, claim notation.Expr) []mistaken {
	whole, _ := j.scope.typeOf(e)
	deforms := whole.Dim != torqueDimension // a twist, a stress or an energy
	for _, ident := range distinctNames(e) {
		s := j.scope.symbols[ident]
		deforms = deforms || s != nil && s.Func == nil && s.Type.Dim == stressDimension
	}
	seen := map[string]bool{}
	for _, use := range notation.FreeNames(e) {
		symbol, known := j.scope.symbols[use.Ident]
		if !known || symbol.Func != nil {
			continue
		}
		for _, other := range j.scope.order {
			o := j.scope.symbols[other]
			if other == use.Ident || other == j.defining || o.Func != nil || o.Type.Dim != symbol.Type.Dim {
				continue
			}
			m := makerAt(use)
			all := put(e, use.Ident, m.name(other))
			if key := use.Ident + " " + other; !seen[key] && !cancels(all) {
				seen[key] = true
				list = append(list, confusion(all, use.Ident, other, symbol.Type.Dim, deforms, !isFree(claim, use.Ident)).showing(other))
				list = j.equalSlips(list, e, claim, use.Ident, other, symbol.Type.Dim)
			}
			if once := replace(e, use, m.name(other)); !cancels(once) {
				list = append(list, confusion(once, use.Ident, other, symbol.Type.Dim, deforms, false).showing(other))
			}
			if key := other + " " + use.Ident + " swapped"; !seen[key] && isFree(e, other) {
				seen[use.Ident+" "+other+" swapped"] = true
				swapped := put(put(put(e, use.Ident, m.name("′swap")), other, m.name(use.Ident)), "′swap", m.name(other))
				list = append(list, slipOf(swapped, fmt.Sprintf("%s and %s have changed places", use.Ident, other), WrongName).showing(other).inGeneral())
			}
		}
	}
	return list
}

// cancels reports whether e subtracts something from itself: a claim without that
// part has rather lost a term.
func cancels(e notation.Expr) bool {
	return len(find(e, func(b *notation.Binary) bool {
		return b.Op == notation.OpSub && notation.Print(notation.Unparen(b.X)) == notation.Print(notation.Unparen(b.Y))
	})) > 0
}

// confusion is the slip of writing other for a name of dimension d, everywhere or
// once, in a line that may be one of a deformation.
func confusion(e notation.Expr, name, other string, d unit.Dimension, deforms, everywhere bool) mistaken {
	words := fmt.Sprintf("%s stands where %s belongs", other, name)
	switch {
	case d == stressDimension && strings.HasPrefix(other, "E") && strings.HasPrefix(name, "G"):
		return slipOf(e, words+": the twist goes with the shear modulus, not with Young's modulus", Modulus)
	case d == secondMoment && strings.HasPrefix(other, "I") && strings.HasPrefix(name, "J"):
		return slipOf(e, words+": torsion takes the polar second moment of area, π/32·d⁴ for a round section, and bending π/64·d⁴", Bending)
	case d == torqueDimension && deforms && everywhere:
		return slipOf(e, words+": each piece carries the torque of its own section", OneTorque)
	case d == lengthDimension && areEnds(name, other) && isAcross(name) && everywhere:
		return slipOf(e, words+": that is another section", WrongEnd)
	}
	return slipOf(e, words, WrongName).inGeneral()
}

// equalSlips takes two sections as equal, so that they cancel: the claim holds
// neither.
func (j *judge) equalSlips(list []mistaken, e, claim notation.Expr, name, other string, d unit.Dimension) []mistaken {
	across := d == lengthDimension && areEnds(name, other) && isAcross(name)
	if d != secondMoment && !across || isFree(claim, name) || isFree(claim, other) || !isFree(e, other) {
		return list
	}
	words := fmt.Sprintf("it takes %s and %s as equal", other, name)
	if t, errs := j.scope.typeOf(e); len(errs) == 0 && t.Dim == torqueDimension {
		words += ", so that the torque is shared by the lengths alone"
	}
	return append(list, slipOf(put(e, name, makerAt(e).name(other)), words, EqualSections))
}

// meanSlips puts the mean of the values at two ends for both.
func meanSlips(list []mistaken, e notation.Expr) []mistaken {
	names := notation.FreeNames(e)
	seen := map[string]bool{}
	for _, x := range names {
		for _, y := range names {
			key := x.Ident + " " + y.Ident
			if !areEnds(x.Ident, y.Ident) || !isAcross(x.Ident) || seen[key] || seen[y.Ident+" "+x.Ident] {
				continue
			}
			seen[key] = true
			m := makerAt(x)
			mean := m.div(m.paren(m.add(m.name(x.Ident), m.name(y.Ident))), m.number(2))
			both := put(put(put(e, x.Ident, m.name("′mean")), y.Ident, m.name("′mean")), "′mean", mean)
			list = append(list, slipOf(both, fmt.Sprintf("the mean of %s and %s was taken for both", x.Ident, y.Ident), MeanValue))
		}
	}
	return list
}
