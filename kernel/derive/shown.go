package derive

import (
	"strings"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/unit"
)

// mostFigures is how many figures of a float64 are shown at most.
const mostFigures = 15

// shownApart shows two values that differ, both in the unit of the first, with as many
// figures as it takes to see that they do. Equal values are shown as they are.
func (j *judge) shownApart(x, y bigfloat.Value, s *statement) (string, string) {
	above, claim := j.show(x, s), j.show(y, s)
	if !sameNumber(above, claim) {
		return above, claim
	}
	difference, err := bigfloat.Sub(y, x)
	if err != nil || difference.Sign() == 0 {
		return above, claim // a strict bound fails where its sides are equal
	}
	u := unit.Choose(x.Float64(), s.typ.Dim, j.settings.Prefer, unit.NoHint)
	for figures := 5; figures <= mostFigures && sameNumber(above, claim); figures++ {
		above = unit.Format(x.Float64(), u, unit.Rounding{Figures: figures})
		claim = unit.Format(y.Float64(), u, unit.Rounding{Figures: figures})
	}
	if !sameNumber(above, claim) {
		return above, claim
	}
	sign := " + "
	if difference.Sign() < 0 {
		difference, sign = bigfloat.Neg(difference), " − "
	}
	return above, above + sign + j.show(difference, s)
}

// sameNumber reports whether two values read as the same: 2 and 2.000 do.
func sameNumber(x, y string) bool {
	plain := func(text string) string {
		number, rest, _ := strings.Cut(text, " ")
		if strings.Contains(number, ".") && !strings.Contains(number, "×") {
			number = strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
		}
		return number + " " + rest
	}
	return plain(x) == plain(y)
}
