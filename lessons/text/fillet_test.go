package text_test

import (
	"fmt"
	"math"
	"testing"

	"shaftbook/kernel"
	"shaftbook/kernel/source"
)

// filletLimit is how far two readers of two charts of one shoulder may be apart, as a
// share. The charts are of different origin, and each is read off by eye.
const filletLimit = 0.04

// TestFilletFactors compares the curve of the lesson with factors that others have read
// off another chart: Gere, Mechanics of Materials, 6th ed., problems 3.11-1 to 3.11-3
// with its figure 3-48, and R. C. Coddington, University of Illinois, Notes on Solid
// Mechanics, stress concentration, example 1a. All were looked up. The sizes are thin
// diameter, thick diameter, radius of the fillet.
func TestFilletFactors(t *testing.T) {
	l, ok := shelf(t).Lesson("how-shafts-break")
	if !ok {
		t.Fatal("there is no such lesson")
	}
	rows := []struct {
		sizes string
		read  float64
	}{
		{"2 in, 2.4 in, 0.1 in", 1.52},
		{"40 mm, 60 mm, 4 mm", 1.37},
		{"0.7 in, 1 in, 0.15 in", 1.20},
		{"0.8 in, 1 in, 0.1 in", 1.29},
		{"0.9 in, 1 in, 0.05 in", 1.41},
		{"1.5 in, 2 in, 0.125 in", 1.42},
	}
	text := ""
	for _, r := range rows {
		text += fmt.Sprintf("K(%s)\n", r.sizes)
	}
	w := kernel.NewWorking(kernel.Limits{})
	w.SetCells(append(l.WorkingCells(), kernel.Cell{ID: "published", Kind: kernel.Calc, Text: source.NewText("published", text)}))
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	for i, r := range w.Results("published") {
		if r.Failed() {
			t.Fatal(r.Diagnostics)
		}
		if got := r.Value.Number; math.Abs(got/rows[i].read-1) > filletLimit {
			t.Errorf("%s: %.3f, read off as %.2f", rows[i].sizes, got, rows[i].read)
		}
	}
}
