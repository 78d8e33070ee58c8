package derive

import (
	"fmt"
	"maps"
	"math"

	"shaftbook/kernel/bigfloat"
)

// Beside a place are points this share of it away; a change there by more than mostDrift
// of the values is a jump.
const (
	beside    = 1e-25
	mostDrift = 1e-12
)

// A jump is a place at which a line changes its value at once.
type jump struct {
	at            point
	before, after bigfloat.Value
}

// jumpsOver looks for a place in the midst of the domain at which a line jumps as x runs:
// at the switches of its parts.
func (j *judge) jumpsOver(f *statement, x string) (jump, bool) {
	v := j.scope.variable(x)
	if v == nil || !isPiecewise(f.full) || !isFree(f.full, x) {
		return jump{}, false
	}
	var sites []*site
	bases := j.basePoints()
	for _, e := range j.crossings(f, f) {
		if at, ok := solved(e, x); ok {
			if p, ok := j.pointAt(place{x, at}, bases); ok {
				sites = append(sites, &site{p})
			}
		}
	}
	sites = append(sites, j.switchSites(f, f)...)
	for _, s := range sites {
		if found, ok := j.jumpAt(f, v, s.point); ok {
			return found, true
		}
	}
	return jump{}, false
}

func (j *judge) jumpAt(f *statement, v *variable, at point) (found jump, ok bool) {
	x := v.name.Ident
	low, high := usual(v.dim)
	step := math.Max(math.Abs(at[x].Float64()), math.Sqrt(low*high)*1e-6) * beside
	var values [2]bigfloat.Value
	for i, by := range []float64{-step, step} {
		h, err := bigfloat.Float(by)
		if err != nil {
			return found, false
		}
		to, err := bigfloat.Add(at[x], h)
		if err != nil {
			return found, false
		}
		p := maps.Clone(at)
		if p[x] = to; !j.points().inDomain(p) {
			return found, false
		}
		if values[i], err = j.eval.value(f.full, p); err != nil {
			return found, false
		}
	}
	rise, err := bigfloat.Sub(values[1], values[0])
	if err != nil {
		return found, false
	}
	size := math.Max(math.Abs(values[0].Float64()), math.Abs(values[1].Float64()))
	return jump{at, values[0], values[1]}, math.Abs(rise.Float64())-rise.Radius() > mostDrift*size
}

// refuteJump takes a verdict back that says that F has the derivative above, if F jumps
// where that has a value.
func (j *judge) refuteJump(v *Verdict, slope, f *statement, x string) {
	if j.quiet || v.Kind != Follows && v.Kind != Agrees {
		return
	}
	j.eval.left = stepNodes
	found, ok := j.jumpsOver(f, x)
	if !ok {
		return
	}
	where := fmt.Sprintf("it jumps from %s to %s at %s", j.show(found.before, f), j.show(found.after, f), j.described(found.at, f, &statement{full: makerAt(f.full).name(x)}))
	if _, err := j.eval.value(slope.full, found.at); err != nil {
		v.Kind, v.Exact, v.Why = Open, false, where+", where the derivative above has no value either, so that does not decide"
	} else {
		v.Kind, v.Exact, v.Why = Fails, false, where+", and has no derivative there"
	}
	v.Counterexample = j.points().named(found.at, usedNames(f.full, makerAt(f.full).name(x)))
}
