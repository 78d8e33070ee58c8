package shaft

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestRunningSum holds the running sums to the twists of the segments, and the last one
// to Segments, to the last bit.
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
		sum, size := 0.0, 0.0
		for i, g := range list {
			sum += g.Twist
			size += math.Abs(g.Twist)
			if math.Abs(sum-g.Sum) > 1e-12*size {
				t.Fatalf("segment %d: the twists add to %g, the running sum is %g", i, sum, g.Sum)
			}
		}
		if got := list[len(list)-1].Sum; got != theta {
			t.Fatalf("the last running sum is %g, Segments gives %g", got, theta)
		}
	})
}
