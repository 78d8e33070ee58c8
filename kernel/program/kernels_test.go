//go:build amd64 && !purego

package program

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// difficult are the numbers at which loops with and without vector
// instructions would differ first.
var difficult = []float64{0, math.Copysign(0, -1), 1, -1, 0.1, math.Pi, 1e308, -1e308, 5e-324, -5e-324,
	2.2250738585072014e-308, 1e-310, math.Inf(1), math.Inf(-1), math.NaN(), 1 << 53, 1e-160, 1e160}

func lanesOf(t *rapid.T, n int, label string) []float64 {
	number := rapid.OneOf(rapid.SampledFrom(difficult), rapid.Float64Range(-10, 10), rapid.Float64())
	return rapid.SliceOfN(number, n, n).Draw(t, label)
}

// sameBits compares bits; any NaN equals any other.
func sameBits(x, y float64) bool {
	return math.Float64bits(x) == math.Float64bits(y) || x != x && y != y
}

// TestKernelsAgree compares the loops in assembly with those in plain Go, bit
// for bit, in place and not, with operands for all lanes and for each.
func TestKernelsAgree(t *testing.T) {
	if !useAVX2 {
		t.Skip("this processor has no AVX2")
	}
	rapid.Check(t, func(t *rapid.T) {
		n := laneGroup * rapid.IntRange(1, 9).Draw(t, "groups")
		x, y := lanesOf(t, n, "x"), lanesOf(t, n, "y")
		ones := lanesOf(t, 3, "uniforms")
		m, k, c := ones[0], ones[1], ones[2]
		start := float64(rapid.IntRange(-1000, 1000).Draw(t, "start")) + 0.5
		spread := make([]float64, laneGroup)
		fill(spread, m)
		vx, vy, vm := vec{v: x}, vec{v: y}, vec{v: spread, one: true}
		cases := map[string]func(dst []float64) bool{
			"add":         func(d []float64) bool { addTo(d, vx, vy); return true },
			"add uniform": func(d []float64) bool { addTo(d, vm, vy); addTo(d, vec{v: d}, vm); return true },
			"sub":         func(d []float64) bool { subTo(d, vx, vy); return true },
			"sub uniform": func(d []float64) bool { subTo(d, vm, vy); subTo(d, vec{v: d}, vm); return true },
			"mul":         func(d []float64) bool { mulTo(d, vx, vy); return true },
			"mul uniform": func(d []float64) bool { mulTo(d, vm, vy); mulTo(d, vec{v: d}, vm); return true },
			"div":         func(d []float64) bool { return divTo(d, vx, vy) },
			"div by one":  func(d []float64) bool { return divTo(d, vx, vm) },
			"div of one":  func(d []float64) bool { return divTo(d, vm, vy) },
			"div itself":  func(d []float64) bool { copy(d, x); return divTo(d, vec{v: d}, vec{v: d}) },
			"sqrt":        func(d []float64) bool { sqrtTo(d, vx); return true },
			"sqrt of one": func(d []float64) bool { sqrtTo(d, vm); return true },
			"mulAdd":      func(d []float64) bool { mulAddTo(d, x, m, c); return true },
			"quartic":     func(d []float64) bool { quarticTo(d, x, m); return true },
			"recip":       func(d []float64) bool { return recipTo(d, c, m, x) },
			"scaled":      func(d []float64) bool { scaledTo(d, n-3, start, m); return true },
			"linear":      func(d []float64) bool { linearTo(d, n-3, start, m, k, c); return true },
			"sum": func(d []float64) bool {
				sumLanes((*[laneGroup]float64)(d), x)
				return true
			},
		}
		for name, kernel := range cases {
			fast, plain := make([]float64, n), make([]float64, n)
			soundFast := kernel(fast)
			useAVX2 = false
			soundPlain := kernel(plain)
			useAVX2 = true
			if soundFast != soundPlain {
				t.Fatalf("%s: sound is %v with AVX2, %v without", name, soundFast, soundPlain)
			}
			for i := range fast {
				if !sameBits(fast[i], plain[i]) {
					t.Fatalf("%s: lane %d is %v with AVX2, %v without", name, i, fast[i], plain[i])
				}
			}
		}
	})
}

// TestDivisorsInDoubt checks that a divisor that is not finite is noticed in
// every lane, since the quotient would hide it.
func TestDivisorsInDoubt(t *testing.T) {
	for _, bad := range []float64{math.Inf(1), math.Inf(-1), math.NaN()} {
		for lane := range 2 * laneGroup {
			x := make([]float64, 2*laneGroup)
			fill(x, 2)
			dst := make([]float64, len(x))
			if !divTo(dst, vec{v: x}, vec{v: x}) || !recipTo(dst, 1, 3, x) {
				t.Fatal("finite divisors are in doubt")
			}
			x[lane] = bad
			if divTo(dst, vec{v: dst}, vec{v: x}) || recipTo(dst, 1, 3, x) || divGeneric(dst, vec{v: dst}, vec{v: x}) || recipGeneric(dst, 1, 3, x) {
				t.Errorf("divisor %v in lane %d is not noticed", bad, lane)
			}
		}
	}
}
