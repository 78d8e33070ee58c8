package shaft

import (
	"errors"
	"math"
	"slices"
	"sync"
	"testing"
)

func close64(t *testing.T, what string, got, want float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= 1e-12*max(math.Abs(want), 1e-12)) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

// mill is a stepped shaft, held at x = 0, with a point torque at the step and
// one at the far end.
func mill(t *testing.T) *Shaft {
	return build(t, Spec{
		Pieces:   []Piece{solid(0.05, 0.4, 80e9), tube(0.04, 0.02, 0.3, 26e9)},
		Supports: []Support{{}},
		Torques:  []Torque{{X: 0.4, Value: -900}, {X: 0.7, Value: 420}},
	})
}

// TestSides pins down what a value at a jump means.
func TestSides(t *testing.T) {
	s := mill(t)
	for _, c := range []struct {
		name                     string
		x, at, before, after     float64
		diameter, bore, momentOf float64
	}{
		{"hold", 0, -480, 0, -480, 0.05, 0, polarMoment(0.05, 0)},
		{"inside", 0.2, -480, -480, -480, 0.05, 0, polarMoment(0.05, 0)},
		{"step", 0.4, 420, -480, 420, 0.04, 0.02, polarMoment(0.04, 0.02)},
		{"step missed by rounding", 0.4 - 1e-16, 420, -480, 420, 0.04, 0.02, polarMoment(0.04, 0.02)},
		{"far end", 0.7, 420, 420, 0, 0.04, 0.02, polarMoment(0.04, 0.02)},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, after, err := s.TorqueSides(c.x)
			if err != nil {
				t.Fatal(err)
			}
			close64(t, "torque", must(s.Torque(c.x)), c.at)
			close64(t, "torque before", before, c.before)
			close64(t, "torque after", after, c.after)
			close64(t, "diameter", must(s.Diameter(c.x)), c.diameter)
			close64(t, "bore", must(s.Bore(c.x)), c.bore)
			close64(t, "J", must(s.J(c.x)), c.momentOf)
		})
	}
	close64(t, "reaction", must(s.Reaction(0)), 480)
	// At the step the stress is that of the weaker side.
	close64(t, "stress at the step", must(s.Stress(0.4)), 420*0.02/polarMoment(0.04, 0.02))
	stress, x := s.StressMax()
	close64(t, "greatest stress", stress, 420*0.02/polarMoment(0.04, 0.02))
	close64(t, "its place", x, 0.4)
	close64(t, "twist rate", must(s.TwistRate(0.1)), -480/(80e9*polarMoment(0.05, 0)))
	close64(t, "twist", s.TwistTotal(), must(s.Twist(0.4))+420*0.3/(26e9*polarMoment(0.04, 0.02)))
	if got := s.Breaks(); !slices.Equal(got, []float64{0, 0.4, 0.7}) {
		t.Errorf("breaks %v", got)
	}
}

// TestFreeShaft: without a hold, twist and rotation are measured from x = 0.
func TestFreeShaft(t *testing.T) {
	s := build(t, Spec{Name: "F", Pieces: []Piece{solid(0.03, 1, 79e9)}, Torques: []Torque{{X: 0, Value: -300}, {X: 1, Value: 300}}})
	want := 300 / (79e9 * polarMoment(0.03, 0))
	close64(t, "twist", s.TwistTotal(), want)
	close64(t, "rotation", must(s.Rotation(1)), want)
	close64(t, "length", s.Length(), 1)
	if s.Name() != "F" || len(s.SupportPlaces()) != 0 {
		t.Errorf("name %q, holds %v", s.Name(), s.SupportPlaces())
	}
	var e *SupportError
	if _, err := s.Reaction(0); !errors.As(err, &e) || e.Error() != "there is no hold at x = 0 m, nor anywhere on this shaft" {
		t.Errorf("%v", err)
	}
}

// TestElasticHold: a spring at the far end shares the load with the shaft by
// their stiffnesses. A torque T in the middle of a shaft of stiffness 2c each
// half, rigid at 0, spring k at the far end: the far half and the spring are in
// series, k' = 2c·k/(2c + k), and in parallel with the near half.
func TestElasticHold(t *testing.T) {
	p := solid(0.03, 1, 79e9)
	half := 2 * bar(t, 1, p).Stiffness()
	k := 0.7 * half
	s := build(t, Spec{Pieces: []Piece{p}, Supports: []Support{{}, {X: 1, Elastic: true, Stiffness: k}}, Torques: []Torque{{X: 0.5, Value: 100}}})
	series := half * k / (half + k)
	close64(t, "reaction of the spring", must(s.Reaction(1)), -100*series/(series+half))
	close64(t, "reaction of the hold", must(s.Reaction(0)), -100*half/(series+half))
	close64(t, "turn of the spring", must(s.Rotation(1)), 100*series/(series+half)/k)
	// An elastic hold at x = 0 alone: twist is relative to x = 0, rotation to ground.
	s = build(t, Spec{Pieces: []Piece{p}, Supports: []Support{{Elastic: true, Stiffness: k}}, Torques: []Torque{{X: 1, Value: 100}}})
	close64(t, "twist", s.TwistTotal(), 200/half)
	close64(t, "rotation at 0", must(s.Rotation(0)), 100/k)
	close64(t, "rotation", must(s.Rotation(1)), 200/half+100/k)
}

// TestThreeHolds: by symmetry a torque at the middle hold goes into it alone,
// and a torque in the middle of one span is shared by that span's holds alone.
func TestThreeHolds(t *testing.T) {
	spec := Spec{Pieces: []Piece{solid(0.03, 2, 79e9)}, Supports: []Support{{X: 2}, {}, {X: 1}}, Torques: []Torque{{X: 1, Value: 70}, {X: 0.5, Value: 40}}}
	s := build(t, spec)
	for i, want := range []float64{-20, -90, 0} {
		if got := must(s.Reaction(float64(i))); math.Abs(got-want) > 1e-12 {
			t.Errorf("reaction at %d m: %g, want %g", i, got, want)
		}
	}
	if spec.Supports[0].X != 2 {
		t.Error("New changed the caller's Spec")
	}
	var e *SupportError
	if _, err := s.Reaction(0.5); !errors.As(err, &e) || e.Error() != "there is no hold at x = 0.5 m; the shaft is held at [0 1 2] m" {
		t.Errorf("%v", err)
	}
}

// TestOffTheShaft: every question about a section that does not exist fails
// with the same typed error.
func TestOffTheShaft(t *testing.T) {
	s := mill(t)
	for _, x := range []float64{-0.001, 0.7001, math.NaN(), math.Inf(1)} {
		for name, f := range map[string]func(float64) (float64, error){
			"Twist": s.Twist, "Torque": s.Torque, "Rotation": s.Rotation, "TwistRate": s.TwistRate, "J": s.J,
			"Diameter": s.Diameter, "Bore": s.Bore, "Depth": s.Depth, "Stress": s.Stress,
		} {
			var e *RangeError
			if v, err := f(x); !errors.As(err, &e) || v != 0 || e.Length != 0.7 {
				t.Errorf("%s(%g) = %g, %v", name, x, v, err)
			}
		}
	}
	if _, err := s.Twist(0.8); err == nil || err.Error() != "x = 0.8 m is off the shaft, which runs from 0 m to 0.7 m" {
		t.Errorf("%v", err)
	}
}

// TestBlocks: the block methods agree with the single ones, also at once from
// many goroutines.
func TestBlocks(t *testing.T) {
	wave := Piece{Length: 0.5, G: 79e9, Outer: waveProfile(0.04, 0.01, 0.3)}
	s := bar(t, 300, solid(0.03, 0.2, 79e9), taper(0.03, 0.05, 0.3, 79e9), wave)
	x := make([]float64, 101)
	for i := range x {
		x[i] = s.Length() * float64(i) / 100
	}
	var all sync.WaitGroup
	for name, f := range map[string]struct {
		block func(dst, x []float64) error
		one   func(float64) (float64, error)
	}{
		"Twist": {s.TwistTo, s.Twist}, "Rotation": {s.RotationTo, s.Rotation}, "TwistRate": {s.TwistRateTo, s.TwistRate},
		"Torque": {s.TorqueTo, s.Torque}, "Stress": {s.StressTo, s.Stress}, "J": {s.JTo, s.J},
		"Diameter": {s.DiameterTo, s.Diameter}, "Bore": {s.BoreTo, s.Bore}, "Depth": {s.DepthTo, s.Depth},
	} {
		all.Go(func() {
			dst := make([]float64, len(x))
			if err := f.block(dst, x); err != nil {
				t.Error(name, err)
			}
			for i, v := range x {
				if want, err := f.one(v); err != nil || dst[i] != want {
					t.Errorf("%s at %g: %g, want %g, %v", name, v, dst[i], want, err)
				}
			}
			if err := f.block(dst[:1], []float64{9}); err == nil {
				t.Errorf("%s off the shaft: no error", name)
			}
		})
	}
	all.Wait()
}

// TestTwistAddsUp: the twist from 0 to x grows by the twist rate, on every form
// of piece. The rate is integrated by a rule on 40 parts between breaks.
func TestTwistAddsUp(t *testing.T) {
	for _, row := range oracle(t)[:60] {
		s := build(t, row.spec)
		scale := largestTwist(t, s)
		edges := s.Breaks()
		theta := 0.0
		for i := 0; i+1 < len(edges); i++ {
			const parts = 40
			h := (edges[i+1] - edges[i]) / parts
			for k := range parts {
				var x [15]float64
				kronrodNodes(&x, edges[i]+float64(k)*h, edges[i]+float64(k+1)*h)
				for m, v := range x {
					theta += kronrodW[m] * h / 2 * must(s.TwistRate(v))
				}
				at := edges[i] + float64(k+1)*h
				if d := math.Abs(must(s.Twist(min(at, s.Length()))) - theta); d > 1e-12*scale {
					t.Fatalf("%s: twist at %g is off by %g of %g", row.id, at, d, scale)
				}
			}
		}
	}
}

// TestKink: a profile with a kink and a jump is added up to full accuracy.
// From 0 to 0.3 m 20 mm, to 0.5 m 30 mm, then growing to 40 mm at 1 m.
func TestKink(t *testing.T) {
	p := Piece{Length: 1, G: 79e9, Outer: Profile{Func: func(dst, x []float64) error {
		for i, v := range x {
			switch {
			case v < 0.3:
				dst[i] = 0.02
			default:
				dst[i] = max(0.03, 0.02+0.02*v)
			}
		}
		return nil
	}}}
	got := bar(t, 300, p).TwistTotal()
	want := bar(t, 300, solid(0.02, 0.3, 79e9), solid(0.03, 0.2, 79e9), taper(0.03, 0.04, 0.5, 79e9)).TwistTotal()
	if math.Abs(got-want) > 1e-12*want {
		t.Errorf("twist %.15g, want %.15g", got, want)
	}
}

func TestNotRound(t *testing.T) {
	s := bar(t, 1, of(t, must2(Rectangle(0.06, 0.04)), nil))
	var e *ShapeError
	if _, err := s.Diameter(0.5); !errors.As(err, &e) || e.Error() != "the section at x = 0.5 m is not round, so it has no diameter" {
		t.Errorf("%v", err)
	}
	close64(t, "depth", must(s.Depth(0.5)), 0.04)
}

// TestCoreOfTheSameMaterial: a core of the same G changes nothing.
func TestCoreOfTheSameMaterial(t *testing.T) {
	plain := taper(0.03, 0.05, 0.4, 79e9)
	cored := plain
	cored.Core = &Core{Diameter: 0.02, G: 79e9}
	a, b := bar(t, 300, plain), bar(t, 300, cored)
	close64(t, "twist", b.TwistTotal(), a.TwistTotal())
	close64(t, "stress", stressMax(b), stressMax(a))
	close64(t, "J", must(b.J(0.2)), must(a.J(0.2)))
	// A core eight times as stiff of half the diameter has the greatest stress
	// at its own rim: G_c·r_c = 4·G·r.
	hard := solid(0.04, 1, 10e9)
	hard.Core = &Core{Diameter: 0.02, G: 80e9}
	s := bar(t, 300, hard)
	close64(t, "stress at the rim of the core", stressMax(s), must(s.TwistRate(0))*80e9*0.01)
}
