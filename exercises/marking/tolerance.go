package marking

import (
	"math"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Tolerance is how far an answer may be from the exact value: by a share of
// it, by an amount, or by the rounding to a number of significant figures.
// Exactly one is set.
type Tolerance struct {
	Relative float64 // 0.01 for 1 %
	Absolute float64 // in SI base units
	Figures  int

	Dim  unit.Dimension // of Absolute
	Bare bool           // Absolute was written without a unit
}

var DefaultTolerance = Tolerance{Relative: 0.01}

// slack forgives the rounding of float64 at the very edge of a tolerance.
const slack = 1 + 1e-9

// Width returns the largest distance from the exact value e that is right.
// The figures count in the unit in which the answer is written, whose factor
// is given.
func (t Tolerance) Width(e, factor float64) float64 {
	switch {
	case t.Absolute > 0:
		return t.Absolute * slack
	case t.Figures > 0:
		return halfUnit(e/factor, t.Figures) * factor * slack
	}
	return t.Relative * math.Abs(e) * slack
}

// Widest returns the largest distance that is right in any unit.
func (t Tolerance) Widest(e float64) float64 {
	if t.Figures > 0 {
		return 0.5 * math.Pow(10, float64(1-t.Figures)) * math.Abs(e)
	}
	return t.Width(e, 1)
}

// halfUnit returns half a unit of the n-th significant figure of x.
func halfUnit(x float64, n int) float64 {
	if x == 0 {
		return 0
	}
	return 0.5 * math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-float64(n-1))
}

// ParseTolerance reads 1 %, 0.01 deg or 3 figures.
func ParseTolerance(s string) (Tolerance, bool) {
	if count, found := strings.CutSuffix(strings.TrimSpace(s), "figures"); found {
		x, list := notation.ParseExpr(source.NewText("", strings.TrimSpace(count)))
		number, ok := x.(*notation.Number)
		if list.HasErrors() || !ok || number.Value != math.Trunc(number.Value) || number.Value < 1 || number.Value > 12 {
			return Tolerance{}, false
		}
		return Tolerance{Figures: int(number.Value)}, true
	}
	x, list := notation.ParseExpr(source.NewText("", s))
	if list.HasErrors() {
		return Tolerance{}, false
	}
	switch x := x.(type) {
	case *notation.Quantity:
		v := x.Number.Value * x.Unit.Unit.Factor
		if x.Unit.Text == "%" {
			return Tolerance{Relative: v}, v > 0 && v <= 0.5
		}
		return Tolerance{Absolute: v, Dim: x.Unit.Unit.Dim}, v > 0
	case *notation.Number: // of an answer that is a pure number
		return Tolerance{Absolute: x.Value, Bare: true}, x.Value > 0
	}
	return Tolerance{}, false
}
