package canvas

import (
	"math"
	"testing"

	"shaftbook/kernel/figure"
)

// A circle of four cubic curves leaves the true one by 2.7·10⁻⁴ of its radius
// at most (the known figure for the usual control points; from memory).
func TestTraceOfACircle(t *testing.T) {
	c := &traceCanvas{t: &figure.Trace{Height: 100}, state: traceState{m: affine{a: 1, d: 1}}}
	NewPen(c, 100).Disc(InkMain, Point{40, 30}, 10)
	steps := c.t.Strokes[0].Steps
	curves := 0
	x, y := steps[0].X, steps[0].Y
	for _, s := range steps {
		if s.Kind == figure.CurveTo {
			curves++
			// The Middle of a cubic curve.
			mx, my := (x+3*s.X1+3*s.X2+s.X)/8, (y+3*s.Y1+3*s.Y2+s.Y)/8
			if r := math.Hypot(mx-40, my-30); math.Abs(r-10) > 2.8e-3 {
				t.Errorf("the middle of a curve is %g from the centre", r)
			}
		}
		x, y = s.X, s.Y
	}
	if curves != 4 || steps[len(steps)-1].Kind != figure.ClosePath {
		t.Errorf("%d curves: %+v", curves, steps)
	}
}
