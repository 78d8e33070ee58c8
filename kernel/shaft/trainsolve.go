package shaft

import (
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A reckoning is the arithmetic with which a train is solved: float64, or
// brackets around the exact values.
type reckoning[T any] interface {
	add(a, b T) T
	mul(a, b T) T
	div(a, b T) T
	neg(a T) T
	quotient(a, b float64) T // of numbers of teeth
	loads(spec Spec) T       // the total of all loads, N·m
	// turn returns the rotation at x relative to ground of a shaft that is held,
	// else relative to the section at from, rad. The torques follow the loads.
	turn(spec Spec, torques []gearTorque[T], from, x float64) (T, source.List)
	weak(pivot, whole T) bool // a pivot that cannot be told from zero
}

type gearTorque[T any] struct {
	x     float64
	value T
	at    source.Span
}

// solveTrain returns, for each shaft but the root, the torque, N·m, that the
// mesh it hangs by exerts on it.
//
// Let qₖ be that torque of the held shaft k. All torques are then linear in q by
// equilibrium, and so are the rotations. The rims of the mesh of k move together:
//
//	φₖ + (z_p/zₖ)·φ_p = 0
//
// where φ_p is the rotation of the gear it hangs from, found from the next held
// shaft upward along the twists of those between. By the equality of the work
// of two unit states the matrix of these equations is symmetric, and it is
// positive definite, since 2U = qᵀ·F·q.
func solveTrain[T any](w *train, r reckoning[T]) ([]T, source.List) {
	n := len(w.open)
	c := linear(w, r, n)
	// rows of F·q = −f, with f in column n
	rows := make([][]T, n)
	for k, i := range w.open {
		rows[k] = make([]T, n+1)
		for state := range n + 1 {
			v, list := gap(w, r, c, i, state)
			if list.HasErrors() {
				return nil, list
			}
			if state == 0 {
				rows[k][n] = r.neg(v)
			} else {
				rows[k][state-1] = v
			}
		}
	}
	q, ok := eliminate(r, rows)
	if !ok {
		var list source.List
		list.Addf(w.meshes[w.up[w.open[0]].mesh].At, CodeTeeth, "both shafts are held fast right at their gears, so the gears carry nothing that can be worked out").
			Repair = "move or remove one of the holds"
		return nil, list
	}
	torques := make([]T, len(w.specs))
	for _, i := range w.order[1:] {
		torques[i] = c[i][0]
		for k, v := range q {
			torques[i] = r.add(torques[i], r.mul(c[i][k+1], v))
		}
	}
	return torques, nil
}

// linear returns the torque on each shaft of the mesh that it hangs by: that of the
// loads, and that of each q = 1 N·m.
func linear[T any](w *train, r reckoning[T], n int) [][]T {
	c := make([][]T, len(w.specs))
	for k := len(w.order) - 1; k >= 1; k-- {
		i := w.order[k]
		c[i] = make([]T, n+1)
		if len(w.specs[i].Supports) > 0 {
			for j, held := range w.open {
				if held == i {
					c[i][j+1] = r.quotient(1, 1)
				}
			}
			continue
		}
		c[i][0] = r.loads(w.specs[i])
		for _, below := range w.down[i] {
			ratio := r.quotient(w.over[below].z, w.up[below].z)
			for s := range c[i] {
				c[i][s] = r.add(c[i][s], r.mul(ratio, c[below][s]))
			}
		}
		for s := range c[i] {
			c[i][s] = r.neg(c[i][s])
		}
	}
	return c
}

// gap returns how far the rims of the mesh that the held shaft i hangs by would
// part in one state, as an angle of i: under the loads in state 0, and in any
// other under one q = 1 N·m.
func gap[T any](w *train, r reckoning[T], c [][]T, i, state int) (T, source.List) {
	total, list := turnIn(w, r, c, i, state, 0, w.up[i].x)
	if list.HasErrors() {
		return total, list
	}
	factor := r.quotient(w.over[i].z, w.up[i].z)
	for at := w.over[i]; ; {
		j := at.shaft
		turn, list := turnIn(w, r, c, j, state, w.up[j].x, at.x)
		if list.HasErrors() {
			return total, list
		}
		total = r.add(total, r.mul(factor, turn))
		if len(w.specs[j].Supports) > 0 {
			return total, nil
		}
		factor = r.neg(r.mul(factor, r.quotient(w.over[j].z, w.up[j].z)))
		at = w.over[j]
	}
}

// turnIn returns the rotation of shaft i in one state.
func turnIn[T any](w *train, r reckoning[T], c [][]T, i, state int, from, x float64) (T, source.List) {
	spec := w.specs[i]
	if state > 0 {
		spec = spec.unloaded()
	}
	var torques []gearTorque[T]
	for _, g := range w.gearsOf(i) {
		torques = append(torques, gearTorque[T]{g.on.x, r.mul(r.quotient(g.on.z, g.against.z), c[g.of][state]), w.meshes[g.on.mesh].At})
	}
	v, list := r.turn(spec, torques, from, x)
	return v, list
}

// eliminate solves rows of a symmetric positive definite matrix with the right
// side behind them. It fails where a pivot cannot be told from zero.
func eliminate[T any](r reckoning[T], rows [][]T) ([]T, bool) {
	n := len(rows)
	for k := range rows {
		whole := rows[k][k]
		for above := range k {
			factor := r.div(rows[k][above], rows[above][above])
			for j := above; j <= n; j++ {
				rows[k][j] = r.add(rows[k][j], r.neg(r.mul(factor, rows[above][j])))
			}
		}
		if r.weak(rows[k][k], whole) {
			return nil, false
		}
	}
	q := make([]T, n)
	for k := n - 1; k >= 0; k-- {
		v := rows[k][n]
		for j := k + 1; j < n; j++ {
			v = r.add(v, r.neg(r.mul(rows[k][j], q[j])))
		}
		q[k] = r.div(v, rows[k][k])
	}
	return q, true
}

// floats reckons with float64.
type floats struct{}

func (floats) add(a, b float64) float64      { return a + b }
func (floats) mul(a, b float64) float64      { return float64(a * b) }
func (floats) div(a, b float64) float64      { return a / b }
func (floats) neg(a float64) float64         { return -a }
func (floats) quotient(a, b float64) float64 { return a / b }

// weakest is the part of itself that a pivot must keep for the equations to say
// anything.
const weakest = 1e-13

func (floats) weak(pivot, whole float64) bool { return !(pivot > weakest*whole) }

// loads returns the total of all loads, 0 if it is not finite: New reports the
// load that is not.
func (floats) loads(spec Spec) float64 {
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

func (floats) turn(spec Spec, torques []gearTorque[float64], from, x float64) (float64, source.List) {
	for _, t := range torques {
		spec = spec.withTorque(Torque{X: t.x, Value: t.value, At: t.at}, exactly(t.value))
	}
	s, list := New(spec.elastic())
	if list.HasErrors() {
		return 0, list
	}
	at, err := s.Rotation(x)
	if err == nil && len(s.holds) == 0 {
		var first float64
		first, err = s.Twist(from)
		at -= first
	}
	if err != nil {
		list.Addf(spec.At, CodeProfile, "the rotation at the gears cannot be worked out: %s", err)
	}
	return at, list
}

// brackets reckons with brackets around the exact values. After an error its
// results mean nothing.
type brackets struct{ *outward }

func (b brackets) neg(a interval.Interval) interval.Interval { return interval.Neg(a) }

// quotient encloses the quotient of numbers of teeth. Whole numbers are exact.
func (b brackets) quotient(x, y float64) interval.Interval {
	if x == y && x == math.Trunc(x) {
		return point(1)
	}
	teeth := func(z float64) interval.Interval {
		if z == math.Trunc(z) {
			return point(z)
		}
		return b.given(z)
	}
	return b.div(teeth(x), teeth(y))
}

// weak leaves it to div to find that a pivot may be zero.
func (b brackets) weak(interval.Interval, interval.Interval) bool { return false }

func (b brackets) loads(spec Spec) interval.Interval {
	if spec.Off != nil {
		off, err := spec.Off()
		b.keep(interval.Interval{}, err)
		b.off = max(b.off, off)
	}
	var total interval.Interval
	for _, t := range spec.Torques {
		total = b.sum(total, b.given(t.Value))
	}
	for _, s := range spec.DistributedTorques {
		mean := b.product(b.sum(b.given(s.Start), b.given(s.End)), point(0.5))
		total = b.sum(total, b.product(mean, b.sub(b.given(s.To), b.given(s.From))))
	}
	return total
}

func (b brackets) turn(spec Spec, torques []gearTorque[interval.Interval], from, x float64) (interval.Interval, source.List) {
	for _, t := range torques {
		spec = spec.withTorque(Torque{X: t.x, Value: t.value.Mid(), At: t.at}, func() (interval.Interval, error) { return t.value, nil })
	}
	s, list := New(spec.elastic())
	if list.HasErrors() {
		return interval.Interval{}, list
	}
	c, err := s.Certain()
	if err != nil {
		return b.keep(interval.Interval{}, err), nil
	}
	if len(s.holds) > 0 {
		return b.keep(c.rotation(x)), nil
	}
	at, first := b.keep(c.Twist(b.given(x))), b.keep(c.Twist(b.given(from)))
	return b.sub(at, first), nil
}

// total returns the whole of the spread torque, N·m.
func (s DistributedTorque) total() float64 { return float64((s.Start + s.End) / 2 * (s.To - s.From)) }
