package shaft

import (
	"math"

	"shaftbook/kernel/interval"
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
// torque or the section jumps it is the greater of the two sides. Where the
// section yields it is the yield stress. Gere,
// Mechanics of Materials, Eq. 3-13 (round) and section 3.8 (bonded core).
func (s *Shaft) Stress(x float64) (float64, error) {
	x, err := s.inside(x)
	if err != nil {
		return 0, err
	}
	before, after := s.sides(x)
	stress, err := s.carriedIn(&s.cells[after], x)
	if err != nil || before == after {
		return stress, err
	}
	other, err := s.carriedIn(&s.cells[before], x)
	return max(stress, other), err
}

// stressIn returns the greatest stress at x of a cell by the elastic formula.
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
	best, s.peakAbove = s.boundedPeak(best)
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

// peakSplits bounds the search for places of greater stress.
const peakSplits = 2000

// closePeak is how far above the greatest stress that is found the bound of all
// others may lie, as a share of it: below half a unit of a fourth figure.
const closePeak = 1e-6

// A suspect is a part of a cell where the stress may be greater than any that is
// found.
type suspect struct {
	cell  int
	at    interval.Interval // along the shaft, m
	bound float64           // the stress lies below it, Pa
}

// boundedPeak looks for a greater stress than best in the cells whose outline
// is a function, by branch and bound: a part of a cell is left if interval
// arithmetic shows that no stress in it is greater. It returns the greatest that
// it finds, and a bound of all.
//
// Source: E. Hansen, G.W. Walster, Global Optimization Using Interval Analysis,
// 2nd ed., 2004, ch. 12 (from memory).
func (s *Shaft) boundedPeak(best peak) (peak, float64) {
	var open []suspect
	numeric := false
	add := func(x suspect) {
		bound, err := s.stressBound(&s.cells[x.cell], x.at)
		if err != nil {
			bound = math.Inf(1)
		}
		if x.bound = bound; bound > best.value*(1+closePeak) {
			open = append(open, x)
		}
	}
	for i := range s.cells {
		if s.cells[i].form == numericCell {
			numeric = true
			add(suspect{cell: i, at: interval.Interval{Lo: s.cells[i].a, Hi: s.cells[i].b}})
		}
	}
	for splits := 0; len(open) > 0 && splits < peakSplits; splits++ {
		k := 0
		for i := range open {
			if open[i].bound > open[k].bound {
				k = i
			}
		}
		x := open[k]
		open[k] = open[len(open)-1]
		open = open[:len(open)-1]
		mid := x.at.Mid()
		if x.bound <= best.value*(1+closePeak) || mid <= x.at.Lo || mid >= x.at.Hi {
			if x.bound > best.value*(1+closePeak) {
				return best, x.bound // two neighbouring float64 that differ by more: a jump
			}
			continue
		}
		if v, err := s.stressIn(&s.cells[x.cell], mid); err == nil && v > best.value {
			best = peak{v, mid}
		}
		add(suspect{cell: x.cell, at: interval.Interval{Lo: x.at.Lo, Hi: mid}})
		add(suspect{cell: x.cell, at: interval.Interval{Lo: mid, Hi: x.at.Hi}})
	}
	if !numeric {
		return best, best.value
	}
	above := best.value * (1 + closePeak)
	for _, x := range open {
		above = max(above, x.bound)
	}
	return best, above
}

// stressBound returns a bound of the stress in a part of a cell.
func (s *Shaft) stressBound(c *cell, at interval.Interval) (float64, error) {
	var o outward
	p := &s.pieces[c.piece]
	length := p.end - p.start
	local := interval.Interval{Lo: max(at.Lo-p.start, 0), Hi: min(at.Hi-p.start, length)}
	per := p.stressOver(&o, local)
	f := o.div(o.sub(at, point(c.a)), point(c.length()))
	torque := o.sum(point(c.t[0]), o.product(f, o.sum(point(c.t[1]), o.product(f, point(c.t[2])))))
	return o.product(interval.Abs(torque), per).Hi, o.err
}
