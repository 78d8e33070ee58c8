package shaft

import (
	"fmt"
	"math"
)

// A piece is a Piece with its place along the shaft.
type piece struct {
	Piece
	start, end float64
	measured   *measuredOutline // nil if not measured
}

// A slice holds the data of slice theory for one section.
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
	return math.Pi / 32 * (outer - bore) * (outer + bore) * (float64(outer*outer) + float64(bore*bore))
}

// fill writes the diameter at each local x to dst.
func (p Profile) fill(dst, x []float64, length float64) error {
	if p.Func != nil {
		return p.Func(dst, x)
	}
	for i, v := range x {
		dst[i] = lerp(p.Start, p.End, v, length)
	}
	return nil
}

// lerp interpolates from the nearer end, so that both ends come out exactly.
func lerp(a, b, x, length float64) float64 {
	if x <= length/2 {
		return a + float64((b-a)*(x/length))
	}
	return b - float64((b-a)*((length-x)/length))
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

// slice returns the section at local x.
func (p *piece) slice(x float64) (slice, error) {
	if s := p.Section; s != nil {
		return slice{depth: s.Depth, j: s.J, gj: p.G * s.J, tau: 1 / s.W}, nil
	}
	if p.measured == nil && p.Outer.Func == nil && p.Bore == nil {
		// The commonest case, without the block that a Func needs.
		return p.round(lerp(p.Outer.Start, p.Outer.End, x, p.end-p.start), 0), nil
	}
	var outer, bore [1]float64
	if err := p.diametersTo(outer[:], bore[:], []float64{x}); err != nil {
		return slice{}, err
	}
	return p.round(outer[0], bore[0]), nil
}

// round returns the round section with the given diameters. With a bonded core
// both materials turn alike, so the stiffnesses add, and each has its greatest
// stress T·G·r/(G·J) at its own rim: Gere, Mechanics of Materials, 3.8.
func (p *piece) round(outer, bore float64) slice {
	s := slice{outer: outer, bore: bore, depth: outer, j: polarMoment(outer, bore)}
	s.gj = p.G * s.j
	if c := p.Core; c != nil {
		s.gj = float64(p.G*polarMoment(outer, c.Diameter)) + float64(c.G*polarMoment(c.Diameter, 0))
	}
	s.tau = p.rim(outer, bore) / s.gj
	return s
}

// diametersTo writes the diameters at each local x. It fails where they are not
// those of a shaft.
func (p *piece) diametersTo(outer, bore, x []float64) error {
	length := p.end - p.start
	clear(bore)
	switch {
	case p.measured != nil:
		for i, v := range x {
			outer[i] = p.measured.Predict(v)
		}
	default:
		if err := p.Outer.fill(outer, x, length); err != nil {
			return err
		}
	}
	if p.Bore != nil {
		if err := p.Bore.fill(bore, x, length); err != nil {
			return err
		}
	}
	for i, v := range x {
		if err := p.sound(v, outer[i], bore[i]); err != nil {
			return err
		}
	}
	return nil
}

// compliance writes 1/(G·J) at each of at most 15 local x to dst.
func (p *piece) compliance(dst, x []float64) error {
	if !p.isStraight() {
		return p.sampledCompliance(dst, x)
	}
	for i, v := range x {
		dst[i] = 1 / p.round(p.straight(v)).gj
	}
	return nil
}

// isStraight reports whether the diameters of a round piece are linear in x.
func (p *piece) isStraight() bool {
	return p.measured == nil && p.Outer.Func == nil && (p.Bore == nil || p.Bore.Func == nil)
}

// straight returns the diameters of a straight piece at the local x.
func (p *piece) straight(x float64) (outer, bore float64) {
	length := p.end - p.start
	if p.Bore != nil {
		bore = lerp(p.Bore.Start, p.Bore.End, x, length)
	}
	return lerp(p.Outer.Start, p.Outer.End, x, length), bore
}

// rim returns the stiffest G·r of a round section: the greatest stress is that
// times the twist per length.
func (p *piece) rim(outer, _ float64) float64 {
	rim := p.G * outer / 2
	if c := p.Core; c != nil {
		rim = max(rim, c.G*c.Diameter/2)
	}
	return rim
}

// sampledCompliance is compliance by the block that a Func needs.
func (p *piece) sampledCompliance(dst, x []float64) error {
	var outer, bore [15]float64
	if err := p.diametersTo(outer[:len(x)], bore[:len(x)], x); err != nil {
		return err
	}
	for i := range dst {
		dst[i] = 1 / p.round(outer[i], bore[i]).gj
	}
	return nil
}

// thinnest is the smallest diameter, relative to the greatest of its piece, that
// still counts as a shaft. A profile that touches zero between two samples
// shows itself by falling below it.
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
