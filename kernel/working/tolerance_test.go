package working_test

import (
	"math"
	"testing"

	drawing "shaftbook/kernel/figure/shaft"
	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

func shaftCellOf(name, text string) working.Cell {
	return working.Cell{ID: name, Kind: working.Shaft, Name: name, Text: source.NewText(name, text)}
}

// TestTolerances compares the values of a bar with the formulas of its end values:
// Gere, Mechanics of Materials, Eqs 3-11, 3-12 and 3-15.
func TestTolerances(t *testing.T) {
	w := newWorking(t, calcCell("c", "d_0 = 36 mm ± 0.1 mm\nS.twist\nS.twist(0.4 m)\nS.stress_max\nS.stress(0.1 m)\nS.torque(0.1 m)\nS.reaction(0 m)\nS.rate(0.1 m)\nS.J(0.1 m)\nS.d(0.1 m)\nS.stiffness\nS.energy\nS.length\nS.bracket(3)\ndraw S"),
		shaftCellOf("S", "G = 79 GPa ± 1 GPa\nsolid d_0 for 800 mm\nhold at 0 mm\ntorque 420 N·m ± 10 N·m at 800 mm"))
	j := func(d float64) float64 { return math.Pi / 32 * math.Pow(d, 4) }
	thin, thick := 0.0359, 0.0361
	rate := [2]float64{410 / (80e9 * j(thick)), 430 / (78e9 * j(thin))}
	stress := [2]float64{410 * thick / 2 / j(thick), 430 * thin / 2 / j(thin)}
	want := map[int][2]float64{
		1: {0.8 * rate[0], 0.8 * rate[1]}, 2: {0.4 * rate[0], 0.4 * rate[1]}, 3: stress, 4: stress,
		5: {410, 430}, 6: {-430, -410}, 7: rate, 8: {j(thin), j(thick)}, 9: {thin, thick},
		10: {78e9 * j(thin) / 0.8, 80e9 * j(thick) / 0.8},
		11: {410 * 0.8 * rate[0] / 2, 430 * 0.8 * rate[1] / 2},
		13: {0.8 * rate[0], 0.8 * rate[1]},
	}
	for _, r := range w.Results("c") {
		if d, ok := r.Figure.(*drawing.Drawing); ok {
			if by := d.Pieces[0].Tolerance; math.Abs(by[0]-0.1) > 1e-9 || by[0] != by[1] || math.Abs(d.Pieces[0].Outer[0].D-36) > 1e-9 {
				t.Errorf("drawn as %v ± %v", d.Pieces[0].Outer[0].D, by)
			}
		}
		ends, ok := want[r.Index]
		if !ok {
			continue
		}
		slack := 1e-8 * (ends[1] - ends[0])
		if v := r.Value; v == nil || !v.IsBracket || math.Abs(v.Low-ends[0]) > slack || math.Abs(v.High-ends[1]) > slack {
			t.Errorf("%s: got %+v, want %v", r.Span.Content(), v, ends)
		}
	}
	if v := w.Results("c")[12].Value; v.IsBracket || v.Number != 0.8 {
		t.Errorf("length %+v", v)
	}
	table := w.Results("S")[0].Table
	if table == nil || len(table.Numbers) != 3 {
		t.Fatalf("shares %+v", table)
	}
	// 2.4 % of the torque, 1.3 % of G, 4 · 0.28 % of d.
	for i, line := range []float64{4, 1, 2} {
		if table.Numbers[i][0] != line {
			t.Errorf("share %d is of line %v, want %v", i, table.Numbers[i][0], line)
		}
	}
}

// TestTolerancesRefused: each cell fails with a way out, at the place given.
func TestTolerancesRefused(t *testing.T) {
	for name, c := range map[string]struct{ shaft, at string }{
		"length":      {"G = 79 GPa\nsolid 36 mm for l", "l"},
		"core":        {"G = 79 GPa\nsolid 36 mm ± 0.1 mm for 1 m\ncore 20 mm G 26 GPa\nhold at 0 m", "36 mm ± 0.1 mm"},
		"core's size": {"G = 79 GPa\nsolid 36 mm for 1 m\ncore d G 26 GPa\nhold at 0 m", "d"},
		"profile":     {"G = 79 GPa\nprofile d for 1 m\nhold at 0 m", "d"},
		"no hold":     {"G = 79 GPa\nsolid 36 mm for 1 m\ntorque −5 N·m at 0 m\ntorque 5 N·m ± 1 N·m at 1 m", "5 N·m ± 1 N·m"},
		"dimension":   {"G = 79 GPa\nsolid 36 N ± 1 N for 1 m\nhold at 0 m", "36 N ± 1 N"},
		"gears":       {"G = 79 GPa\nsolid d for 1 m\nhold at 0 m\ngear 20 teeth at 1 m drives R 40 teeth at 0 m", "d"},
		"wall":        {"G = 79 GPa\nhollow 36 mm ± 1 mm bore 35 mm ± 1 mm for 1 m\nhold at 0 m", "hollow 36 mm ± 1 mm bore 35 mm ± 1 mm for 1 m"},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorking(t, calcCell("c", "l = 1 m ± 1 mm\nd = 36 mm ± 0.1 mm"),
				shaftCellOf("R", "G = 79 GPa\nsolid 36 mm for 1 m\nhold at 1 m"), shaftCellOf("S", c.shaft))
			r := w.Results("S")[0]
			if d := r.Diagnostics.FirstError(); d == nil || d.Span.Content() != c.at || d.Repair == "" {
				t.Errorf("got %v, want an error at %q with a way out", r.Diagnostics, c.at)
			}
		})
	}
}

// TestTolerancesFollowTheirName: a name that becomes a bracket makes brackets of
// the values of the shaft, and back.
func TestTolerancesFollowTheirName(t *testing.T) {
	w := newWorking(t, calcCell("c", "d = 36 mm"), calcCell("b", "S.twist"),
		shaftCellOf("S", "G = 79 GPa\nsolid d for 1 m\nhold at 0 m\ntorque 420 N·m at 1 m\nallow stress 46 MPa"))
	for _, text := range []string{"d = 36 mm", "d = 36 mm ± 0.1 mm", "d = 36 mm", "d = 36 mm ± 0.2 mm"} {
		if err := w.Edit("c", text); err != nil {
			t.Fatal(err)
		}
		evaluate(t, w)
		if v := w.Results("b")[0].Value; v == nil || v.IsBracket != (text != "d = 36 mm") {
			t.Errorf("%s: twist %+v", text, v)
		}
	}
	// 16·420/(π·0.0358³) = 46.62 MPa, nominally 45.85 MPa.
	if d := w.Results("S")[0].Diagnostics; len(d) != 1 || d[0].Code != working.CodeAllowed {
		t.Errorf("got %v, want a note about the limit", d)
	}
}
