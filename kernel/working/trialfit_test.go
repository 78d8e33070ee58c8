package working

import (
	"math"
	"testing"
)

// Points on a line are fitted by that line, and those of a published example by its
// numbers: Anscombe's first set has slope 0.5001 and its standard error 0.1179
// (F. J. Anscombe, Graphs in statistical analysis, Amer. Statist. 27 (1973) 17–21).
func TestFitPower(t *testing.T) {
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	y := []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
	for i := range x {
		x[i], y[i] = math.Exp(x[i]), math.Exp(y[i])
	}
	if f, ok := fitPower(x, y); !ok || math.Abs(f.Slope-0.5001) > 5e-5 || math.Abs(f.Error-0.1179) > 5e-5 {
		t.Errorf("Anscombe: %+v", f)
	}
	if f, ok := fitPower([]float64{1, 2}, []float64{8, 2}); !ok || math.Abs(f.Slope+2) > 1e-15 || f.Error != 0 {
		t.Errorf("two points: %+v", f)
	}
	for _, xs := range [][]float64{nil, {1}, {2, 2}} {
		if _, ok := fitPower(xs, xs); ok {
			t.Errorf("%v has no slope", xs)
		}
	}
}
