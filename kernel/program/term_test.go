package program

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestTermIsItsThreeSteps compares the loop that does a term of a sum in one pass with
// the three that it stands for, bit for bit, for every number of lanes of a group.
func TestTermIsItsThreeSteps(t *testing.T) {
	numbers := rapid.OneOf(rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 1, -1, math.Pi, 1e308, -1e308, 5e-324,
		1e-310, 1e-80, 1e80, 1e160, math.Inf(1), math.NaN()}), rapid.Float64Range(-10, 10), rapid.Float64())
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5*laneGroup).Draw(t, "n")
		u := rapid.SliceOfN(numbers, 6, 6).Draw(t, "uniforms")
		start := float64(rapid.IntRange(-1000, 1000).Draw(t, "start")) + 0.5
		size := (n + laneGroup - 1) &^ (laneGroup - 1)
		one, three := make([]float64, size), make([]float64, size)
		soundOne := termGeneric(one, n, start, linear{u[0], u[1], u[2]}, u[3], u[4], u[5])
		linearGeneric(three, start, u[0], u[1], u[2])
		pad(three, n)
		quarticGeneric(three, three, u[3])
		soundThree := recipGeneric(three, u[5], u[4], three)
		if soundOne != soundThree {
			t.Fatalf("sound is %v in one pass, %v in three", soundOne, soundThree)
		}
		for i := range one {
			if x, y := one[i], three[i]; math.Float64bits(x) != math.Float64bits(y) && !(x != x && y != y) {
				t.Fatalf("lane %d is %v in one pass, %v in three", i, x, y)
			}
		}
	})
}

// TestSegmentSumIsOneStep checks that the sum over a taper takes the quick way, which
// nothing else would notice.
func TestSegmentSumIsOneStep(t *testing.T) {
	body := segmentProgram(t).loops[0].body
	if len(body.steps) != 3 || !body.steps[0].term {
		t.Errorf("the steps are %+v", body.steps)
	}
}
