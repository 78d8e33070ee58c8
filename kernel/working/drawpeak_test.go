package working_test

import (
	"math"
	"slices"
	"testing"

	"shaftbook/kernel/figure"
	drawing "shaftbook/kernel/figure/shaft"
)

// The values written at the peaks of the diagrams are the greatest there are, also where
// these lie between the points of the curve. Under a torque q per length from the free
// end of the taper D = D_0 + k·x the stress 16·q·x/(π·D³) is greatest at x = D_0/(2·k),
// where it is 16·q/(π·k)·(1/2)/(1.5³·D_0²); the twist of a bar whose torque is T − q·x
// turns back at x = T/q (both by hand).
func TestDiagramsHoldTheirPeaks(t *testing.T) {
	const q, L, d0, d1 = 400.0, 1.3, 0.020, 0.047
	k := (d1 - d0) / L
	for _, c := range []struct {
		name, shaft string
		quantity    figure.Quantity
		x, value    float64 // mm; MPa or rad
	}{
		{"stress", "G = 79 GPa\nsolid 20 mm to 47 mm for 1.3 m\nhold at 1.3 m\ntorque −400 N·m/m from 0 m to 1.3 m", figure.Stress,
			1000 * d0 / (2 * k), 1e-6 * 16 * q / (math.Pi * k) * 0.5 / (1.5 * 1.5 * 1.5 * d0 * d0)},
		{"twist", "G = 79 GPa\nsolid 40 mm for 1 m\nhold at 0 m\ntorque 100 N·m at 1 m\ntorque 237 N·m/m from 0 m to 1 m\ntorque −274 N·m at 1 m", figure.Twist,
			1000 * (1 - 174.0/237), math.NaN()},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWorking(t, calcCell("c", "draw S"), shaftCellOf("S", c.shaft))
			d, ok := w.Results("c")[0].Figure.(*drawing.Drawing)
			if !ok {
				t.Fatalf("no drawing: %v", w.Results("c")[0].Diagnostics)
			}
			for _, g := range d.Diagrams {
				if g.Quantity != c.quantity {
					continue
				}
				i := slices.IndexFunc(g.X, func(x float64) bool { return math.Abs(x-c.x) < 1e-6*c.x })
				if i < 0 {
					t.Fatalf("no point at %g mm: %v", c.x, g.X)
				}
				if !math.IsNaN(c.value) && math.Abs(g.Y[i]-c.value) > 1e-9*c.value {
					t.Errorf("%g %s at %g mm, want %g", g.Y[i], g.Unit, g.X[i], c.value)
				}
				for j, y := range g.Y {
					if math.Abs(y) > math.Abs(g.Y[i]) && j != len(g.Y)-1 && g.X[j] < c.x*1.5 {
						t.Errorf("%g at %g mm is more than %g at the peak", y, g.X[j], g.Y[i])
					}
				}
			}
		})
	}
}
