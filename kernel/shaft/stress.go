package shaft

import (
	"math"

	"shaftbook/kernel/num"
)

// A peak is a greatest value and where it is reached.
type peak struct{ value, x float64 }

// Stress returns the greatest shear stress on the section at x, Pa, 0 or more:
//
//	τ = |T|·r/J
//
// in a round section of one material, the greater of |T|·G·r/(G·J) over the
// rims of both materials with a bonded core, |T|/W in a Section. Where the
// torque or the section jumps it is the greater of the two sides. Gere,
// Mechanics of Materials, Eq. 3-13 (round) and section 3.8 (bonded core).
func (s *Shaft) Stress(x float64) (float64, error) {
	x, err := s.inside(x)
	if err != nil {
		return 0, err
	}
	before, after := s.sides(x)
	stress, err := s.stressIn(&s.cells[after], x)
	if err != nil || before == after {
		return stress, err
	}
	other, err := s.stressIn(&s.cells[before], x)
	return max(stress, other), err
}

func (s *Shaft) stressIn(c *cell, x float64) (float64, error) {
	sl, err := s.sliceOf(c, x)
	return math.Abs(c.torqueAt(x)) * sl.tau, err
}

// StressMax returns the greatest shear stress in the shaft, Pa, and the first
// place where it is reached, m.
func (s *Shaft) StressMax() (stress, x float64) { return s.greatest.value, s.greatest.x }

// findPeak looks for the greatest stress: in closed form where torque and
// diameter are known so, and else from the points that resolve a panel.
func (s *Shaft) findPeak(v *validator) peak {
	var best peak
	inner := make([]float64, len(s.cells)) // greatest sample of a numeric cell, if not at its ends
	for i := range s.cells {
		c := &s.cells[i]
		var p peak
		var err error
		if c.form == numericCell {
			if p, err = s.sampledPeak(c); p.x > c.a && p.x < c.b {
				inner[i] = p.value
			}
		} else {
			p, err = s.closedPeak(c)
		}
		if err != nil {
			v.reportPiece(&s.pieces[c.piece], err)
			return peak{}
		}
		if p.value > best.value {
			best = p
		}
	}
	for i := range s.cells {
		// A panel that 15 points resolve to 1e-14 does not hide a quarter of
		// its value between two of them.
		if c := &s.cells[i]; c.form == numericCell && inner[i] > 0.75*best.value {
			if p, err := s.refinedPeak(c); err == nil && p.value > best.value {
				best = p
			}
		}
	}
	return best
}

// closedPeak returns the greatest stress in a uniform or taper cell. With
// q = 1 + εs the stress goes like |t₀ + t₁s + t₂s²|/q³, which is greatest at an
// end or where
//
//	(t₁ − 3εt₀) + (2t₂ − 2εt₁)s − εt₂s² = 0
func (s *Shaft) closedPeak(c *cell) (peak, error) {
	sl, err := s.sliceOf(c, c.a)
	if err != nil {
		return peak{}, err
	}
	at := func(f float64) peak {
		q := 1 + float64(c.eps*f)
		return peak{math.Abs(c.torque(f)) * sl.tau / (q * q * q), c.a + float64(f*c.length())}
	}
	best := at(0)
	inner := quadraticRoots(-c.eps*c.t[2], float64(2*c.t[2])-float64(2*c.eps*c.t[1]), c.t[1]-float64(3*c.eps*c.t[0]))
	for _, f := range [...]float64{inner[0], inner[1], 1} {
		if !(f > 0 && f <= 1) {
			continue
		}
		if p := at(f); p.value > best.value {
			best = p
		}
	}
	if best.x > c.b-float64(sameplace*c.length()) {
		best.x = c.b
	}
	return best, nil
}

// quadraticRoots returns the real roots of ax² + bx + c, by the form without
// cancellation. A root that does not exist is not finite.
func quadraticRoots(a, b, c float64) [2]float64 {
	disc := float64(b*b) - float64(4*a*c)
	if disc < 0 {
		return [2]float64{math.Inf(1), math.Inf(1)}
	}
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	return [2]float64{q / a, c / q}
}

// sampledPeak returns the greatest stress at the nodes and ends of a numeric
// cell.
func (s *Shaft) sampledPeak(c *cell) (peak, error) {
	p := &s.pieces[c.piece]
	var x, stress [17]float64
	from, to := c.a-p.start, c.b-p.start
	x[0], x[16] = from, to
	kronrodNodes((*[15]float64)(x[1:16]), from, to)
	if p.isStraight() {
		// The compliance at the nodes is known, and τ/T = rim·1/(G·J).
		for i, f := range c.f {
			stress[i+1] = math.Abs(c.torqueAt(p.start+x[i+1])) * p.rim(p.straight(x[i+1])) * f
		}
		for _, i := range [...]int{0, 16} {
			stress[i] = math.Abs(c.torqueAt(p.start+x[i])) * p.round(p.straight(x[i])).tau
		}
	} else if err := s.stressTo(c, stress[:], x[:]); err != nil {
		return peak{}, err
	}
	best := 0
	for i, v := range stress {
		if v > stress[best] {
			best = i
		}
	}
	switch best {
	case 0:
		return peak{stress[0], c.a}, nil
	case 16:
		return peak{stress[16], c.b}, nil
	}
	return peak{stress[best], p.start + x[best]}, nil
}

// stressTo writes the greatest stress at each local x of a numeric cell.
func (s *Shaft) stressTo(c *cell, dst, x []float64) error {
	p := &s.pieces[c.piece]
	outer, bore := make([]float64, len(x)), make([]float64, len(x))
	if err := p.diametersTo(outer, bore, x); err != nil {
		return err
	}
	for i := range dst {
		dst[i] = math.Abs(c.torqueAt(p.start+x[i])) * p.round(outer[i], bore[i]).tau
	}
	return nil
}

// refinedPeak returns the greatest stress inside a numeric cell.
func (s *Shaft) refinedPeak(c *cell) (peak, error) {
	p := &s.pieces[c.piece]
	e, err := num.FindExtreme(func(dst, x []float64) error {
		return s.stressTo(c, dst, x)
	}, c.a-p.start, c.b-p.start, true, num.Options{})
	return peak{e.Value, p.start + e.X}, err
}
