package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
)

// Energy returns the strain energy of the shaft, J:
//
//	U = ∫ T²/(2·G·J) dx
//
// which is what it gives back when it is unloaded, also where a part of it has
// yielded; without that of elastic holds, which is R²/(2·k) each. Gere, Mechanics of
// Materials, Eq. 3-55.
func (s *Shaft) Energy() float64 { return s.energy }

func (s *Shaft) strainEnergy() float64 {
	sum := 0.0
	for i := range s.cells {
		sum += s.cells[i].energy()
	}
	return sum
}

// evenRatio is the greatest ratio of diameters over which the 15-point rule is
// used on a taper. The pole of 1/(1 + εs)⁴ is then so far off that the rule is
// exact to rounding.
const evenRatio = 1.5

func (c *cell) energy() float64 {
	h := c.length()
	if c.form == numericCell {
		sum := 0.0
		for i, f := range c.f {
			t := c.torque((1 + kronrodX[i]) / 2)
			sum += float64(kronrodW[i] * t * t * f)
		}
		return sum * h / 4
	}
	growth := elementary.Log1p(c.eps)
	parts := max(1, int(math.Ceil(math.Abs(growth)/elementary.Ln(evenRatio))))
	sum, from := 0.0, 0.0
	for k := 1; k <= parts; k++ {
		to := 1.0
		if k < parts {
			to = elementary.Expm1(growth*float64(k)/float64(parts)) / c.eps
		}
		sum += float64((to - from) * c.energyPart(from, to))
		from = to
	}
	return sum * h * c.c / 4
}

// energyPart returns twice the mean of T²/(1 + εs)⁴ over s from a to b.
func (c *cell) energyPart(a, b float64) float64 {
	var s [15]float64
	kronrodNodes(&s, a, b)
	sum := 0.0
	for i, v := range s {
		t, q := c.torque(v), 1+float64(c.eps*v)
		sum += kronrodW[i] * t * t / (q * q * q * q)
	}
	return sum
}
