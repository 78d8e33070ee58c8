package program

import (
	"errors"
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

// relativeTolerance is the accuracy that integrals are asked for.
const relativeTolerance = 1e-12

// value evaluates a form inside a program. Where it has no value the result is
// NaN, and the walker finds out why; the error is a limit.
func (l *loop) value(run *Run, from, to float64, caps, values []float64, s Scope) (float64, error) {
	improper := l.bind.Kind == notation.Integral
	if (!finite(from) || !finite(to)) && !improper || math.IsNaN(from+to) && !math.IsInf(from, 0) {
		return math.NaN(), nil
	}
	for _, c := range caps {
		if !finite(c) {
			return math.NaN(), nil
		}
	}
	switch l.bind.Kind {
	case notation.Sum, notation.Product:
		first, n, problem := count(from, to)
		if problem != "" {
			return math.NaN(), nil
		}
		v, err := l.body.reduce(run, caps, first, n, l.bind.Kind == notation.Product, nil)
		return v, err
	}
	sure := l.sure.of(run, l.bind, l.names, s)
	r, err := sure.found(run, l.bind, points(values), from, to, func() (found, error) {
		return l.body.search(run, l.bind.Kind, caps, from, to, nil)
	})
	if err != nil {
		if isLimit(err) {
			return 0, err
		}
		return math.NaN(), nil
	}
	return r.value, nil
}

// count returns the first whole number and how many there are from one bound
// to the other. A bound within rounding of a whole number counts as it;
// problem reports which bound is not usable.
func count(from, to float64) (first, n int64, problem string) {
	a, okA := nearWhole(from)
	b, okB := nearWhole(to)
	switch {
	case !okA:
		return 0, 0, "from"
	case !okB:
		return 0, 0, "to"
	case b < a:
		return int64(a), 0, ""
	}
	return int64(a), int64(b) - int64(a) + 1, ""
}

// nearWhole rounds what a quotient such as L/Δx leaves of a whole number.
func nearWhole(x float64) (float64, bool) {
	w := math.Round(x)
	return w, math.Abs(x-w) <= 1e-12*max(1, math.Abs(x)) && math.Abs(w) <= largestBound
}

// countsAsOne reports whether every number in a bracket counts as the same whole
// number.
func countsAsOne(b interval.Interval) bool {
	low, okLow := nearWhole(b.Lo)
	high, okHigh := nearWhole(b.Hi)
	return okLow && okHigh && low == high
}

// A found is the result of a form over a continuous name.
type found struct {
	value    float64
	estimate float64 // absolute; 0 if the method has none
}

// search integrates a body or finds its root or extreme. resolve settles points
// in doubt, nil leaves them without value. The error is a limit or one of num's.
func (p *Program) search(run *Run, k notation.BindKind, caps []float64, from, to float64, resolve resolver) (found, error) {
	bytes := p.frameBytes()
	if err := run.reserve(bytes); err != nil {
		return found{}, err
	}
	defer run.release(bytes)
	f := p.take()
	defer p.give(f)
	if err := p.setOnce(run, f, caps); err != nil {
		return found{}, err
	}
	body := func(dst, x []float64) error { return p.points(run, f, dst, x, resolve) }
	options := num.Options{Stop: run.check}
	switch k {
	case notation.Integral:
		options.RelTol = relativeTolerance
		r, err := num.Integrate(body, from, to, options)
		var slow *num.NotConvergedError
		if errors.As(err, &slow) && slow.Best.ErrorEstimate <= worthShowing*math.Abs(slow.Best.Value) {
			r, err = slow.Best, nil // its estimate goes with it
		}
		return found{r.Value, r.ErrorEstimate}, err
	case notation.FindRoot:
		r, err := num.FindRoot(body, from, to, options)
		// Where f only touches zero, the place is known to about √ulp.
		doubt := r.High - r.Low + spacing(r.X)
		if r.Touches || r.Low == r.High {
			doubt = 0x1p-24 * max(math.Abs(from), math.Abs(to))
		}
		return found{value: r.X, estimate: doubt}, err
	}
	r, err := num.FindExtreme(body, from, to, k == notation.Largest, options)
	return found{value: r.Value, estimate: 4 * spacing(r.Value)}, err
}

// spacing returns the distance from |x| to the next larger float64.
func spacing(x float64) float64 {
	x = math.Abs(x)
	return math.Nextafter(x, math.Inf(1)) - x
}

// worthShowing is the relative error estimate up to which an integral that
// did not reach the tolerance is still given, with its estimate. It bears more
// digits than are shown.
const worthShowing = 1e-8

// points evaluates the body at points; it is a num.Func.
func (p *Program) points(run *Run, f *frame, dst, x []float64, resolve resolver) error {
	run.report(-1, "integral, root or extreme")
	for len(x) > 0 {
		n := min(len(x), run.blockSize())
		if err := run.spend(int64(n), p.laneCost+costPoint); err != nil {
			return err
		}
		p.load(f, len(p.inputs)-1, x[:n])
		sound, err := p.block(run, f, 0, n)
		if err != nil {
			return err
		}
		copy(dst[:n], p.lanes(f, n))
		if !sound || !allFinite(dst[:n]) {
			at := func(j int) float64 { return x[j] }
			if err := p.resolveLanes(run, f, n, at, resolve, dst[:n]); err != nil {
				return err
			}
		}
		dst, x = dst[n:], x[n:]
	}
	return nil
}

// load copies a vector from outside into the register of an input, if the
// expression uses it.
func (p *Program) load(f *frame, input int, x []float64) {
	n, id := len(x), p.inputs[input]
	if id < 0 || p.slotOf[id] < 0 {
		return
	}
	slot := f.slots[p.slotOf[id]][:(n+laneGroup-1)&^(laneGroup-1)]
	copy(slot, x)
	pad(slot, n)
}
