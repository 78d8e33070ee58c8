package working

import (
	"context"
	"fmt"
	"testing"

	"shaftbook/kernel/pause"
	"shaftbook/kernel/source"
)

// A page comes without the statement that would keep it waiting, and without what
// needs it; everything else is there, and the rest comes with the next Evaluate.
func TestEvaluateWithin(t *testing.T) {
	w := New(Limits{})
	w.SetCells([]Cell{
		{ID: "a", Text: source.NewText("", "x = 2\nbomb = sum of 1/(i + x) for i from 1 to 10000000\ny = 3·x")},
		{ID: "b", Text: source.NewText("", "after = bomb + 1\nz = y + 1\nf = sum of i for i from 1 to 1000")},
	})
	left, err := w.EvaluateWithin(t.Context(), 1_000_000, 100_000_000)
	if err != nil || fmt.Sprint(left) != "[{a 1} {b 0}]" {
		t.Fatalf("left %v (error %v), want the bomb and what needs it", left, err)
	}
	texts := func() string {
		text := ""
		for _, id := range []string{"a", "b"} {
			for _, r := range w.Results(id) {
				text += "[" + r.Text + "]"
			}
		}
		return text
	}
	if got := texts(); got != "[2][][6][][7][500500]" {
		t.Errorf("%s", got)
	}
	var sent []string
	if err := w.Evaluate(t.Context(), func(r Result) { sent = append(sent, r.Name) }); err != nil || fmt.Sprint(sent) != "[bomb after]" {
		t.Errorf("then evaluated %v (error %v), want the two that were left", sent, err)
	}
	if left, _ := w.EvaluateWithin(t.Context(), 1, 1); left != nil {
		t.Errorf("left %v when nothing was to be done", left)
	}

	many := New(Limits{})
	many.SetCells([]Cell{{ID: "a", Text: source.NewText("", "s = sum of i for i from 1 to 3000000\nt = sum of 2·i for i from 1 to 3000000\nu = 1")}})
	if left, _ := many.EvaluateWithin(t.Context(), 1e9, 7_000_000); fmt.Sprint(left) != "[{a 1} {a 2}]" {
		t.Errorf("left %v, want what comes after the whole limit", left)
	}

	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := New(Limits{}).EvaluateWithin(gone, 1, 1); err != nil {
		t.Errorf("an empty working: %v", err)
	}
	if _, err := many.EvaluateWithin(gone, 1e9, 1e9); err == nil {
		t.Error("no error of a context that has ended")
	}
}

// An edit does not wait again for a long statement that it cut off, wherever that
// is in the text.
func TestWhatWasCutOffComesLast(t *testing.T) {
	w := New(Limits{})
	w.SetCells([]Cell{{ID: "a", Text: source.NewText("", "bomb = sum of 1/i for i from 1 to 90000000")}, {ID: "b", Text: source.NewText("", "x = 1")}})
	ctx, cancel := context.WithCancel(t.Context())
	if err := w.Evaluate(pause.With(ctx, cutter{cancel, new(int64)}), nil); err == nil {
		t.Fatal("the long statement was not cut off")
	}
	if err := w.Edit("b", "after = bomb\nx = 2"); err != nil {
		t.Fatal(err)
	}
	var order []string
	if err := w.Evaluate(t.Context(), func(r Result) { order = append(order, r.Name) }); err != nil || fmt.Sprint(order) != "[x bomb after]" {
		t.Errorf("evaluated %v (error %v), want x first", order, err)
	}
}

// A cutter ends a context after 20 000 000 of work.
type cutter struct {
	cancel func()
	done   *int64
}

func (c cutter) Here(work int64) {
	if *c.done += work; *c.done > 20_000_000 {
		c.cancel()
	}
}
