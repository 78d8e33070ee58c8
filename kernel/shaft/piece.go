package shaft

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
)

// A piece is a Piece with its place along the shaft.
type piece struct {
	Piece
	start, end float64
	measured   *interp.FritschButland // nil if not measured
}

// A slice holds what slice theory knows of one section.
type slice struct {
	outer, bore float64 // diameters, m; 0 for a section that is not round
	depth       float64 // height to be drawn, m
	j           float64 // polar second moment of area, or torsion constant, m⁴
	gj          float64 // torsional stiffness, N·m²
	tau         float64 // greatest shear stress per internal torque, 1/m³
}

// polarMoment returns the polar second moment of area of a ring, m⁴,
//
//	J = π/32·(D⁴ − d⁴) = π/32·(D − d)·(D + d)·(D² + d²)
//
// in the product form, which loses no digits for a thin wall. Gere, Mechanics
// of Materials, Eqs 3-12 and 3-17.
func polarMoment(outer, bore float64) float64 {
	return math.Pi / 32 * (outer - bore) * (outer + bore) * (outer*outer + bore*bore)
}

// at returns the diameter at local x. For linear profiles it cannot fail.
func (p Profile) at(x, length float64) (float64, error) {
	if p.Func == nil {
		return lerp(p.Start, p.End, x, length), nil
	}
	var d, at [1]float64
	at[0] = x
	if err := p.Func(d[:], at[:]); err != nil {
		return 0, err
	}
	if math.IsNaN(d[0]) || math.IsInf(d[0], 0) {
		return 0, fmt.Errorf("the diameter is not a number at %g m from the start of its piece", x)
	}
	return d[0], nil
}

// lerp interpolates from the nearer end, so that both ends come out exactly.
func lerp(a, b, x, length float64) float64 {
	if x <= length/2 {
		return a + (b-a)*(x/length)
	}
	return b - (b-a)*((length-x)/length)
}

// constant reports whether the profile has one diameter.
func (p Profile) constant() bool { return p.Func == nil && p.Start == p.End }

// uniform reports whether all sections of the piece are alike.
func (p *piece) uniform() bool {
	if p.Section != nil {
		return true
	}
	return p.measured == nil && p.Outer.constant() && (p.Bore == nil || p.Bore.constant())
}

// solidTaper reports whether the piece is solid, of one material, and linear.
func (p *piece) solidTaper() bool {
	return p.Section == nil && p.measured == nil && p.Bore == nil && p.Core == nil && p.Outer.Func == nil
}

// diameters returns the outside diameter and the bore at local x.
func (p *piece) diameters(x float64) (outer, bore float64, err error) {
	length := p.end - p.start
	if p.measured != nil {
		return p.measured.Predict(x), 0, nil
	}
	if outer, err = p.Outer.at(x, length); err != nil {
		return 0, 0, err
	}
	if p.Bore != nil {
		if bore, err = p.Bore.at(x, length); err != nil {
			return 0, 0, err
		}
	}
	return outer, bore, nil
}

// slice returns the section at local x.
func (p *piece) slice(x float64) (slice, error) {
	if s := p.Section; s != nil {
		return slice{depth: s.Depth, j: s.J, gj: p.G * s.J, tau: 1 / s.W}, nil
	}
	outer, bore, err := p.diameters(x)
	if err != nil {
		return slice{}, err
	}
	return p.round(outer, bore), nil
}

// round returns the round section with the given diameters. With a bonded core
// both materials turn alike, so the stiffnesses add, and each has its greatest
// stress T·G·r/(G·J) at its own rim: Gere, Mechanics of Materials, 3.8.
func (p *piece) round(outer, bore float64) slice {
	s := slice{outer: outer, bore: bore, depth: outer, j: polarMoment(outer, bore)}
	rim := p.G * outer / 2
	s.gj = p.G * s.j
	if c := p.Core; c != nil {
		s.gj = p.G*polarMoment(outer, c.Diameter) + c.G*polarMoment(c.Diameter, 0)
		rim = max(rim, c.G*c.Diameter/2)
	}
	s.tau = rim / s.gj
	return s
}

// compliance writes 1/(G·J) at each local x to dst. It fails where the
// diameters are not those of a shaft.
func (p *piece) compliance(dst, x []float64) error {
	if p.measured == nil && p.Outer.Func != nil && p.Bore == nil {
		return p.profileCompliance(dst, x)
	}
	for i, v := range x {
		outer, bore, err := p.diameters(v)
		if err != nil {
			return err
		}
		if err := p.sound(v, outer, bore); err != nil {
			return err
		}
		dst[i] = 1 / p.round(outer, bore).gj
	}
	return nil
}

// profileCompliance calls the profile once for all x.
func (p *piece) profileCompliance(dst, x []float64) error {
	if err := p.Outer.Func(dst, x); err != nil {
		return err
	}
	for i, d := range dst {
		if err := p.sound(x[i], d, 0); err != nil {
			return err
		}
		dst[i] = 1 / p.round(d, 0).gj
	}
	return nil
}

// thinnest is the smallest diameter, relative to the greatest at the ends of
// its piece, that still counts as a shaft. A profile that touches zero between
// two samples shows itself by falling below it.
const thinnest = 1e-6

// sound reports what is wrong with the diameters at local x, or nil.
func (p *piece) sound(x, outer, bore float64) error {
	place := placeError{x: p.start + x, local: x, outer: outer, bore: bore}
	switch {
	case math.IsNaN(outer) || math.IsInf(outer, 0):
		place.fault = notFinite
	case outer <= 0:
		place.fault = notPositive
	case math.IsNaN(bore) || math.IsInf(bore, 0):
		place.fault = boreNotFinite
	case bore < 0:
		place.fault = boreNegative
	case bore >= outer:
		place.fault = boreTooWide
	case p.Core != nil && p.Core.Diameter >= outer:
		place.fault = coreTooWide
	default:
		return nil
	}
	return place
}

// A fault is what is wrong with a section.
type fault int

const (
	notFinite fault = iota
	notPositive
	boreNotFinite
	boreNegative
	boreTooWide
	coreTooWide
)

// A placeError is a fault with its place.
type placeError struct {
	fault       fault
	x, local    float64
	outer, bore float64
}

func (e placeError) Error() string {
	return fmt.Sprintf("the section at x = %g m cannot be that of a shaft", e.x)
}
