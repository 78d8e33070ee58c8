package working_test

import (
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/working"
)

// openWall is an angle that is twisted; its values are by J = ∑ s·t³/3 and T·t/J, Gere,
// Mechanics of Materials, 3.10 (from memory).
const openWall = "G = 79 GPa\nopen wall 9 mm along 120 mm and wall 6 mm along 200 mm for 300 mm\nfixed at 0 mm\ntorque 100 N·m at 300 mm"

// TestOpenWall: every field of an open wall, each within a bracket that proves its digits.
func TestOpenWall(t *testing.T) {
	w := newWorking(t, calcCell("c", "S.J(0.1 m)\nS.twist\nS.stress_max\nS.stress(0.1 m)\nS.rate(0.1 m)\nS.stiffness\nS.energy\nS.segments(3)\nS.bracket(3)\ndraw S\nt = 9 mm ± 0.1 mm"), shaftCellOf("S", openWall))
	j := (0.120*math.Pow(0.009, 3) + 0.200*math.Pow(0.006, 3)) / 3
	twist := 100 * 0.3 / (79e9 * j)
	want := []float64{j, twist, 100 * 0.009 / j, 100 * 0.009 / j, twist / 0.3, 100 / twist, 50 * twist, twist}
	results := w.Results("c")
	for i, v := range want {
		got := results[i]
		if got.Value == nil || math.Abs(got.Value.Number/v-1) > 1e-12 {
			t.Errorf("%s: %+v, want %g", got.Span.Content(), got.Value, v)
		}
		if strings.Contains(got.Text, working.Mark) {
			t.Errorf("%s is an estimate: %s", got.Span.Content(), got.Text)
		}
	}
	if b := results[8].Value; b == nil || !(b.Low <= twist && twist <= b.High) {
		t.Errorf("bracket %+v", b)
	}
	if results[9].Figure == nil {
		t.Errorf("no drawing: %v", results[9].Diagnostics)
	}
}

// TestOpenWallNotes: what the formulas of an open wall take for granted is said once, and
// at each part that is not thin; and no size of it has a tolerance.
func TestOpenWallNotes(t *testing.T) {
	thin := "open wall 8 mm along 514 mm for 300 mm\n"
	cases := []struct {
		name, text string
		notes      []string
	}{
		{"thin and free", thin, nil},
		{"thin and held", thin + thin + "fixed at 0 mm", []string{"free to warp"}},
		{"a tube", "tube area 17850 mm² around 514 mm wall 8 mm for 300 mm\nfixed at 0 mm", nil},
		{"stubby", "solid 40 mm for 1 m\nopen wall 8 mm along 514 mm and wall 8 mm along 40 mm for 300 mm", []string{"only 5.0 times as long as thick; J = s·t³/3 is for thin walls, and for this part, if flat, 14 % too large"}},
		{"both", "open wall 8 mm along 79 mm for 300 mm\nfixed at 0 mm", []string{"only 9.9 times", "free to warp"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			w := newWorking(t, shaftCellOf("S", "G = 79 GPa\n"+c.text))
			list := w.Results("S")[0].Diagnostics
			if list.HasErrors() || len(list) != len(c.notes) {
				t.Fatalf("%v", list)
			}
			for i, note := range c.notes {
				if list[i].Code != working.CodeThinWall || !strings.Contains(list[i].Message, note) {
					t.Errorf("%s, want %s", list[i].Message, note)
				}
			}
		})
	}
	w := newWorking(t, calcCell("c", "t = 8 mm ± 1 mm"), shaftCellOf("S", "G = 79 GPa\nopen wall t along 514 mm for 300 mm"))
	if list := w.Results("S")[0].Diagnostics; !list.HasErrors() {
		t.Error("a wall has a tolerance")
	} else {
		t.Log(list[0].Message)
	}
}
