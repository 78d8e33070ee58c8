package working

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// trainOf makes a working of shaft cells and one calculation cell.
func trainOf(shafts map[string]string, order []string, asked string) *Working {
	w := New(Limits{})
	var cells []Cell
	for _, name := range order {
		cells = append(cells, Cell{ID: name, Kind: Shaft, Name: name, Text: source.NewText(name, shafts[name])})
	}
	w.SetCells(append(cells, Cell{ID: "asked", Text: source.NewText("asked", asked)}))
	return w
}

func evaluateAll(t *testing.T, w *Working) (again string) {
	t.Helper()
	var cells []string
	if err := w.Evaluate(context.Background(), func(r Result) { cells = append(cells, r.Cell) }); err != nil {
		t.Fatal(err)
	}
	return strings.Join(cells, " ")
}

const pieceOf = "G = 79 GPa\nsolid 30 mm for 400 mm\n"

// TestTrain: a line of four shafts. A change of the last reaches the first; taking
// a gear pair out of the middle leaves two lines.
func TestTrain(t *testing.T) {
	shafts := map[string]string{
		"A": pieceOf + "torque 60 N·m at 0 mm\ngear 50 teeth at 400 mm drives B 20 teeth at 0 mm",
		"B": pieceOf + "gear 30 teeth at 400 mm drives C 40 teeth at 0 mm",
		"C": pieceOf,
		"D": pieceOf + "gear 40 teeth at 0 mm drives C 25 teeth at 400 mm\nhold at 400 mm",
	}
	w := trainOf(shafts, []string{"A", "B", "C", "D"}, "A.rotation(0 mm)\nA.stiffness_at(0 mm)\nD.reaction(400 mm)")
	evaluateAll(t, w)
	k := 79e9 * math.Pi / 32 * math.Pow(0.030, 4) / 0.4
	// Turns of each shaft for one of A; one bar of each has the stiffness k.
	flexibility := func(last float64) float64 {
		b, c := 50.0/20, 50.0/20*30/40
		d := c * 25 / 40
		return 1/k + 1/(b*b*k) + 1/(c*c*k) + 1/(d*d*last)
	}
	check := func(last float64) {
		t.Helper()
		turns := 50.0 / 20 * 30 / 40 * 25 / 40
		for i, want := range []float64{60 * flexibility(last), 1 / flexibility(last), 60 / turns} {
			r := w.Results("asked")[i]
			if r.Failed() || math.Abs(r.Value.Number/want-1) > 1e-12 {
				t.Errorf("value %d is %v %v, want %.15g", i, r.Value.Number, r.Diagnostics, want)
			}
		}
	}
	check(k)
	if err := w.Edit("D", strings.Replace(shafts["D"], "solid 30 mm", "solid 60 mm", 1)); err != nil {
		t.Fatal(err)
	}
	if again := evaluateAll(t, w); strings.Count(again, "asked") != 3 {
		t.Errorf("after a change of D only these were evaluated: %s", again)
	}
	check(16 * k)

	// Without the pair in the middle A and B have nothing that holds them.
	if err := w.Edit("B", pieceOf); err != nil {
		t.Fatal(err)
	}
	evaluateAll(t, w)
	if said := fmt.Sprint(w.Results("A")[0].Diagnostics, w.Results("B")[0].Diagnostics); !strings.Contains(said, "do not balance") {
		t.Errorf("of two loose shafts is said: %s", said)
	}
	if r := w.Results("asked")[2]; r.Failed() || r.Value.Number != 0 {
		t.Errorf("the other line carries %v %v", r.Value.Number, r.Diagnostics)
	}
	if err := w.Edit("B", shafts["B"]); err != nil {
		t.Fatal(err)
	}
	evaluateAll(t, w)
	check(16 * k)
}

// TestTrainLosesAName: where a name of one shaft goes, none of the line keeps the
// value that it had.
func TestTrainLosesAName(t *testing.T) {
	w := trainOf(map[string]string{
		"A": pieceOf + "torque T at 0 mm\ngear 50 teeth at 400 mm drives B 20 teeth at 0 mm",
		"B": pieceOf + "hold at 400 mm",
	}, []string{"A", "B"}, "T = 60 N·m\nB.twist")
	evaluateAll(t, w)
	for _, c := range []struct {
		text   string
		failed bool
	}{{"U = 60 N·m\nB.twist", true}, {"T = 60 N·m\nB.twist", false}} {
		if err := w.Edit("asked", c.text); err != nil {
			t.Fatal(err)
		}
		evaluateAll(t, w)
		if r := w.Results("asked")[1]; r.Failed() != c.failed {
			t.Errorf("with %q B.twist is %v %v", c.text, r.Value, r.Diagnostics)
		}
	}
}

func TestTrainMessages(t *testing.T) {
	held := pieceOf + "hold at 0 mm\n"
	drives := func(name string) string { return "gear 36 teeth at 400 mm drives " + name + " 54 teeth at 400 mm" }
	for _, c := range []struct {
		name   string
		shafts map[string]string
		at     string
		want   string
	}{
		{"a ring", map[string]string{"A": held + drives("B"), "B": pieceOf + drives("C"), "C": pieceOf + drives("A")},
			"C", "these gears close a ring: other gears join C and A already, by way of other shafts"},
		{"a ring, said elsewhere", map[string]string{"A": held + drives("B"), "B": pieceOf + drives("C"), "C": pieceOf + drives("A")},
			"A", "the gears join this shaft to C, which has an error"},
		{"twice in one cell", map[string]string{"A": held + drives("B") + "\n" + drives("B"), "B": pieceOf, "C": held},
			"A", "the gears between A and B are given twice"},
		{"far away", map[string]string{"A": held + drives("B"), "B": pieceOf + drives("C"), "C": "G = 79 GPa\nsolid 0 mm for 400 mm"},
			"A", "the gears join this shaft to C, and the train cannot be solved"},
		{"a tolerance", map[string]string{"A": held + drives("B"), "B": pieceOf + drives("C"), "C": "G = 79 GPa\nsolid 30 mm ± 0.1 mm for 400 mm"},
			"C", "has no tolerances"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := trainOf(c.shafts, []string{"A", "B", "C"}, "A.twist")
			evaluateAll(t, w)
			if said := w.Results(c.at)[0].Diagnostics.Error(); !strings.Contains(said, c.want) {
				t.Errorf("%s says: %s", c.at, said)
			}
		})
	}
}

// TestGroundMessages: the fields that need ground say what is missing.
func TestGroundMessages(t *testing.T) {
	w := trainOf(map[string]string{"A": pieceOf, "B": pieceOf + "hold at 0 mm"}, []string{"A", "B"},
		"A.rotation(0 mm)\nA.stiffness_at(0 mm)\nB.stiffness_at(0 mm)\nB.stiffness_at(1 m)\nB.stiffness_at(400 mm)")
	evaluateAll(t, w)
	for i, want := range []string{"nothing holds this shaft", "nothing holds this shaft", "the section at x = 0 mm is held fast", "x = 1 m is off the shaft", "no errors"} {
		if said := w.Results("asked")[i].Diagnostics.Error(); !strings.Contains(said, want) {
			t.Errorf("line %d says %q, want %q", i+1, said, want)
		}
	}
}
