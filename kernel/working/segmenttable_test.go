package working_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

func TestSegmentTable(t *testing.T) {
	shaft := working.Cell{ID: "s", Kind: working.Shaft, Name: "S", Text: &source.Text{Name: "s", Content: "G = 79 GPa\nsolid 36 mm to 54 mm for 800 mm\nhollow 54 mm bore 20 mm for 200 mm\nsquare 40 mm for 100 mm\nhold at 1100 mm\ntorque −420 N·m at 0 mm\ntorque 100 N·m at 800 mm"}}
	w := newWorking(t, shaft, calcCell("a", "table of S in 2 segments in deg\nS.segments(2) in deg\ntable of S in 334 segments\ntable of S in 1/2 segments\ntable of S in 2 segments in mm"))
	r := w.Results("a")
	if r[0].Failed() {
		t.Fatal(r[0].Diagnostics)
	}
	lines := strings.Split(textOf(r[0].Table), "\n")
	last := strings.Fields(lines[len(lines)-1])
	if len(lines) != 6 || last[len(last)-1]+" deg" != r[1].Text || r[0].Table.Numbers[5][7] != r[1].Value.Number {
		t.Errorf("the running sum ends at %q, the shaft gives %s", last, r[1].Text)
	}
	if !strings.HasPrefix(lines[4], "5 1.025 – – ") {
		t.Errorf("a square segment is %q", lines[4])
	}
	for i, want := range map[int]string{2: "a table can have 1 to 333 segments of each piece here", 3: "a whole number", 4: "cannot be shown in mm"} {
		if d := r[i].Diagnostics.FirstError(); d == nil || !strings.Contains(d.Message, want) {
			t.Errorf("%d: %v, want %q", i, r[i].Diagnostics, want)
		}
	}
}
