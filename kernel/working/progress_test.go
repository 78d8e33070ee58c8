package working_test

import (
	"context"
	"slices"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// Progress names the line that is calculated, and what an evaluation that was ended did
// not come to is known, with what needs it.
func TestProgressAndUnreached(t *testing.T) {
	w := working.New(working.Limits{}) // the sum takes more than a quarter of a second on any machine
	w.SetCells([]working.Cell{{ID: "a", Kind: working.Calc, Text: source.NewText("a",
		"x = 1\nlong = sum of sin(i) for i from 1 to 60000000\ny = 2·long\nz = 2·x")}})
	ctx, cancel := context.WithCancel(t.Context())
	var said string
	w.Progress = func(_ float64, what string) {
		said = what
		cancel()
	}
	if err := w.Evaluate(ctx, nil); err == nil {
		t.Fatal("the evaluation was not ended")
	}
	if said != "sum for long" {
		t.Errorf("progress of %q", said)
	}
	left := w.Unreached()
	for _, index := range []int{1, 2} {
		if !slices.Contains(left, working.RowPlace{Cell: "a", Index: index}) {
			t.Errorf("line %d is not among those left: %v", index, left)
		}
	}
	if slices.Contains(left, working.RowPlace{Cell: "a", Index: 0}) {
		t.Errorf("what was emitted is among those left: %v", left)
	}
	w.Progress = nil
	if err := w.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	if left := w.Unreached(); len(left) > 0 {
		t.Errorf("left after all was evaluated: %v", left)
	}
}
