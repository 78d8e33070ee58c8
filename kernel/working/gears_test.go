package working

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// A gearTest is a pair of shafts in a working: A carries a torque at its gear
// and is held at its other end, B is held beyond its gear.
type gearTest struct {
	t *testing.T
	w *Working
}

const (
	gearA   = "G = 79 GPa\nsolid 30 mm for 400 mm\nhold at 0 mm\ntorque 90 N·m at 400 mm\n"
	gearB   = "G = 79 GPa\nsolid d_b for 600 mm\nhold at 600 mm\n"
	aDrives = "gear 36 teeth at 400 mm drives B 54 teeth at 0 mm"
	bDrives = "gear 54 teeth at 0 mm drives A 36 teeth at 400 mm"
)

func newGearTest(t *testing.T, a, b string) *gearTest {
	cell := func(id, name, text string) Cell {
		return Cell{ID: id, Kind: Shaft, Name: name, Text: source.NewText(id, text)}
	}
	g := &gearTest{t, New(Limits{})}
	g.w.SetCells([]Cell{
		cell("a", "A", a), cell("b", "B", b),
		{ID: "given", Text: source.NewText("given", "d_b = 25 mm")},
		{ID: "asked", Text: source.NewText("asked", "A.twist\nB.twist")},
	})
	return g
}

// evaluate returns which cells were evaluated again.
func (g *gearTest) evaluate() string {
	var cells []string
	if err := g.w.Evaluate(context.Background(), func(r Result) { cells = append(cells, r.Cell) }); err != nil {
		g.t.Fatal(err)
	}
	return strings.Join(cells, " ")
}

func (g *gearTest) edit(cell, text string) string {
	if err := g.w.Edit(cell, text); err != nil {
		g.t.Fatal(err)
	}
	return g.evaluate()
}

// twists returns the twists of A and B, NaN where there is none.
func (g *gearTest) twists() (a, b float64) {
	out := [2]float64{math.NaN(), math.NaN()}
	for i, r := range g.w.Results("asked") {
		if !r.Failed() {
			out[i] = r.Value.Number
		}
	}
	return out[0], out[1]
}

// want checks both twists against two springs that are joined by the gears:
// at the mesh z_A·φ_A = −z_B·φ_B and T_A/z_A = T_B/z_B (Beer & Johnston,
// Mechanics of Materials, Sample Problem 3.4), so that seen from A the
// stiffness is k_A + k_B·(z_A/z_B)² and φ_A = T/(k_A + k_B·(z_A/z_B)²).
func (g *gearTest) want(torque, dB float64) {
	g.t.Helper()
	k := func(d, length float64) float64 { return 79e9 * math.Pi / 32 * math.Pow(d, 4) / length }
	ratio := 36.0 / 54
	a := torque / (k(0.030, 0.4) + k(dB, 0.6)*ratio*ratio)
	b := a * ratio // of the held end relative to the gear, which turns by −a·ratio
	if gotA, gotB := g.twists(); math.Abs(gotA-a) > 1e-12*a || math.Abs(gotB-b) > 1e-12*b {
		g.t.Errorf("twists %.15g and %.15g, want %.15g and %.15g", gotA, gotB, a, b)
	}
}

func TestGearPair(t *testing.T) {
	for _, c := range []struct{ name, a, b string }{
		{"the line stands with A", gearA + aDrives, gearB},
		{"the line stands with B", gearA, gearB + bDrives},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := newGearTest(t, c.a, c.b)
			g.evaluate()
			g.want(90, 0.025)

			// A change of either shaft, or of a name that one of them uses,
			// reaches both.
			for _, step := range []struct {
				cell, text string
				torque, dB float64
			}{
				{"given", "d_b = 40 mm", 90, 0.040},
				{"a", strings.Replace(c.a, "90 N·m", "200 N·m", 1), 200, 0.040},
				{"b", strings.Replace(c.b, "d_b", "20 mm", 1), 200, 0.020},
			} {
				again := g.edit(step.cell, step.text)
				if strings.Count(again, "asked") != 2 {
					t.Errorf("after a change of %s only these were evaluated: %s", step.cell, again)
				}
				g.want(step.torque, step.dB)
			}

			// A fault in one is said at both, and mended by one change.
			g.edit("b", strings.Replace(c.b, "d_b", "20 N", 1))
			if a, b := g.twists(); !math.IsNaN(a) || !math.IsNaN(b) {
				t.Errorf("twists %g and %g of a pair with a fault", a, b)
			}
			if said := fmt.Sprint(g.w.Results("a")[0].Diagnostics); !strings.Contains(said, "the gears join this shaft to B, which has an error") {
				t.Errorf("at A is said: %s", said)
			}
			g.edit("b", strings.Replace(c.b, "d_b", "20 mm", 1))
			g.want(200, 0.020)

			// Without the gears each is alone.
			g.edit("a", gearA)
			g.edit("b", gearB)
			if a, b := g.twists(); math.Abs(a-90*0.4/(79e9*math.Pi/32*math.Pow(0.030, 4))) > 1e-12 || b != 0 {
				t.Errorf("apart the twists are %g and %g", a, b)
			}
		})
	}
}
