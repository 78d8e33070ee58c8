package shaft

import (
	"math"
	"testing"
)

// TestExceeded: on a taper from 20 mm to 40 mm under 100 N·m the stress is
// 16T/(πd³), above the limit up to a known diameter.
func TestExceeded(t *testing.T) {
	dStress, dRate := 0.027, 0.031
	stress := 16 * 100 / (math.Pi * dStress * dStress * dStress)
	rate := 100 / (79e9 * polarMoment(dRate, 0))
	spec := Spec{
		Pieces:   []Piece{taper(0.02, 0.04, 1, 79e9), solid(0.02, 0.5, 79e9), solid(0.05, 0.5, 79e9)},
		Supports: []Support{{}},
		Torques:  []Torque{{X: 0.4, Value: 0}, {X: 2, Value: -100}},
		Limits:   []Limit{{Of: Stress, Value: stress}, {Of: TwistRate, Value: rate}, {Of: Stress, Value: 1e12}},
	}
	list := must(build(t, spec).Exceeded())
	want := []Excess{
		{Limit: spec.Limits[0], From: 0, To: 0.35, Greatest: 16 * 100 / (math.Pi * 8e-6), X: 0},
		{Limit: spec.Limits[0], From: 1, To: 1.5, Greatest: 16 * 100 / (math.Pi * 8e-6), X: 1},
		{Limit: spec.Limits[1], From: 0, To: 0.55, Greatest: 100 / (79e9 * polarMoment(0.02, 0)), X: 0},
		{Limit: spec.Limits[1], From: 1, To: 1.5, Greatest: 100 / (79e9 * polarMoment(0.02, 0)), X: 1},
	}
	if len(list) != len(want) {
		t.Fatalf("%+v", list)
	}
	for i, w := range want {
		g := list[i]
		if g.Limit != w.Limit || math.Abs(g.From-w.From) > 1e-11 || math.Abs(g.To-w.To) > 1e-11 ||
			math.Abs(g.Greatest/w.Greatest-1) > 1e-12 || math.Abs(g.X-w.X) > 1e-9 {
			t.Errorf("%d: got %+v, want %+v", i, g, w)
		}
	}
}

// TestExceededAtAPeak: a bump of stress between the sampled points is found by
// its peak.
func TestExceededAtAPeak(t *testing.T) {
	s := bar(t, 100, Piece{Length: 1, G: 79e9, Outer: waveProfile(0.04, -0.01, 0.31)})
	peak, x := s.StressMax()
	s.limits = []Limit{{Of: Stress, Value: peak * (1 - 1e-9)}}
	list := must(s.Exceeded())
	if len(list) != 1 || list[0].Greatest != peak || list[0].X != x {
		t.Errorf("%+v, peak %g at %g", list, peak, x)
	}
}
