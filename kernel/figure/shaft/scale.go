package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/unit"
)

// usual lowers a scale, in units of the figure for one of length, to the next
// of the usual scales 1:1, 1:2, 1:5, 1:10 … and 2:1, 5:1 … (ISO 5455, from
// memory). On the screen, whose size is not known, every scale will do.
func (l *shaftPlan) usual(perX float64) float64 {
	one, ok := l.fullSize()
	if !ok {
		return perX
	}
	return one * usualScale(perX/one)
}

// wanted is usual for a scale that may be exceeded somewhat.
func (l *shaftPlan) wanted(perX float64) float64 {
	if !l.paper {
		return perX
	}
	return l.usual(1.7 * perX)
}

// fullSize is the scale 1:1 on paper.
func (l *shaftPlan) fullSize() (perX float64, ok bool) {
	u, err := unit.Parse(l.s.LengthUnit)
	if !l.paper || err != nil {
		return 0, false
	}
	return u.Factor * 1000 / figure.MillimetresPerUnit, true
}

// usualScale returns the greatest usual scale that is not above r, which is
// above 0.
func usualScale(r float64) float64 {
	if r < 1 {
		inverse := 1 / r * (1 - 1e-9)
		power := elementary.Pow(10, math.Floor(elementary.Log10(inverse)))
		for _, m := range []float64{1, 2, 5, 10} {
			if m*power >= inverse {
				return 1 / (m * power)
			}
		}
	}
	power := elementary.Pow(10, math.Floor(elementary.Log10(r*(1+1e-9))))
	for _, m := range []float64{5, 2} {
		if m*power <= r*(1+1e-9) {
			return m * power
		}
	}
	return power
}

// scaleText names the scale of a drawing on paper; it is empty on the screen.
func (l *shaftPlan) scaleText() string {
	one, ok := l.fullSize()
	if !ok {
		return ""
	}
	if r := l.perD / l.times / one; r < 1 {
		return "1:" + figure.FormatNumber(1/r, 6)
	} else {
		return figure.FormatNumber(r, 6) + ":1"
	}
}
