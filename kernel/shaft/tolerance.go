package shaft

import (
	"errors"
	"math"
	"slices"
	"sync"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A Tolerance lets one number of a Spec have any value from Low to High, SI
// units. The Spec itself holds the nominal shaft.
type Tolerance struct {
	Of        Part
	Index     int // of the piece, the torque or the distributed torque
	Last      int // Modulus: the last of the pieces from Index on that it is of
	Low, High float64
	At        source.Span
}

// A Part is a number of a Spec that may have a tolerance.
type Part int

const (
	OuterEven  Part = iota // the outside diameter at both ends, one number
	OuterStart             // of a piece
	OuterEnd
	BoreEven // the bore at both ends, one number
	BoreStart
	BoreEnd
	ShearModulus // of one or more pieces
	TorqueValue  // of a Torque
	SpreadEven   // of a DistributedTorque at both ends, one number
	SpreadStart
	SpreadEnd
)

// IsLoad reports whether the part is a torque.
func (p Part) IsLoad() bool { return p >= TorqueValue }

// CodeTolerance: a tolerance is of a number of a solid or hollow round piece
// without a core, of its modulus, or of a torque on a shaft that is held.
//
//	G = 79 GPa
//	solid 36 mm for 1 m
//	torque 420 N·m ± 10 N·m at 1 m      # and no hold
const CodeTolerance source.Code = "shaft-tolerance"

// A Tolerant shaft knows between which bounds its values certainly lie, for
// every choice of the numbers within their tolerances, each on its own.
//
// 1/(G·J) falls everywhere as an outside diameter or a modulus grows, and rises
// as a bore grows; so the softest and the stiffest choice bound its integrals
// against any weight of one sign. With one hold or none the internal torque is a
// sum of the loads, each with a factor that no size changes and that keeps its
// sign on either side of the hold; so the loads are taken at their ends together.
// With more holds they are brackets, whose bounds hold but are wider.
type Tolerant struct {
	nominal *Shaft
	corners []*Certain
	list    []Tolerance
	spec    Spec

	stress, rate func() (interval.Interval, error) // greatest, worked out once
}

// NewTolerant solves the shafts at the ends of the tolerances. The list holds
// an error where one of them cannot be made.
func NewTolerant(spec Spec, list []Tolerance) (*Tolerant, source.List) {
	if errs := checkTolerances(spec, list); errs.HasErrors() {
		return nil, errs
	}
	if spec.Off != nil {
		spec.Off = sync.OnceValues(spec.Off)
	}
	nominal, errs := New(spec)
	if errs.HasErrors() {
		return nil, errs
	}
	t := &Tolerant{nominal: nominal, list: slices.Clone(list), spec: spec}
	soft, errs := New(sized(spec, list, false))
	if errs.HasErrors() {
		return nil, atTheEnds(errs)
	}
	stiff, errs := New(sized(spec, list, true))
	if errs.HasErrors() {
		return nil, atTheEnds(errs)
	}
	vertices, loads := loadEnds(nominal, spec, list)
	for _, v := range vertices {
		s := nominal
		if len(vertices) > 1 {
			if s, errs = New(v); errs.HasErrors() {
				return nil, errs
			}
		}
		c := &Certain{}
		c.shaft, c.soft, c.stiff, c.loads = s, soft.pieces, stiff.pieces, loads
		c, err := c.enclose()
		if err != nil {
			errs.Addf(spec.At, CodeTolerance, "the tolerances of this shaft cannot be bounded: %s", err).
				Repair = "give its other numbers as quantities or simple expressions, or leave the tolerances out"
			return nil, errs
		}
		t.corners = append(t.corners, c)
	}
	t.stress = sync.OnceValues(func() (interval.Interval, error) { return t.greatest(t.stressIn) })
	t.rate = sync.OnceValues(func() (interval.Interval, error) { return t.greatest(t.rateIn) })
	return t, nil
}

// atTheEnds notes that what the errors report is of no nominal size.
func atTheEnds(errs source.List) source.List {
	for i := range errs {
		errs[i].Message = "at the end of the tolerances " + errs[i].Message
	}
	return errs
}

// checkTolerances refuses what the bounds are not made for.
func checkTolerances(spec Spec, list []Tolerance) (errs source.List) {
	for i := range spec.Pieces {
		if p := &spec.Pieces[i]; p.Yield > 0 {
			errs.Addf(p.YieldAt, CodeTolerance, "a shaft with tolerances has no yield stress: its brackets are those of an elastic one").
				Repair = "leave out yields at, or write two shafts, one at each end of the tolerance"
			return errs
		}
	}
	for _, t := range list {
		if t.Of.IsLoad() {
			if len(spec.Supports) == 0 {
				errs.Addf(t.At, CodeTolerance, "without a hold the torques must balance exactly, and a torque with a tolerance does not").
					Repair = "hold the shaft at one end, as in hold at 0 mm, and leave the torque there to the hold"
			}
			continue
		}
		for i := t.Index; i <= max(t.Index, t.Last) && i < len(spec.Pieces); i++ {
			if spec.Pieces[i].Core != nil {
				errs.Addf(t.At, CodeTolerance, "a piece with a core has no tolerances: its greatest stress may rise or fall as it grows").
					Repair = "write two shafts, one at each end of the tolerance"
				break
			}
		}
	}
	return errs
}

// sized returns the spec with all sizes and moduli at the end of their
// tolerances that makes the shaft stiff, or the one that makes it soft.
func sized(spec Spec, list []Tolerance, stiff bool) Spec {
	spec.Pieces = slices.Clone(spec.Pieces)
	for i := range spec.Pieces {
		if b := spec.Pieces[i].Bore; b != nil {
			bore := *b
			spec.Pieces[i].Bore = &bore
		}
	}
	for _, t := range list {
		large, small := t.High, t.Low
		if !stiff {
			large, small = small, large
		}
		p := &spec.Pieces[min(t.Index, len(spec.Pieces)-1)]
		switch t.Of {
		case OuterEven:
			p.Outer = Uniform(large)
		case OuterStart:
			p.Outer.Start = large
		case OuterEnd:
			p.Outer.End = large
		case BoreEven:
			*p.Bore = Uniform(small)
		case BoreStart:
			p.Bore.Start = small
		case BoreEnd:
			p.Bore.End = small
		case ShearModulus:
			for i := t.Index; i <= t.Last; i++ {
				spec.Pieces[i].G = large
			}
		}
	}
	return spec
}

// mostGroups bounds the loads that are taken at both ends apart, and so the
// number of shafts that are solved, to 2 to that power.
const mostGroups = 4

// loadEnds returns the specs whose loads, together, bound the torques of all
// choices; or the nominal one, and the loads that must be taken as brackets.
func loadEnds(s *Shaft, spec Spec, list []Tolerance) ([]Spec, []Tolerance) {
	var loads []Tolerance
	for _, t := range list {
		if t.Of.IsLoad() {
			loads = append(loads, t)
		}
	}
	if len(loads) == 0 {
		return []Spec{spec}, nil
	}
	groups := groupLoads(s, loads)
	if len(s.holds) != 1 || len(groups) > mostGroups {
		return []Spec{spec}, loads
	}
	var all []Spec
	for corner := range 1 << len(groups) {
		at := spec
		at.Torques, at.DistributedTorques = slices.Clone(spec.Torques), slices.Clone(spec.DistributedTorques)
		for g, group := range groups {
			for _, t := range group {
				t.putLoad(&at, corner>>g&1 == 1)
			}
		}
		all = append(all, at)
	}
	return all, nil
}

// groupLoads joins the loads before the hold, and those after it. A load that
// reaches over the hold is on its own.
func groupLoads(s *Shaft, loads []Tolerance) [][]Tolerance {
	var before, after []Tolerance
	var groups [][]Tolerance
	for _, t := range loads {
		var from, to float64
		if t.Of == TorqueValue {
			from, to = s.torques[t.Index].X, s.torques[t.Index].X
		} else {
			from, to = s.spreads[t.Index].From, s.spreads[t.Index].To
		}
		hold := 0.0
		if len(s.holds) > 0 {
			hold = s.holds[0].X
		}
		switch {
		case from >= hold:
			after = append(after, t)
		case to <= hold:
			before = append(before, t)
		default:
			groups = append(groups, []Tolerance{t})
		}
	}
	for _, g := range [][]Tolerance{before, after} {
		if len(g) > 0 {
			groups = append(groups, g)
		}
	}
	return groups
}

func (t Tolerance) putLoad(spec *Spec, high bool) {
	v := t.Low
	if high {
		v = t.High
	}
	switch t.Of {
	case TorqueValue:
		spec.Torques[t.Index].Value = v
	case SpreadEven:
		spec.DistributedTorques[t.Index].Start, spec.DistributedTorques[t.Index].End = v, v
	case SpreadStart:
		spec.DistributedTorques[t.Index].Start = v
	case SpreadEnd:
		spec.DistributedTorques[t.Index].End = v
	}
}

// hull joins what the corners return.
func (t *Tolerant) hull(value func(c *Certain) (interval.Interval, error)) (interval.Interval, error) {
	all, err := value(t.corners[0])
	for _, c := range t.corners[1:] {
		if err != nil {
			break
		}
		var v interval.Interval
		v, err = value(c)
		all = interval.Hull(all, v)
	}
	return all, err
}

// TwistTotal bounds Shaft.TwistTotal, rad.
func (t *Tolerant) TwistTotal() interval.Interval {
	v, _ := t.hull((*Certain).TwistTotal)
	return v
}

// Twist bounds Shaft.Twist at x, a place known to within rounding.
func (t *Tolerant) Twist(x interval.Interval) (interval.Interval, error) {
	return t.hull(func(c *Certain) (interval.Interval, error) { return c.Twist(x) })
}

// Torque bounds Shaft.Torque at every place of x.
func (t *Tolerant) Torque(x interval.Interval) (interval.Interval, error) {
	return t.hull(func(c *Certain) (interval.Interval, error) { return c.Torque(x) })
}

// TwistRate bounds Shaft.TwistRate at every place of x.
func (t *Tolerant) TwistRate(x interval.Interval) (interval.Interval, error) {
	return t.hull(func(c *Certain) (interval.Interval, error) { return c.TwistRate(x) })
}

// Reaction bounds Shaft.Reaction at x.
func (t *Tolerant) Reaction(x float64) (interval.Interval, error) {
	return t.hull(func(c *Certain) (interval.Interval, error) { return c.Reaction(x) })
}

// Rotation bounds Shaft.RotationAt at x, a place known to within rounding.
func (t *Tolerant) Rotation(x interval.Interval) (interval.Interval, error) {
	return t.hull(func(c *Certain) (interval.Interval, error) { return c.Rotation(x) })
}

// StiffnessAt bounds Shaft.StiffnessAt at x, a place known to within rounding. No
// load changes it.
func (t *Tolerant) StiffnessAt(x interval.Interval) (interval.Interval, error) {
	at, err := t.nominal.inside(x.Mid())
	if err != nil {
		return interval.Interval{}, err
	}
	if !t.nominal.Grounded() {
		return interval.Interval{}, ErrNotHeld
	}
	var sizes []Tolerance
	for _, tol := range t.list {
		if !tol.Of.IsLoad() {
			sizes = append(sizes, tol)
		}
	}
	spec := t.spec.unloaded().withTorque(Torque{X: at, Value: 1}, exactly(1))
	spec.Off = t.nominal.offWith(x)
	probed, list := NewTolerant(spec, sizes)
	if err := list.Err(); err != nil {
		return interval.Interval{}, err
	}
	angle, err := probed.Rotation(point(at))
	if err != nil {
		return angle, err
	}
	if angle.Lo == 0 && angle.Hi == 0 {
		return angle, &HeldFastError{X: at}
	}
	o := &outward{}
	k := o.div(point(1), angle)
	return k, o.err
}

// Stiffness bounds Shaft.Stiffness, which no load changes.
func (t *Tolerant) Stiffness() (interval.Interval, error) { return t.corners[0].Stiffness() }

// Bracket returns a bracket of the twist of the far end from n segments a piece;
// see Shaft.Bracket.
func (t *Tolerant) Bracket(n int) (interval.Interval, error) {
	if err := t.nominal.segmentCount(n); err != nil {
		return interval.Interval{}, err
	}
	return t.hull(func(c *Certain) (interval.Interval, error) {
		b := &bracketed{shaft: c.shaft, n: n, soft: c.soft, stiff: c.stiff, loads: c.loads}
		return b.bracket()
	})
}

// sizes returns the hull of what two shafts of the softest and the stiffest
// sizes return.
func (t *Tolerant) sizes(value func(*Shaft) (interval.Interval, error)) (interval.Interval, error) {
	c := t.corners[0]
	at := func(pieces []piece) (interval.Interval, error) {
		return value(&Shaft{pieces: pieces, length: c.shaft.length, off: c.shaft.off})
	}
	soft, err := at(c.soft)
	if err != nil {
		return soft, err
	}
	stiff, err := at(c.stiff)
	return interval.Hull(soft, stiff), err
}

// DiameterOver bounds Shaft.Diameter at every place of x, m.
func (t *Tolerant) DiameterOver(x interval.Interval) (interval.Interval, error) {
	return t.sizes(func(s *Shaft) (interval.Interval, error) { return s.DiameterOver(x) })
}

// BoreOver bounds Shaft.Bore at every place of x, m.
func (t *Tolerant) BoreOver(x interval.Interval) (interval.Interval, error) {
	return t.sizes(func(s *Shaft) (interval.Interval, error) { return s.BoreOver(x) })
}

// JOver bounds Shaft.J at every place of x, m⁴.
func (t *Tolerant) JOver(x interval.Interval) (interval.Interval, error) {
	return t.sizes(func(s *Shaft) (interval.Interval, error) { return s.JOver(x) })
}

// torqueIn bounds the internal torque on stretch i at every place of x. Its size
// is not greatest and least at the ends of the loads where it may be 0, so the
// ends are joined first.
func (t *Tolerant) torqueIn(o *outward, i int, x interval.Interval) interval.Interval {
	return o.keep(t.hull(func(c *Certain) (interval.Interval, error) {
		c = c.copy()
		return c.sound(c.torqueIn(i, x))
	}))
}

func (t *Tolerant) stressIn(c *Certain, i int, x interval.Interval) interval.Interval {
	return c.product(interval.Abs(t.torqueIn(&c.outward, i, x)), c.across(i, x, (*piece).stressOver))
}

func (t *Tolerant) rateIn(c *Certain, i int, x interval.Interval) interval.Interval {
	return c.div(interval.Abs(t.torqueIn(&c.outward, i, x)), c.across(i, x, (*piece).stiffnessOver))
}

// Stress bounds Shaft.Stress at every place of x, Pa.
func (t *Tolerant) Stress(x interval.Interval) (interval.Interval, error) {
	c := t.corners[0].copy()
	v, err := c.join(x, func(i int, x interval.Interval) interval.Interval { return t.stressIn(c, i, x) })
	if err != nil {
		return v, err
	}
	if before, after := c.stretchAt(x.Mid()); before != after && x.Hi-x.Lo <= sameplace*c.shaft.length {
		other, err := c.sound(t.stressIn(c, before, x))
		return interval.Max(v, other), err
	}
	return v, nil
}

// StressMax bounds the greatest shear stress of the shaft, Pa.
func (t *Tolerant) StressMax() (interval.Interval, error) { return t.stress() }

// RateMax bounds the greatest size of the twist per length, rad/m.
func (t *Tolerant) RateMax() (interval.Interval, error) { return t.rate() }

const (
	greatestWork = 400  // parts of the shaft that are looked at
	greatestWide = 1e-9 // how far the bound may be above what is reached, as a share
)

// greatest bounds the greatest value along the shaft by branch and bound: it is
// at least the value at any one place, and at most the greatest bound of a part.
func (t *Tolerant) greatest(value func(c *Certain, i int, x interval.Interval) interval.Interval) (interval.Interval, error) {
	type part struct {
		i        int
		from, to float64
		above    float64
	}
	c := t.corners[0].copy()
	breaks := c.shaft.breaks
	reached := interval.Interval{}
	look := func(i int, x float64) {
		v := value(c, i, point(x))
		reached = interval.Interval{Lo: max(reached.Lo, v.Lo), Hi: max(reached.Hi, v.Hi)}
	}
	var parts []part
	add := func(i int, from, to float64) {
		parts = append(parts, part{i, from, to, value(c, i, interval.Interval{Lo: from, Hi: to}).Hi})
		look(i, from)
		look(i, to)
	}
	for i := range c.spans {
		add(i, breaks[i], breaks[i+1])
	}
	for range greatestWork {
		k := 0
		for j := range parts {
			if parts[j].above > parts[k].above {
				k = j
			}
		}
		p := parts[k]
		mid := p.from + float64((p.to-p.from)/2)
		if p.above <= reached.Hi*(1+greatestWide) || mid <= p.from || mid >= p.to || c.err != nil {
			reached.Hi = max(reached.Hi, p.above)
			return c.sound(reached)
		}
		parts[k] = parts[len(parts)-1]
		parts = parts[:len(parts)-1]
		add(p.i, p.from, mid)
		add(p.i, mid, p.to)
	}
	for _, p := range parts {
		reached.Hi = max(reached.Hi, p.above)
	}
	return c.sound(reached)
}

// errVaries says why there is no energy.
var errVaries = errors.New("the energy of a shaft with tolerances is not bounded where the torque varies along the shaft")

// Energy bounds Shaft.Energy, J, where the torque is constant between the places
// where it jumps.
func (t *Tolerant) Energy() (interval.Interval, error) {
	c := t.corners[0].copy()
	var sum interval.Interval
	for i := range c.m {
		if !c.t0Only(i) {
			return sum, errVaries
		}
		sum = c.sum(sum, c.product(c.sqr(t.torqueIn(&c.outward, i, point(c.shaft.breaks[i]))), c.m[i].compliance(), point(0.5)))
	}
	return c.sound(sum)
}

// A Share is how much of the width of the twist one tolerance makes on its own.
type Share struct {
	Tolerance
	Width float64 // of the bracket of the twist of the far end with this tolerance alone, rad
	Part  float64 // of the sum of these widths, from 0 to 1
}

// Shares returns the tolerances with their shares, the largest first.
func (t *Tolerant) Shares() []Share {
	var all []Share
	sum := 0.0
	for _, one := range t.list {
		alone, errs := NewTolerant(t.spec, []Tolerance{one})
		if errs.HasErrors() {
			continue // the shaft with all of them could be made, so this one can
		}
		b := alone.TwistTotal()
		width := b.Hi - b.Lo
		if width <= math.Abs(b.Mid())*roundingWidth {
			width = 0
		}
		all = append(all, Share{Tolerance: one, Width: width})
		sum += width
	}
	for i := range all {
		if sum > 0 {
			all[i].Part = all[i].Width / sum
		}
	}
	slices.SortStableFunc(all, func(a, b Share) int {
		switch {
		case a.Width > b.Width:
			return -1
		case a.Width < b.Width:
			return 1
		}
		return 0
	})
	return all
}

// roundingWidth is the width of the bracket of a twist that no tolerance widens,
// as a share of it.
const roundingWidth = 1e-12

// Corners returns the number of choices of the loads that the bounds are made of.
func (t *Tolerant) Corners() int { return len(t.corners) }

// Holds returns the places of the holds, m.
func (t *Tolerant) Holds() []float64 {
	var all []float64
	for _, h := range t.nominal.holds {
		all = append(all, h.X)
	}
	return all
}
