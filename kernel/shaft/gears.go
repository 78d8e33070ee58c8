package shaft

import (
	"math"
	"slices"
	"sync"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A Mesh joins two parallel shafts by a pair of spur gears, one on each, whose
// +x axes point the same way. The gears are taken as rigid and without play.
type Mesh struct {
	XA, XB         float64 // where the gears sit on shafts A and B, m
	TeethA, TeethB float64 // numbers of teeth, or pitch radii in one unit
	At             source.Span
}

// A Pair is two shafts joined by a Mesh, solved together. The torque of each
// gear on its shaft is among the torques that the shaft was solved with, and
// Rotation of both shafts is relative to the same ground, which holds of one
// shaft give to the other through the mesh.
type Pair struct {
	A, B             *Shaft
	TorqueA, TorqueB float64 // torque of the mesh on each shaft, N·m
}

// NewPair solves two shafts joined by gears. At the mesh the rims move together
// and push each other with equal forces, so that with z the numbers of teeth
//
//	z_A·φ_A + z_B·φ_B = 0        T_A/z_A = T_B/z_B
//
// where φ is the rotation relative to ground and T the torque of the mesh on the
// shaft: Beer & Johnston, Mechanics of Materials, Sample Problem 3.4.
//
// Where one of the shafts has no hold, its own balance gives the mesh torque;
// where both have, the compatibility of the rotations does; where neither has,
// the torques must balance over both.
func NewPair(a, b Spec, mesh Mesh) (*Pair, source.List) {
	a.Off, b.Off = askOnce(a.Off), askOnce(b.Off)
	list := mesh.check(a, b)
	if list.HasErrors() {
		return nil, list
	}
	ratio := mesh.TeethB / mesh.TeethA
	torque, errs := mesh.torque(a, b, ratio)
	if errs.HasErrors() {
		return nil, errs
	}
	p := &Pair{TorqueA: torque, TorqueB: torque * ratio}
	bounds := sync.OnceValues(func() (interval.Interval, error) { return mesh.torqueBounds(a, b) })
	if p.A, errs = New(mesh.with(a, mesh.XA, p.TorqueA, bounds)); errs.HasErrors() {
		return nil, errs
	}
	onB := func() (interval.Interval, error) {
		torque, err := bounds()
		if err != nil {
			return torque, err
		}
		var o outward
		torque = o.product(torque, mesh.ratioOf(&o))
		return torque, o.err
	}
	if p.B, list = New(mesh.with(b, mesh.XB, p.TorqueB, onB)); list.HasErrors() {
		return nil, list
	}
	// Each shaft without a hold takes its rotation from the other.
	phiA, errA := p.A.Rotation(mesh.XA)
	phiB, errB := p.B.Rotation(mesh.XB)
	switch {
	case errA != nil || errB != nil: // New has checked both places
	case len(a.Supports) == 0:
		p.A.turned += float64(-phiB*ratio) - phiA
	case len(b.Supports) == 0:
		p.B.turned += -phiA/ratio - phiB
	}
	return p, append(errs, list...)
}

// check reports gears without teeth or off their shafts.
func (m Mesh) check(a, b Spec) source.List {
	var all source.List
	for _, gear := range []struct {
		spec Spec
		x, z float64
	}{{a, m.XA, m.TeethA}, {b, m.XB, m.TeethB}} {
		v := &validator{spec: &gear.spec}
		if v.finite(m.At, "a number of teeth", gear.z) && gear.z <= 0 {
			v.fail(m.At, CodeTeeth, "give both gears a number of teeth above zero", "a gear with %g teeth does not mesh", gear.z)
		}
		if length := gear.spec.length(); v.finite(m.At, "the place of a gear", gear.x) && length > 0 {
			v.snap(m.At, "a gear of this pair sits", gear.x, &[]float64{0, length})
		}
		all = append(all, v.list...)
	}
	return all
}

// length returns the length of the pieces, m, for checks that New repeats.
func (spec Spec) length() float64 {
	total := 0.0
	for _, p := range spec.Pieces {
		if p.Length == 0 && len(p.Stations) > 0 {
			p.Length = p.Stations[len(p.Stations)-1].X
		}
		total += p.Length
	}
	return total
}

// torque returns the torque of the mesh on shaft A.
func (m Mesh) torque(a, b Spec, ratio float64) (float64, source.List) {
	switch {
	case len(a.Supports) == 0:
		return -a.sum(), nil
	case len(b.Supports) == 0:
		return -b.sum() / ratio, nil
	}
	// Both are held: superpose each shaft under its loads and under a mesh
	// torque of 1 N·m on A.
	var phi [4]float64
	for i, spec := range []Spec{a, b, m.alone(a, m.XA, 1, nil), m.alone(b, m.XB, ratio, nil)} {
		s, list := New(spec)
		if list.HasErrors() {
			return 0, list
		}
		var err error
		if phi[i], err = s.Rotation([]float64{m.XA, m.XB}[i%2]); err != nil {
			var list source.List
			list.Addf(m.At, CodeProfile, "the rotation at the gears cannot be worked out: %s", err)
			return 0, list
		}
	}
	if phi[2] == 0 && phi[3] == 0 {
		var list source.List
		list.Addf(m.At, CodeTeeth, "both shafts are held fast right at their gears, so the gears carry nothing that can be worked out").Repair = "move or remove one of the holds"
		return 0, list
	}
	return -(phi[0] + float64(ratio*phi[1])) / (phi[2] + float64(ratio*phi[3])), nil
}

// askOnce keeps the answer of an Off, which several shafts ask for.
func askOnce(off func() (float64, error)) func() (float64, error) {
	if off == nil {
		return nil
	}
	return sync.OnceValues(off)
}

// ratioOf encloses the ratio of the teeth. Whole numbers of teeth are exact.
func (m Mesh) ratioOf(o *outward) interval.Interval {
	teeth := func(z float64) interval.Interval {
		if z == math.Trunc(z) {
			return point(z)
		}
		return o.given(z)
	}
	return o.div(teeth(m.TeethB), teeth(m.TeethA))
}

// torqueBounds encloses what torque returns.
func (m Mesh) torqueBounds(a, b Spec) (interval.Interval, error) {
	var o outward
	ratio := m.ratioOf(&o)
	switch {
	case len(a.Supports) == 0:
		sum := interval.Neg(a.sumOver(&o))
		return sum, o.err
	case len(b.Supports) == 0:
		sum := o.div(interval.Neg(b.sumOver(&o)), ratio)
		return sum, o.err
	}
	loaded := o.sum(rotationOver(&o, a, m.XA), o.product(ratio, rotationOver(&o, b, m.XB)))
	unit := func() (interval.Interval, error) { return point(1), nil }
	onB := func() (interval.Interval, error) { return ratio, nil }
	alone := o.sum(rotationOver(&o, m.alone(a, m.XA, 1, unit), m.XA),
		o.product(ratio, rotationOver(&o, m.alone(b, m.XB, m.TeethB/m.TeethA, onB), m.XB)))
	torque := interval.Neg(o.div(loaded, alone))
	return torque, o.err
}

// rotationOver encloses the rotation of the section at x of a held shaft
// relative to ground.
func rotationOver(o *outward, spec Spec, x float64) interval.Interval {
	s, list := New(spec)
	if err := list.Err(); err != nil {
		return o.keep(interval.Interval{}, err)
	}
	c, err := s.Certain()
	if err != nil {
		return o.keep(interval.Interval{}, err)
	}
	return o.keep(c.rotation(x))
}

// with returns the Spec with the torque of the mesh added, which bounds encloses.
func (m Mesh) with(spec Spec, x, torque float64, bounds func() (interval.Interval, error)) Spec {
	spec.Torques = append(slices.Clone(spec.Torques), Torque{X: x, Value: torque, At: m.At})
	spec.gear = bounds
	return spec
}

// alone returns the Spec with the torque of the mesh as its only load.
func (m Mesh) alone(spec Spec, x, torque float64, bounds func() (interval.Interval, error)) Spec {
	spec.DistributedTorques = nil
	spec.Torques = []Torque{{X: x, Value: torque, At: m.At}}
	spec.gear = bounds
	return spec
}

// sum returns the total of all loads, N·m, 0 if it is not finite: New reports
// the load that is not.
func (spec Spec) sum() float64 {
	total := 0.0
	for _, t := range spec.Torques {
		total += t.Value
	}
	for _, s := range spec.DistributedTorques {
		total += s.total()
	}
	if math.IsNaN(total) || math.IsInf(total, 0) {
		return 0
	}
	return total
}

// sumOver encloses the total of all loads, N·m.
func (spec Spec) sumOver(o *outward) interval.Interval {
	if spec.Off != nil {
		off, err := spec.Off()
		o.keep(interval.Interval{}, err)
		o.off = max(o.off, off)
	}
	var total interval.Interval
	for _, t := range spec.Torques {
		total = o.sum(total, o.given(t.Value))
	}
	for _, s := range spec.DistributedTorques {
		mean := o.product(o.sum(o.given(s.Start), o.given(s.End)), point(0.5))
		total = o.sum(total, o.product(mean, o.sub(o.given(s.To), o.given(s.From))))
	}
	return total
}

// total returns the whole of the spread torque, N·m.
func (s DistributedTorque) total() float64 { return float64((s.Start + s.End) / 2 * (s.To - s.From)) }
