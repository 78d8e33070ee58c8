package working_test

import (
	"testing"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/plot"
)

// A stiffness has the dimension of a torque; its unit says which of the two it is.
func TestAxisOfSeveralCurves(t *testing.T) {
	for statement, want := range map[string]string{
		"plot k·t in N·m/deg as \"a\", 2·k·t in N·m/deg as \"b\" for t from 0 to 1": "stiffness",
		"plot k·t in N·m/rad as \"a\", 2·k·t in N·m/rad as \"b\" for t from 0 to 1": "stiffness",
		"plot k·t in N·m as \"a\", 2·k·t in N·m as \"b\" for t from 0 to 1":         "torque",
		"plot J·t in mm^4 as \"a\", 2·J·t in mm^4 as \"b\" for t from 0 to 1":       "second moment of area",
	} {
		w := newWorking(t, calcCell("c", "k = 3 N·m\nJ = 3 mm^4\n"+statement))
		p, ok := w.Results("c")[2].Figure.(*plot.Plot)
		if !ok {
			t.Fatalf("%s: %v", statement, w.Results("c")[2].Diagnostics)
		}
		if p.Y.Label != want || (p.Quantity == figure.Torque) != (want == "torque") {
			t.Errorf("%s: axis %q, quantity %v, want %q", statement, p.Y.Label, p.Quantity, want)
		}
	}
}
