package derive

import (
	"math"
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
)

// powersOff finds the powers of given names by which a step is off, from the
// sensitivities ∂ln(claimed ÷ true)/∂ln x.
func (j *judge) powersOff(a, b *statement, m measured) (string, Slip) {
	if !shareNames(a.full, b.full) {
		return "", NoSlip // one formula for another
	}
	used := usedNames(a.full, b.full)
	ratio := append([]float64(nil), m.ratio...)
	var missing, extra []string
	for _, v := range j.scope.vars {
		ident := v.name.Ident
		if !used[ident] || v.whole {
			continue
		}
		s, ok := j.sensitivity(ident, a, b, m)
		if !ok {
			return "", NoSlip
		}
		if s == 0 {
			continue
		}
		for i, p := range m.points {
			ratio[i] /= elementary.Pow(math.Abs(p[ident].Float64()), s)
		}
		if s < 0 {
			missing = append(missing, powerText(ident, -s))
		} else {
			extra = append(extra, powerText(ident, s))
		}
	}
	f, ok := sameEverywhere(ratio)
	if !ok || len(missing)+len(extra) == 0 {
		return "", NoSlip
	}
	var parts []string
	if len(extra) > 0 {
		parts = append(parts, strings.Join(extra, "·")+" should not be there")
	}
	if len(missing) > 0 {
		parts = append(parts, "the factor "+strings.Join(missing, "·")+" is missing")
	}
	words := strings.Join(parts, ", and ")
	if math.Abs(f-1) > 1e-9 {
		text, _ := factorText(f)
		words += "; it is also off by the factor " + text
	}
	return words, WrongPower
}

func shareNames(a, b notation.Expr) bool {
	for _, n := range notation.FreeNames(a) {
		if n.Ident != "π" && isFree(b, n.Ident) {
			return true
		}
	}
	return false
}

// sensitivity is ∂ln(claimed ÷ true)/∂ln x, if it is the same whole or half
// number at all points.
func (j *judge) sensitivity(ident string, a, b *statement, m measured) (float64, bool) {
	result, known := 0.0, false
	for i, p := range m.points {
		moved := point{}
		for n, x := range p {
			moved[n] = x
		}
		const step = 1e-6
		x, err := bigfloat.Float(p[ident].Float64() * (1 + step))
		if err != nil || x.Sign() == 0 {
			return 0, false
		}
		moved[ident] = x
		v, err1, err2 := j.evaluateBoth(moved, a, b)
		if err1 != nil || err2 != nil || v.above.Sign() == 0 {
			return 0, false
		}
		change := v.claim.Float64() / v.above.Float64() / m.ratio[i]
		if change <= 0 {
			return 0, false
		}
		s := float64(elementary.Ln(change) / elementary.Log1p(step))
		nearest := float64(math.Round(2*s) / 2)
		if math.Abs(s-nearest) > 1e-6 || known && nearest != result {
			return 0, false
		}
		result, known = nearest, true
	}
	return result, known
}

func powerText(ident string, s float64) string {
	switch {
	case s == 1:
		return ident
	case s >= 2 && s <= 4 && s == math.Trunc(s):
		return ident + superscript(int(s))
	}
	text, _ := factorText(s)
	return ident + "^" + bracketed(text)
}
