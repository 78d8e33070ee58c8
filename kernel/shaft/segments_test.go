package shaft

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/interval"
)

func TestBracketHoldsTheOracle(t *testing.T) {
	for _, row := range oracle(t) {
		t.Run(row.id, func(t *testing.T) {
			s := build(t, row.spec)
			before := math.Inf(1)
			for _, n := range []int{1, 2, 3, 8, 64, 512} {
				b := must(s.Bracket(n))
				// The reader of the oracle's 20 digits rounds once more.
				slip := 1e-16 * math.Abs(row.twist)
				if row.twist < b.Lo-slip || row.twist > b.Hi+slip {
					t.Errorf("n = %d: %.17g is outside %v", n, row.twist, b)
				}
				width := must(b.Width())
				if width > before*1.0000001+1e-14 {
					t.Errorf("n = %d: width %g, %g before", n, width, before)
				}
				before = width
			}
			twist := largestTwist(t, s)
			if halved := must(must(s.Bracket(1024)).Width()); before > 1e-9*twist && math.Abs(before/halved-2) > 0.1 {
				t.Errorf("width %g at 512 segments, %g at 1024: not halved", before, halved)
			}
		})
	}
}

func TestBracketHoldsTheTwist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := drawSpec(t)
		s := sound(t, spec)
		n := rapid.IntRange(1, 40).Draw(t, "n")
		b, err := s.Bracket(n)
		if err != nil {
			t.Fatal(err)
		}
		// The solution itself is good to 1e-13 of what the loads could twist.
		slip := 1e-13 * largestLoad(spec) * largestCompliance(s)
		if v := s.TwistTotal(); v < b.Lo-slip || v > b.Hi+slip {
			t.Fatalf("n = %d: %.17g is outside %v", n, v, b)
		}
	})
}

func TestSegmentsConverge(t *testing.T) {
	for _, row := range oracle(t) {
		t.Run(row.id, func(t *testing.T) {
			s := build(t, row.spec)
			largest := largestTwist(t, s)
			at := func(n int) float64 { return must(s.Segments(n)) - row.twist }
			coarse, fine := at(128), at(256)
			if math.Abs(fine) > 1e-3*largest {
				t.Errorf("256 segments are off by %g of %g", fine, largest)
			}
			if math.Abs(coarse) < 1e-9*largest {
				return // exact at once: uniform pieces, or rigid holds at both ends
			}
			// Where a load falls inside a segment the error is of second order
			// too, but it jumps with the load's place in its segment, so the
			// order shows between n and many n only.
			if order := math.Log2(math.Abs(coarse / fine)); len(row.spec.Pieces) == 1 && len(row.spec.Torques)+len(row.spec.DistributedTorques) == 1 &&
				row.spec.Torques != nil && row.spec.Torques[0].X >= row.length-1e-9 && math.Abs(order-2) > 0.02 {
				t.Errorf("observed order %.3f", order)
			}
		})
	}
}

// TestSegmentsMidpoint: θ by the midpoint rule with 16 strips on ∫₁² x⁻⁴ dx is
// 0.291038165214936 (mpmath; midpoint row of a comparison of quadrature rules).
func TestSegmentsMidpoint(t *testing.T) {
	s := bar(t, 1, taper(1, 2, 1, 1))
	uniform := bar(t, 1, solid(1, 1, 1)).TwistTotal()
	if got := must(s.Segments(16)) / uniform; math.Abs(got-0.291038165214936) > 1e-14 {
		t.Errorf("got %.15g", got)
	}
}

func TestSteps(t *testing.T) {
	p := taper(0.02, 0.04, 1, 1)
	p.Bore = &Profile{Start: 0.01, End: 0.01}
	s := bar(t, 1, p, solid(0.05, 0.5, 1), of(t, must2(Square(0.03)), nil))
	steps := must(s.Steps(2))
	want := []Segment{
		{From: 0, To: 0.5, Outer: 0.025, Bore: 0.01, Depth: 0.025},
		{From: 0.5, To: 1, Outer: 0.035, Bore: 0.01, Depth: 0.035},
		{From: 1, To: 1.25, Outer: 0.05, Depth: 0.05},
		{From: 1.25, To: 1.5, Outer: 0.05, Depth: 0.05},
		{From: 1.5, To: 2, Depth: 0.03},
		{From: 2, To: 2.5, Depth: 0.03},
	}
	if len(steps) != len(want) {
		t.Fatalf("%d steps", len(steps))
	}
	for i, w := range want {
		g := steps[i]
		for k, d := range []float64{g.From - w.From, g.To - w.To, g.Outer - w.Outer, g.Bore - w.Bore, g.Depth - w.Depth} {
			if math.Abs(d) > 1e-15 {
				t.Errorf("step %d, field %d: got %+v, want %+v", i, k, g, w)
			}
		}
	}
}

func TestSegmentsErrors(t *testing.T) {
	s := bar(t, 1, taper(1, 2, 1, 1))
	for _, n := range []int{0, -3, MaxSegments + 1} {
		var e *SegmentsError
		if _, err := s.Segments(n); !errors.As(err, &e) || e.N != n {
			t.Errorf("Segments(%d): %v", n, err)
		}
		if _, err := s.Steps(n); !errors.As(err, &e) {
			t.Errorf("Steps(%d): %v", n, err)
		}
		if _, err := s.Bracket(n); !errors.As(err, &e) {
			t.Errorf("Bracket(%d): %v", n, err)
		}
	}
	wave := waveProfile(0.04, 0.01, 0.3)
	wave.Enclose = nil
	s = bar(t, 1, Piece{Length: 1, G: 1, Outer: wave})
	if _, err := s.Bracket(4); !errors.Is(err, ErrNoEnclosure) {
		t.Errorf("Bracket without Enclose: %v", err)
	}
	wave.Enclose = func(interval.Interval) (interval.Interval, error) { return interval.Interval{Lo: -1, Hi: 1}, nil }
	s = bar(t, 1, Piece{Length: 1, G: 1, Outer: wave})
	if _, err := s.Bracket(4); !errors.Is(err, interval.ErrDivideByZero) {
		t.Errorf("Bracket of a useless Enclose: %v", err)
	}
}
