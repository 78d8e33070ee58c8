package unit

import (
	"strconv"
	"testing"
)

// A length in millimetres is the float64 nearest to its decimal in metres.
func TestSIIsNearestDecimal(t *testing.T) {
	mm, err := Parse("mm")
	if err != nil {
		t.Fatal(err)
	}
	for n := range 2000 {
		want, err := strconv.ParseFloat(strconv.Itoa(n)+"e-3", 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := mm.SI(float64(n)); got != want {
			t.Errorf("%d mm is %v, want %v", n, got, want)
		}
	}
	for _, c := range []struct {
		x    float64
		unit string
		want float64
	}{{2, "in", 0.0508}, {1.5, "in", 0.0381}, {3, "ft", 0.9144}, {0.1, "kN", 100}, {79, "GPa", 79e9}, {1e300, "km", 1e303}, {45, "mm^4", 45e-12}} {
		u, err := Parse(c.unit)
		if err != nil {
			t.Fatal(err)
		}
		if got := u.SI(c.x); got != c.want {
			t.Errorf("%v %s is %v, want %v", c.x, c.unit, got, c.want)
		}
	}
}
