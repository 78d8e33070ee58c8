package working

import (
	"slices"
	"testing"

	"shaftbook/kernel/source"
)

// A working that takes over what readers have moved in another one has its results,
// also where a later edit gives the slider another unit or takes it away.
func TestMovedIsAllThatResultsDependOn(t *testing.T) {
	base := []Cell{
		{ID: "c1", Kind: Calc, Text: source.NewText("", "vary d from 20 mm to 50 mm\nvary n from 1 to 9")},
		{ID: "c2", Kind: Calc, Text: source.NewText("", "U = n·d\nvary h from 20·(1 mm) to 40·(1 mm)")},
	}
	for _, c := range []struct {
		name string
		do   func(w *Working) error
		want string // value of d
	}{
		{"as written", func(*Working) error { return nil }, "20 mm"},
		{"moved", func(w *Working) error { return w.Vary("d", 31) }, "31 mm"},
		{"beyond the end", func(w *Working) error { return w.Vary("d", 99) }, "50 mm"},
		{"shown in another unit later", func(w *Working) error {
			return firstError(w.Vary("d", 31), w.Vary("h", 25), w.Evaluate(t.Context(), nil), w.Edit("c2", "U = n·d\nvary h from 20·(1 mm) to 40·(1 mm)\nprefer cm"))
		}, "31 mm"},
		{"taken away and put back", func(w *Working) error {
			return firstError(w.Vary("d", 31), w.Edit("c1", "vary n from 1 to 9"), w.Edit("c1", base[0].Text.Content))
		}, "20 mm"},
		{"on another line", func(w *Working) error {
			return firstError(w.Vary("d", 31), w.Edit("c1", "\nvary n from 1 to 9\nvary d from 20 mm to 50 mm"))
		}, "31 mm"},
		{"put back to its start", func(w *Working) error {
			err := firstError(w.Vary("d", 31), w.Evaluate(t.Context(), nil))
			w.Unvary()
			return err
		}, "20 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			first, second := New(Limits{}), New(Limits{})
			first.SetCells(base)
			second.SetCells(base)
			if err := firstError(c.do(first), second.Vary("n", 4), second.Vary("h", 22), second.Evaluate(t.Context(), nil)); err != nil {
				t.Fatal(err)
			}
			for _, cell := range base {
				text, _ := first.Text(cell.ID)
				if err := second.Edit(cell.ID, text); err != nil {
					t.Fatal(err)
				}
			}
			second.SetMoved(first.Moved())
			if err := firstError(first.Evaluate(t.Context(), nil), second.Evaluate(t.Context(), nil)); err != nil {
				t.Fatal(err)
			}
			if a, b := first.Moved(), second.Moved(); !slices.Equal(a, b) {
				t.Errorf("moved are %v in the one and %v in the other", a, b)
			}
			for _, cell := range base {
				a, b := first.Results(cell.ID), second.Results(cell.ID)
				for i := range a {
					if a[i].Plain() != b[i].Plain() || a[i].Text != b[i].Text {
						t.Errorf("row %d of %s is %q %q in the one and %q %q in the other", i, cell.ID, a[i].Plain(), a[i].Text, b[i].Plain(), b[i].Text)
					}
				}
			}
			place := second.Sliders()["d"].RowPlace
			if got := second.Results(place.Cell)[place.Index].Text; got != c.want {
				t.Errorf("d is %s, want %s", got, c.want)
			}
		})
	}
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
