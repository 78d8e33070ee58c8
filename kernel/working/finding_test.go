package working

import (
	"context"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/figure/plot"
	"shaftbook/kernel/source"
)

// A jump of the torque is drawn upright, between two points at its place.
func TestJumpIsUpright(t *testing.T) {
	w := New(Limits{})
	w.SetCells([]Cell{
		{ID: "figure", Text: source.NewText("figure", "plot S.torque(x) in N·m for x from 0 mm to 700 mm")},
		{ID: "s", Kind: Shaft, Name: "S", Text: source.NewText("s", "G = 79 GPa\nsolid 36 mm for 700 mm\nhold at 0 mm\ntorque 300 N·m at 333 mm")},
	})
	if err := w.Evaluate(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	curve := w.Results("figure")[0].Figure.(*plot.Plot).Curves[0]
	for i := 1; i < len(curve.X); i++ {
		if jump := curve.Y[i] - curve.Y[i-1]; jump != 0 && (jump != -300 || curve.X[i] != 333 || curve.X[i]-curve.X[i-1] > 1e-6) {
			t.Errorf("from %g at %.9g to %g at %.9g", curve.Y[i-1], curve.X[i-1], curve.Y[i], curve.X[i])
		}
	}
}

// What a figure says of itself, in its title and in the first sentences of its
// description, follows from the values drawn.
func TestFindings(t *testing.T) {
	const given = `L = 800 mm
T = 420 N·m
G = 79 GPa
d(x) = 36 mm + 18 mm·x/L
θ(n) = sum of T·(L/n)/(G·π/32·d((i − 1/2)·L/n)^4) for i from 1 to n
θ_exact = integral of T/(G·π/32·d(x)^4) for x from 0 m to L
`
	tests := []struct{ statement, title, finding string }{
		{"plot d(x) in mm for x from 0 m to L", "d(x) along x",
			"It increases steadily from 36 mm to 54 mm."},
		{"plot T/(π/16·d(x)^3) in MPa as \"stress\" for x from 0 m to L", "Stress along x",
			"It decreases steadily from 45.85 MPa to 13.58 MPa."},
		{"plot 36 mm as \"outside\" for x from 0 m to L", "Outside along x", "It stays at 36 mm."},
		{"plot 40 mm + 10 mm·sin(π·x/L) as \"belly\" for x from 0 m to L", "Belly along x",
			"It rises to about 50.0 mm at x ≈ 400 mm, then falls to 40 mm."},
		{"plot 40 mm − 10 mm·sin(π·x/L) as \"waist\" for x from 0 m to L", "Waist along x",
			"It falls to about 30.0 mm at x ≈ 400 mm, then rises to 40 mm."},
		{"plot sin(t) for t from 0 to 10 in 5 points", "sin(t) against t",
			"It goes up and down, between −0.9589 at t = 5 and 0.9380 at t = 7.5."},
		{"plot if t < 1/3 then t else 2/3 − t as \"ridge\" for t from 0 to 1.5", "Ridge against t", // 1/3 itself is no point
			"It rises to about 0.330 at t ≈ 0.330, then falls to −0.8333."},
		{"plot if t < 1 then t else if t < 2 then 1 else 3 − t as \"table\" for t from 0 to 3", "Table against t",
			"It rises to 1 at t = "},
		{"plot F.twist(x) in deg for x from 0 m to F.length", "F.twist(x) along x", // the load has a point of its own
			"It rises to 0.1697 deg at x = 300 mm, then falls to 0 deg."},
		{"plot d(x) in mm as \"diameter\", 20 mm as \"bore\" for x from 0 m to L", "Diameter and bore along x",
			"“diameter” increases steadily from 36 mm to 54 mm; “bore” stays at 20 mm."},
		{"plot θ_exact − θ(n) as \"error\" for n from 1 to 1000 spaced by ratio on log axes", "Error against n",
			"It decreases steadily from 0.001536 rad to 1.866×10⁻⁹ rad; its slope towards the right is −2.00, so doubling n multiplies it by 0.250."},
		{"plot x ± 1 mm as \"station\" for x from 1 m to 2 m", "Station along x",
			"It is 2 mm wide at x = 1 m and 2 mm at x = 2 m."},
		{"plot F.torque(x) in N·m for x from 0 m to F.length", "F.torque(x) along x",
			"It decreases or stays level, from 179.6 N·m to −240.4 N·m."},
		{"plot i^2 for i from 1 to 1", "i^2 against i", "It stays at 1."},
		{"draw S", "Shaft S", "The far end turns by 0.01210 rad relative to x = 0; the greatest shear stress is 45.85 MPa, at x = 0 mm."},
		{"draw F twisted 20 times", "Shaft F", "It turns most at about x = 300 mm, by 0.002962 rad relative to x = 0; the greatest shear stress is 19.60 MPa, at x = 0 mm."},
		{"draw N", "Shaft N", "Nothing twists this shaft."},
	}
	piece := "G = 79 GPa\nsolid 36 mm to 54 mm for 800 mm\n"
	shaftCell := func(name, lines string) Cell {
		return Cell{ID: "shaft-" + name, Kind: Shaft, Name: name, Text: source.NewText(name, piece+lines)}
	}
	for _, test := range tests {
		t.Run(test.statement, func(t *testing.T) {
			w := New(Limits{})
			w.SetCells([]Cell{
				{ID: "given", Text: source.NewText("given", given)},
				{ID: "figure", Text: source.NewText("figure", test.statement)},
				shaftCell("S", "hold at 0 mm\ntorque 420 N·m at 800 mm"),
				shaftCell("F", "hold at 0 mm\nhold at 800 mm\ntorque 420 N·m at 300 mm"),
				shaftCell("N", "hold at 0 mm"),
			})
			if err := w.Evaluate(context.Background(), nil); err != nil {
				t.Fatal(err)
			}
			r := w.Results("figure")[0]
			if r.Failed() {
				t.Fatal(r.Diagnostics)
			}
			if got := r.Figure.Title(); got != test.title {
				t.Errorf("title %q, want %q", got, test.title)
			}
			if got := r.Figure.Description(); !strings.HasPrefix(got, test.finding) {
				t.Errorf("description %q\nmust begin with %q", got, test.finding)
			}
		})
	}
}

// TestMarkedPlot rings the value that a slider is at, in the unit of the axis, and
// refuses one that is no place on it.
func TestMarkedPlot(t *testing.T) {
	w := New(Limits{})
	w.SetCells([]Cell{{ID: "a", Text: source.NewText("a", "a = 30 mm\nplot x^2 in mm² for x from 0 m to 0.1 m marked at 2·a\nplot x^2 for x from 1 to 9 marked at a")}})
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	r := w.Results("a")
	if p, ok := r[1].Figure.(*plot.Plot); !ok || len(p.Chosen) != 1 || math.Abs(p.Chosen[0]-60) > 1e-9 && math.Abs(p.Chosen[0]-0.06) > 1e-12 {
		t.Errorf("the marked plot is %+v, %v", r[1].Figure, r[1].Diagnostics)
	}
	if !r[2].Diagnostics.HasErrors() {
		t.Error("a length marks a pure number")
	}
}
