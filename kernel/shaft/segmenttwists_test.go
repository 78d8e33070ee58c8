package shaft

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// loadsAdded returns the sum of the sizes of all loads, in N·m. Beside a rigid support
// a segment may carry a small part of it, as the difference of larger torques: its twist
// has then the rounding of those.
func loadsAdded(spec Spec) float64 {
	sum := 0.0
	for _, t := range spec.Torques {
		sum += math.Abs(t.Value)
	}
	for _, d := range spec.DistributedTorques {
		sum += max(math.Abs(d.Start), math.Abs(d.End)) * (d.To - d.From)
	}
	return sum
}

// TestRunningSum holds the running sums to the twists of the segments, within the rounding
// of the loads they come from, and the last one to Segments, to the last bit.
func TestRunningSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec, _ := drawSpec(t)
		s := sound(t, spec)
		n := rapid.IntRange(1, 40).Draw(t, "n")
		list, err := s.SegmentTwists(n)
		if err != nil {
			t.Fatal(err)
		}
		theta, err := s.Segments(n)
		if err != nil {
			t.Fatal(err)
		}
		load := loadsAdded(spec)
		sum, size := 0.0, 0.0
		for i, g := range list {
			sum += g.Twist
			size += math.Abs(g.Twist) + load*(g.To-g.From)/g.gj
			if math.Abs(sum-g.Sum) > 1e-12*size {
				t.Fatalf("segment %d: the twists add to %g, the running sum is %g", i, sum, g.Sum)
			}
		}
		if got := list[len(list)-1].Sum; got != theta {
			t.Fatalf("the last running sum is %g, Segments gives %g", got, theta)
		}
	})
}
