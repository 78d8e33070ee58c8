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
	if inch, _ := Parse("in"); inch.SI(2) != 0.0508 {
		t.Errorf("2 in is %v", inch.SI(2))
	}
}
