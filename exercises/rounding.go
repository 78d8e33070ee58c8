package exercises

import (
	"context"
	"math"
)

// roundedBetween reports whether an answer is what comes out when a value on
// the way was rounded to two or three figures: the radians before they became
// degrees, or a derived name.
func (v *Variant) roundedBetween(ctx context.Context, a *Part, k *answerKey, g guess) bool {
	if math.Abs(g.value-k.value) > 0.1*math.Abs(k.value) {
		return false // three figures, to the fourth power, do not lose a tenth
	}
	reach := max(min(g.half, 0.002*math.Abs(k.value)), 1e-6*math.Abs(k.value))
	for figures := 2; figures <= 3; figures++ {
		if k.angle && math.Abs(g.value-rounded(k.value, figures)) <= reach {
			return true
		}
	}
	if k.angle {
		for _, places := range []float64{100, 1000, 10000} {
			if math.Abs(g.value-math.Round(k.value*places)/places) <= reach {
				return true
			}
		}
	}
	return v.derivedRounded(ctx, a, g, reach)
}

func (v *Variant) derivedRounded(ctx context.Context, a *Part, g guess, reach float64) bool {
	c := slipCase{ctx: ctx, d: v.desk, ask: a}
	for i, given := range v.Structure.Given {
		if !given.Derived || given.isFunc {
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
