package shaft

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A Shaft is a solved shaft. It does not change after New and is safe for
// concurrent use, given that the profile functions of its Spec are.
type Shaft struct {
	name        string
	pieces      []piece
	cells       []cell
	breaks      []float64
	holds       []Support
	torques     []Torque
	spreads     []DistributedTorque
	limits      []Limit
	length      float64
	twist       float64   // of the far end relative to x = 0
	turned      float64   // rotation of the section x = 0 relative to ground
	reactions   []float64 // of each hold
	flexibility float64   // ∫ dx/(G·J) over the whole shaft
	statics     *statics  // how the holds share the load
	energy      float64   // strain energy
	greatest    peak      // greatest shear stress
	peakAbove   float64   // no stress is above it
	off         func() (float64, error)
	bounds      []func() (interval.Interval, error) // enclose the last torques; see Spec
	rim         *rimmed                             // what a gear makes of its rotation; nil if it has holds, or no gear
	probe       prober
	once        sync.Once
	certain     *Certain
	certainErr  error
	unproven    bool     // the compliance of a piece could not be enclosed
	plastic     *plastic // nil where nothing yields
}

// New checks a Spec and solves the shaft. The shaft is nil if the list holds an
// error; each error has the Span of the item that it is about.
//
// Any number of holds is solved: none (the torques must balance), one (statics
// alone), or more (the twists between holds decide).
func New(spec Spec) (*Shaft, source.List) {
	spec.Torques = slices.Clone(spec.Torques)
	spec.DistributedTorques = slices.Clone(spec.DistributedTorques)
	spec.Supports = slices.Clone(spec.Supports)
	v := &validator{spec: &spec}
	v.pieces()
	if v.list.HasErrors() {
		return nil, v.list
	}
	s := &Shaft{name: spec.Name}
	edges := s.place(&spec)
	s.length = edges[len(edges)-1]
	if !v.edges(edges) {
		return nil, v.list
	}
	v.loads(s.breaksOf(&Spec{}, edges)) // the ends of pieces and the stations
	v.balance()
	s.fit(v)
	if v.list.HasErrors() {
		// The loads may be anywhere; look at the pieces all the same.
		s.breaks = s.breaksOf(&Spec{}, edges)
	} else {
		s.breaks = s.breaksOf(&spec, edges)
	}
	s.cut(v)
	if v.list.HasErrors() {
		return nil, v.list
	}
	s.off = func() (float64, error) { return readError, nil }
	if spec.Off != nil {
		s.off = sync.OnceValues(spec.Off)
	}
	s.bounds = spec.bounds
	s.probe = spec.probe
	s.holds, s.torques, s.spreads, s.limits = spec.Supports, spec.Torques, spec.DistributedTorques, slices.Clone(spec.Limits)
	s.solveReactions(s.load(&spec))
	if s.heldAt(0) && s.heldAt(s.length) {
		s.twist = 0 // by the holds, not by a sum that ends near it
	}
	s.greatest = s.findPeak(v)
	if v.list.HasErrors() {
		return nil, v.list
	}
	s.energy = s.strainEnergy()
	s.yield(v)
	if v.list.HasErrors() {
		return nil, v.list
	}
	if !s.finite() {
		v.fail(spec.At, CodeNumber, "check the units of its lengths, moduli and torques", "the numbers of this shaft are too large or too small to work with")
		return nil, v.list
	}
	return s, v.list
}

// fit prepares the interpolants of measured pieces.
func (s *Shaft) fit(v *validator) {
	for i := range s.pieces {
		p := &s.pieces[i]
		if p.Stations == nil || p.Section != nil {
			continue
		}
		f, err := fitStations(p.Stations)
		if err != nil {
			v.fail(p.At, CodeStations, "check the stations", "no curve can be laid through these stations: %s", err)
			continue
		}
		p.measured = f
	}
}

// readError returns how far the numbers of the Spec may be from what is meant.
func (s *Shaft) readError() (float64, error) {
	off, err := s.off()
	return max(off, readError), err
}

// heldAt reports whether a rigid hold keeps the section at x.
func (s *Shaft) heldAt(x float64) bool {
	return slices.ContainsFunc(s.holds, func(h Support) bool { return h.X == x && !h.Elastic })
}

// farthest bounds the numbers of a shaft in SI units, so that no product of a
// few of them overflows.
const farthest = 1e100

// finite reports whether the numbers of the solution are of a possible size.
func (s *Shaft) finite() bool {
	size := math.Abs(s.twist) + math.Abs(s.PermanentTotal()) + math.Abs(s.turned) + s.flexibility + 1/s.flexibility + s.energy + s.greatest.value
	for _, r := range s.reactions {
		size += math.Abs(r)
	}
	for i := range s.cells {
		size += math.Abs(s.cells[i].theta) + math.Abs(s.cells[i].torque(0)) + math.Abs(s.cells[i].torque(1))
	}
	return size < farthest // and so not NaN
}

// Name returns the name of the Spec.
func (s *Shaft) Name() string { return s.name }

// Length returns the length of the shaft, m.
func (s *Shaft) Length() float64 { return s.length }

// Breaks returns the places where the torque, the section or the material may
// jump or bend, from 0 to Length, in order, m.
func (s *Shaft) Breaks() []float64 { return slices.Clone(s.breaks) }

// TwistTotal returns the twist of the far end relative to x = 0, rad.
func (s *Shaft) TwistTotal() float64 { return s.twist + s.PermanentTotal() }

// Stiffness returns the torque at the far end for each radian that the far end
// turns relative to x = 0 under that torque alone while nothing yields, and when
// it is unloaded, N·m/rad:
//
//	k = 1/∫ dx/(G·J)
func (s *Shaft) Stiffness() float64 { return 1 / s.flexibility }

// A RangeError reports that a section was asked for that the shaft does not have.
type RangeError struct {
	X, Length float64 // m
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("x = %.6g m is off the shaft, which runs from 0 m to %.6g m", e.X, e.Length)
}

// inside returns x, moved onto the end that it misses by rounding, or a
// *RangeError.
func (s *Shaft) inside(x float64) (float64, error) {
	tol := float64(sameplace * s.length)
	if !(x >= -tol && x <= s.length+tol) {
		return 0, &RangeError{X: x, Length: s.length}
	}
	return min(max(x, 0), s.length), nil
}

// Torque returns the internal torque that the part beyond x exerts on the part
// before it, N·m; just after x where it jumps, just before the far end there.
func (s *Shaft) Torque(x float64) (float64, error) {
	x, err := s.inside(x)
	if err != nil {
		return 0, err
	}
	_, after := s.sides(x)
	return s.cells[after].torqueAt(x), nil
}

// TorqueSides returns the internal torque just before and just after x, N·m.
// It is 0 before x = 0 and after the far end.
func (s *Shaft) TorqueSides(x float64) (before, after float64, err error) {
	x, err = s.inside(x)
	if err != nil {
		return 0, 0, err
	}
	i, k := s.sides(x)
	tol := float64(sameplace * s.length)
	if x > tol {
		before = s.cells[i].torqueAt(x)
	}
	if x < s.length-tol {
		after = s.cells[k].torqueAt(x)
	}
	return before, after, nil
}

// Twist returns the rotation of the section at x relative to that at x = 0, rad.
func (s *Shaft) Twist(x float64) (float64, error) {
	elastic, err := s.elasticTwist(x)
	if err != nil || s.plastic == nil {
		return elastic, err
	}
	lasting, err := s.PermanentTwist(x)
	return elastic + lasting, err
}

// elasticTwist returns ∫T/(G·J) dx from x = 0 to x, rad.
func (s *Shaft) elasticTwist(x float64) (float64, error) {
	x, err := s.inside(x)
	if err != nil {
		return 0, err
	}
	if x == s.length {
		return s.twist, nil
	}
	c := &s.cells[s.find(x)]
	if x == c.a {
		return c.theta, nil
	}
	part, err := s.partTwist(c, x)
	return c.theta + part, err
}

// partTwist returns the twist from the start of the cell to x inside it.
func (s *Shaft) partTwist(c *cell, x float64) (float64, error) {
	h := x - c.a
	if c.form != numericCell {
		return dot(c.t, c.moments(h/c.length())), nil
	}
	p := &s.pieces[c.piece]
	var at, f [15]float64
	kronrodNodes(&at, c.a-p.start, x-p.start)
	if err := p.compliance(f[:], at[:]); err != nil {
		return 0, err
	}
	ratio := h / c.length()
	t := [3]float64{c.t[0], c.t[1] * ratio, c.t[2] * ratio * ratio}
	return h * dot(t, kronrodMoments(&f)), nil
}

// Rotation returns the rotation of the section at x relative to ground, rad.
// Without a hold nothing fixes it, and it is measured from x = 0 as Twist is.
func (s *Shaft) Rotation(x float64) (float64, error) {
	t, err := s.Twist(x)
	if err != nil {
		return 0, err
	}
	return s.turned + t, nil
}

// TwistRate returns the twist per length at x, rad/m.
func (s *Shaft) TwistRate(x float64) (float64, error) {
	t, err := s.Torque(x)
	if err != nil {
		return 0, err
	}
	sl, err := s.slice(x)
	if err != nil {
		return 0, err
	}
	if s.plastic == nil {
		return t / sl.gj, nil
	}
	x, err = s.inside(x)
	if err != nil {
		return 0, err
	}
	_, after := s.sides(x)
	lasting, err := s.lastingRate(&s.cells[after], x)
	return t/sl.gj + lasting, err
}

// lastingRate returns what yielding adds to the twist per length at x of a cell.
func (s *Shaft) lastingRate(c *cell, x float64) (float64, error) {
	if s.plastic == nil || s.pieces[c.piece].Yield == 0 || !s.pieces[c.piece].canYield() {
		return 0, nil
	}
	return s.permanentRateIn(c, min(max(x, c.a), c.b))
}

// slice returns the section at x, just after it where it jumps.
func (s *Shaft) slice(x float64) (slice, error) {
	x, err := s.inside(x)
	if err != nil {
		return slice{}, err
	}
	_, after := s.sides(x)
	return s.sliceOf(&s.cells[after], x)
}

// J returns the polar second moment of area of the whole section at x, m⁴,
// core included; for a section that is not round its torsion constant, which
// is not the polar second moment of area.
func (s *Shaft) J(x float64) (float64, error) {
	sl, err := s.slice(x)
	return sl.j, err
}

// Diameter returns the outside diameter at x, m. It fails with a ShapeError
// where the section is not round.
func (s *Shaft) Diameter(x float64) (float64, error) {
	sl, err := s.slice(x)
	if err == nil && sl.outer == 0 {
		return 0, &ShapeError{X: x}
	}
	return sl.outer, err
}

// A ShapeError reports that a section has no diameter.
type ShapeError struct {
	X float64 // m
}

func (e *ShapeError) Error() string {
	return fmt.Sprintf("the section at x = %.6g m is not round, so it has no diameter", e.X)
}

// Bore returns the diameter of the bore at x, m, 0 where there is none.
func (s *Shaft) Bore(x float64) (float64, error) {
	sl, err := s.slice(x)
	return sl.bore, err
}

// Depth returns the height of the section at x as a side view shows it, m: the
// outside diameter of a round one.
func (s *Shaft) Depth(x float64) (float64, error) {
	sl, err := s.slice(x)
	return sl.depth, err
}

// Reaction returns the torque that the hold at x exerts on the shaft, N·m. It
// fails with a *SupportError where there is no support.
func (s *Shaft) Reaction(x float64) (float64, error) {
	for i, h := range s.holds {
		if d := x - h.X; d <= sameplace*s.length && d >= -sameplace*s.length {
			return s.reactions[i], nil
		}
	}
	return 0, &SupportError{X: x, Holds: s.SupportPlaces()}
}

// SupportPlaces returns where the shaft is held, in order, m.
func (s *Shaft) SupportPlaces() []float64 {
	places := make([]float64, len(s.holds))
	for i, h := range s.holds {
		places[i] = h.X
	}
	return places
}

// A SupportError reports that a reaction was asked for where there is no support.
type SupportError struct {
	X     float64   // m
	Holds []float64 // where the holds are, m
}

func (e *SupportError) Error() string {
	if len(e.Holds) == 0 {
		return fmt.Sprintf("there is no hold at x = %.6g m, nor anywhere on this shaft", e.X)
	}
	return fmt.Sprintf("there is no hold at x = %.6g m; the shaft is held at %.6g m", e.X, e.Holds)
}
