package working

import (
	"context"
	"testing"

	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
)

// looks counts how often a calculation lets others go first.
type looks struct{ calls, work int64 }

func (l *looks) Here(work int64) { l.calls++; l.work += work }

// A long table lets others go first at each cell, while it is evaluated and while it is
// made ready to be shown.
func TestLongTablesGiveWay(t *testing.T) {
	const cells = 3000
	w, seen := New(Limits{}), &looks{}
	w.SetCells([]Cell{{ID: "c", Text: source.NewText("", "table i^2, √i, i/3 for i from 1 to 1000")}})
	shown := looks{}
	err := w.Evaluate(pause.With(context.Background(), seen), func(r Result) {
		if seen.calls < cells || seen.work < cells*formatWork {
			t.Errorf("evaluating %d cells looked %d times at others, with work of %d", cells, seen.calls, seen.work)
		}
		before := *seen
		r.Table.Marked()
		r.Table.Step(1)
		shown = looks{seen.calls - before.calls, seen.work - before.work}
	})
	if err != nil {
		t.Fatal(err)
	}
	if shown.calls < cells+1 || shown.work < cells*markWork {
		t.Errorf("showing %d cells looked %d times at others, with work of %d", cells, shown.calls, shown.work)
	}
}
