package marking

import (
	"context"
	"math"
)

// roundedBetween reports whether an answer is the result where a value on
// the way was rounded to two or three figures: the radians before they became
// degrees, or a derived name.
func (m *Marker) roundedBetween(ctx context.Context, g numericAnswer) bool {
	k := m.Key
	if math.Abs(g.value-k.Value) > 0.1*math.Abs(k.Value) {
		return false // three figures, to the fourth power, do not lose a tenth
	}
	reach := max(min(g.half, 0.002*math.Abs(k.Value)), 1e-6*math.Abs(k.Value))
	for figures := 2; figures <= 3; figures++ {
		if k.Angle && math.Abs(g.value-rounded(k.Value, figures)) <= reach {
			return true
		}
	}
	if k.Angle {
		for _, places := range []float64{100, 1000, 10000} {
			if math.Abs(g.value-math.Round(k.Value*places)/places) <= reach {
				return true
			}
		}
	}
	return m.derivedRounded(ctx, g, reach)
}

func (m *Marker) derivedRounded(ctx context.Context, g numericAnswer, reach float64) bool {
	c := slipCase{ctx: ctx, numbers: m.Numbers, part: m.Scheme}
	for i, given := range m.Numbers.Givens() {
		if !given.Derived || given.IsFunc {
			continue
		}
		for figures := 2; figures <= 3; figures++ {
			value, err := c.with(map[int]float64{i: rounded(c.number(i), figures)})
			if err == nil && math.Abs(g.value-value) <= reach {
				return true
			}
		}
	}
	return false
}

// rounded returns x to a number of significant figures.
func rounded(x float64, figures int) float64 {
	if x == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-float64(figures-1))
	return math.Round(x/unit) * unit
}
