package shaft

import "math"

// A Layer is a ring of one material in a round section. In it the shear stress grows in
// proportion to the radius, by the twist per length that all layers have together.
type Layer struct {
	Inner, Outer float64 // radii, m
	G            float64 // shear modulus, Pa
	AtInner      float64 // shear stress at the radius Inner, Pa; has the sign of the torque
	AtOuter      float64 // at the radius Outer, Pa
	Yielded      bool    // the stress is the yield stress at every radius
}

// Layers returns the materials of the round section at x from the middle outward, with
// the stress in each,
//
//	τ(r) = G·r·dθ/dx = G·T·r/ΣG·J
//
// which jumps where two of different moduli meet. Where the section yields, the
// elastic core and the ring around it that yields are two layers: Gere, Mechanics of Materials, 3.3 and
// 3.8; R. C. Hibbeler, Mechanics of Materials, 5.2 and 5.7. At a place where the section
// or the torque jumps it is the one just after. It fails with a *RangeError off the shaft
// and with a *ShapeError where the section is not round.
func (s *Shaft) Layers(x float64) ([]Layer, error) {
	x, err := s.inside(x)
	if err != nil {
		return nil, err
	}
	_, after := s.sides(x)
	c := &s.cells[after]
	p := &s.pieces[c.piece]
	if p.Section != nil {
		return nil, &ShapeError{X: x}
	}
	at, err := s.sliceOf(c, x)
	if err != nil {
		return nil, err
	}
	rate := c.torqueAt(x) / at.gj
	layer := func(inner, outer, g float64) Layer {
		return Layer{Inner: inner / 2, Outer: outer / 2, G: g, AtInner: g * (inner / 2) * rate, AtOuter: g * (outer / 2) * rate}
	}
	if core := p.Core; core != nil {
		return []Layer{layer(0, core.Diameter, core.G), layer(core.Diameter, at.outer, p.G)}, nil
	}
	if d := (ductile{at.outer, at.bore, p.G, p.Yield}); p.Yield > 0 {
		torque := c.torqueAt(x)
		if core := d.core(torque); core < at.outer {
			stress := math.Copysign(p.Yield, torque)
			return []Layer{
				{Inner: at.bore / 2, Outer: core / 2, G: p.G, AtInner: stress * (at.bore / core), AtOuter: stress},
				{Inner: core / 2, Outer: at.outer / 2, G: p.G, AtInner: stress, AtOuter: stress, Yielded: true},
			}, nil
		}
	}
	one := layer(at.bore, at.outer, p.G)
	if p.Yield > 0 && p.canYield() {
		one.AtOuter = min(max(one.AtOuter, -p.Yield), p.Yield) // beyond it by rounding alone
	}
	return []Layer{one}, nil
}

// SectionAt returns the section at x if it is not round, else nil; just after x where the
// section jumps. It fails with a *RangeError off the shaft.
func (s *Shaft) SectionAt(x float64) (*Section, error) {
	x, err := s.inside(x)
	if err != nil {
		return nil, err
	}
	_, after := s.sides(x)
	return s.pieces[s.cells[after].piece].Section, nil
}
