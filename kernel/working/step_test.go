package working

import (
	"context"
	"fmt"
	"strings"
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

// What is looked for in all statements, for each name that is missing, counts as work
// and lets others go first at each name.
func TestLookingForCausesGivesWay(t *testing.T) {
	const lines = 1000
	var text strings.Builder
	for i := range lines {
		fmt.Fprintf(&text, "x%d\n", i)
	}
	w, seen := New(Limits{}), &looks{}
	ctx := pause.With(context.Background(), seen)
	w.GiveWay(ctx)
	w.SetCells([]Cell{{ID: "c", Text: source.NewText("", text.String())}})
	if seen.calls < 2*lines || seen.work < lines*(readWork+itemWork) {
		t.Errorf("reading %d lines looked %d times at others, with work of %d", lines, seen.calls, seen.work)
	}
	if err := w.checkAll(ctx); err != nil {
		t.Fatal(err)
	}
	before := *seen
	w.findCauses()
	if calls, work := seen.calls-before.calls, seen.work-before.work; calls < lines || work < lines*lines*lookWork {
		t.Errorf("finding what is to blame for %d names looked %d times at others, with work of %d", lines, calls, work)
	}
}
