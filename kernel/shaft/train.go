package shaft

import (
	"slices"
	"sync"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A Mesh joins two parallel shafts of a train by a pair of spur gears, one on
// each, whose +x axes point the same way. The gears are taken as rigid and
// without play.
type Mesh struct {
	A, B           int     // the two shafts, by their place in the train
	XA, XB         float64 // where the gears sit on shafts A and B, m
	TeethA, TeethB float64 // numbers of teeth, or pitch radii in one unit
	At             source.Span
}

// end is one of the two gears of a mesh.
type end struct {
	mesh  int
	shaft int
	x, z  float64
}

func (m Mesh) ends(i int) (a, b end) {
	return end{i, m.A, m.XA, m.TeethA}, end{i, m.B, m.XB, m.TeethB}
}

// A Train is a number of shafts that gears join, solved together. The torques of
// the gears on a shaft are the last of the torques that it was solved with, and
// Rotation of every shaft is relative to the same ground, which the supports of
// one shaft give to the others through the gears.
type Train struct {
	Shafts []*Shaft
	gears  [][]Torque // on each shaft
}

// Gears returns the torques, N·m, that the gears of shaft i exert on it, in the
// order of the meshes.
func (t *Train) Gears(i int) []Torque { return slices.Clone(t.gears[i]) }

// MaxTrain is the greatest number of shafts in a train.
const MaxTrain = 20

// NewTrain solves shafts that meshes join to a tree: every shaft is reached from
// every other in one way. Where two gears mesh, the rims move together and push
// each other with equal forces, so that with z the numbers of teeth
//
//	z_A·φ_A + z_B·φ_B = 0        T_A/z_A = T_B/z_B
//
// where φ is the rotation relative to ground and T the torque of the mesh on the
// shaft: Beer & Johnston, Mechanics of Materials, Sample Problem 3.4.
//
// The equilibrium of a shaft without a support gives one of its mesh torques.
// With at most one shaft held the torques follow from that alone; each further
// shaft that is held leaves one of them open, which the rotations decide: the
// force method, as within one shaft. Where no shaft is held the torques must
// balance over the whole train.
func NewTrain(specs []Spec, meshes []Mesh) (*Train, source.List) {
	w := &train{specs: slices.Clone(specs), meshes: meshes}
	for i := range w.specs {
		w.specs[i].Off = askOnce(w.specs[i].Off)
	}
	if list := w.check(); list.HasErrors() {
		return nil, list
	}
	if list := w.lay(); list.HasErrors() {
		return nil, list
	}
	torques, list := solveTrain[float64](w, floats{})
	if list.HasErrors() {
		return nil, list
	}
	bounds := sync.OnceValues(func() ([]interval.Interval, error) {
		o := &outward{}
		b, list := solveTrain[interval.Interval](w, brackets{o})
		if o.err == nil {
			o.err = list.Err()
		}
		return b, o.err
	})
	return w.assemble(torques, bounds)
}

// A train is the work of NewTrain. It hangs the shafts from a root, which is
// held if any is, and else the last.
type train struct {
	specs  []Spec
	meshes []Mesh
	order  []int   // the shafts, each behind the one that it hangs from
	up     []end   // of each shaft: its own gear of the mesh to that one; mesh −1 at the root
	over   []end   // the other gear of that mesh
	down   [][]int // of each shaft: those that hang from it
	open   []int   // the held shafts other than the root
}

// check reports gears without teeth or off their shafts, and too many shafts.
func (w *train) check() source.List {
	var all source.List
	if n := len(w.specs); n > MaxTrain {
		all.Addf(w.specs[0].At, CodeTeeth, "gears join %d shafts here, and at most %d are solved together", n, MaxTrain).
			Repair = "solve the train in two parts: give one the torque that the other finds"
		return all
	}
	for i, m := range w.meshes {
		a, b := m.ends(i)
		for _, gear := range []end{a, b} {
			v := &validator{spec: &w.specs[gear.shaft]}
			if v.finite(m.At, "a number of teeth", gear.z) && gear.z <= 0 {
				v.fail(m.At, CodeTeeth, "give both gears a number of teeth above zero", "a gear with %g teeth does not mesh", gear.z)
			}
			if length := v.spec.length(); v.finite(m.At, "the place of a gear", gear.x) && length > 0 {
				v.snap(m.At, "a gear of this pair sits", gear.x, &[]float64{0, length})
			}
			all = append(all, v.list...)
		}
	}
	return all
}

// lay finds how the shafts hang from the root. It fails where the meshes close
// a ring or leave a shaft out.
func (w *train) lay() (list source.List) {
	n := len(w.specs)
	root := slices.IndexFunc(w.specs, func(s Spec) bool { return len(s.Supports) > 0 })
	if root < 0 {
		root = n - 1
	}
	w.up, w.over, w.down = make([]end, n), make([]end, n), make([][]int, n)
	for i := range w.up {
		w.up[i].mesh = -1
	}
	w.order = []int{root}
	reached := map[int]bool{root: true}
	for k := 0; k < len(w.order); k++ {
		at := w.order[k]
		for i, m := range w.meshes {
			a, b := m.ends(i)
			if b.shaft == at {
				a, b = b, a
			}
			if a.shaft != at || reached[b.shaft] {
				continue
			}
			reached[b.shaft] = true
			w.order, w.down[at] = append(w.order, b.shaft), append(w.down[at], b.shaft)
			w.up[b.shaft], w.over[b.shaft] = b, a
			if len(w.specs[b.shaft].Supports) > 0 {
				w.open = append(w.open, b.shaft)
			}
		}
	}
	if len(w.order) < n || len(w.meshes) != n-1 {
		at := w.specs[0].At
		if len(w.meshes) > 0 {
			at = w.meshes[len(w.meshes)-1].At
		}
		list.Addf(at, CodeTeeth, "the gears must join these shafts one after another, without a ring").
			Repair = "leave out the gear pair that closes the ring"
	}
	return list
}

// assemble solves each shaft under its loads and the torques of its gears.
func (w *train) assemble(torques []float64, bounds func() ([]interval.Interval, error)) (*Train, source.List) {
	t := &Train{Shafts: make([]*Shaft, len(w.specs)), gears: make([][]Torque, len(w.specs))}
	var all source.List
	for i, spec := range w.specs {
		for _, g := range w.gearsOf(i) {
			value := float64(torques[g.of] * g.ratio())
			spec = spec.withTorque(Torque{X: g.on.x, Value: value, At: w.meshes[g.on.mesh].At}, func() (interval.Interval, error) {
				b, err := bounds()
				if err != nil {
					return interval.Interval{}, err
				}
				o := &outward{}
				on := o.product(b[g.of], brackets{o}.quotient(g.on.z, g.against.z))
				return on, o.err
			})
			t.gears[i] = append(t.gears[i], spec.Torques[len(spec.Torques)-1])
		}
		s, list := New(spec)
		all = append(all, list...)
		if list.HasErrors() {
			return nil, all
		}
		t.Shafts[i] = s
	}
	w.turn(t)
	for i, s := range t.Shafts {
		s.probe = func(at Torque, off func() (float64, error)) (*Shaft, source.List) { return w.probe(i, at, off) }
	}
	return t, all
}

// turn gives each shaft without a support the rotation of the gear that it
// hangs from.
func (w *train) turn(t *Train) {
	held := len(w.specs[w.order[0]].Supports) > 0
	for _, i := range w.order[1:] {
		s, above, up, over := t.Shafts[i], t.Shafts[w.over[i].shaft], w.up[i], w.over[i]
		if len(s.holds) > 0 {
			continue
		}
		// New has checked both places.
		rim, _ := above.Rotation(over.x)
		own, _ := s.Twist(up.x)
		s.turned = float64(-rim*over.z/up.z) - own
		if !held {
			continue
		}
		s.rim = &rimmed{x: up.x, rotation: func() (interval.Interval, error) {
			o := &outward{}
			c, err := above.Certain()
			if err != nil {
				return interval.Interval{}, err
			}
			rim := o.keep(c.rotation(over.x))
			rim = interval.Neg(o.product(rim, brackets{o}.quotient(over.z, up.z)))
			return rim, o.err
		}}
	}
}

// A rimmed section takes its rotation relative to ground from a gear.
type rimmed struct {
	x        float64
	rotation func() (interval.Interval, error)
}

// probe solves the train with all loads taken off and one torque put on shaft i.
func (w *train) probe(i int, at Torque, off func() (float64, error)) (*Shaft, source.List) {
	specs := slices.Clone(w.specs)
	for k := range specs {
		specs[k] = specs[k].unloaded()
	}
	specs[i] = specs[i].withTorque(at, exactly(at.Value))
	specs[i].Off = off
	t, list := NewTrain(specs, w.meshes)
	if list.HasErrors() {
		return nil, list
	}
	return t.Shafts[i], list
}

// A gearing is a gear on a shaft, whose torque is counted by that of the mesh on
// the lower of its two shafts.
type gearing struct {
	on, against end // the gear, and that whose torque is counted
	of          int // the shaft that hangs by the mesh
}

// ratio returns the torque on the gear for each N·m on the one that is counted.
func (g gearing) ratio() float64 { return g.on.z / g.against.z }

// gearsOf lists the gears on shaft i, in the order of the meshes.
func (w *train) gearsOf(i int) []gearing {
	var all []gearing
	if w.up[i].mesh >= 0 {
		all = append(all, gearing{w.up[i], w.up[i], i})
	}
	for _, k := range w.down[i] {
		all = append(all, gearing{w.over[k], w.up[k], k})
	}
	slices.SortFunc(all, func(a, b gearing) int { return a.on.mesh - b.on.mesh })
	return all
}

// askOnce keeps the answer of an Off, which several shafts ask for.
func askOnce(off func() (float64, error)) func() (float64, error) {
	if off == nil {
		return nil
	}
	return sync.OnceValues(off)
}

// exactly encloses a number that is meant as it is.
func exactly(v float64) func() (interval.Interval, error) {
	return func() (interval.Interval, error) { return point(v), nil }
}

// withTorque returns the Spec with a torque added that bounds encloses.
func (spec Spec) withTorque(t Torque, bounds func() (interval.Interval, error)) Spec {
	spec.Torques = append(slices.Clone(spec.Torques), t)
	spec.bounds = append(slices.Clone(spec.bounds), bounds)
	return spec
}

// unloaded returns the Spec without loads and limits, whose pieces never yield.
func (spec Spec) unloaded() Spec {
	spec.Torques, spec.DistributedTorques, spec.Limits, spec.bounds = nil, nil, nil, nil
	return spec.elastic()
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
