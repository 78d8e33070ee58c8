package lessons

import (
	"context"
	"testing"

	"shaftbook/kernel"
	"shaftbook/lessons/text"
)

// Every number in the prose of the built-in lessons is borne out by a cell.
func TestProseNumbersOfBuiltInLessons(t *testing.T) {
	shelf, _ := Load(text.Files)
	for _, l := range shelf.Lessons {
		w := kernel.NewWorking(kernel.Limits{})
		w.SetCells(l.WorkingCells())
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		for _, d := range l.checkProse(w) {
			t.Errorf("%s: %s", l.Text.Name, d.Render())
		}
	}
}

func TestProseNumbers(t *testing.T) {
	const head = "---\ntitle: A\norder: 1\nsummary: B.\nminutes: 5\nbrings: [57.3, 2 %]\n---\n\n"
	const cells = "\n\n```calc\nd = 36 mm\nvary n from 1 to 9 by 1 starting at 2\nA = π/4·d^2 in mm²\nb = d ± 0.5 mm\ntable x in mm for x from 0 m to 0.8 m in 5 rows\n```\n"
	tests := []struct {
		name, prose string
		want        string // the number that is not borne out, or ""
	}{
		{"a literal", "The bar is 36 mm thick.", ""},
		{"the same in another unit", "It is 3.6 cm, or 0.036 m.", ""},
		{"a result, rounded", "Its area is 1018 mm², say 1.0×10⁻³ m².", ""},
		{"a result, rounded wrongly", "Its area is 1020.5 mm².", "1020.5 mm²"},
		{"a stop of the slider", "Try 7.0 next.", ""},
		{"an end of a bracket", "It is at least 35.5 mm.", ""},
		{"a row of a table", "Half way, at 400 mm, it turns.", ""},
		{"another quantity", "The bar is 39 mm thick.", "39 mm"},
		{"brought from outside", "A factor of 57.3, known to 2 %.", ""},
		{"a bare decimal", "A factor of 1.234.", "1.234"},
		{"a count stands for itself", "All 17 shafts and 3 in a row.", ""},
		{"code is not prose", "Type `d = 99 mm` there.", ""},
		{"a unit before the full stop", "It is 36 mm. Then 39 mm.", "39 mm"},
		{"a sign is left to the sentence", "It turns back by −36 mm.", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			l, list := Parse("a.md", []byte(head+test.prose+cells))
			if list.HasErrors() {
				t.Fatal(list.Err())
			}
			w := kernel.NewWorking(kernel.Limits{})
			w.SetCells(l.WorkingCells())
			if err := w.Evaluate(context.Background(), nil); err != nil {
				t.Fatal(err)
			}
			got := ""
			for _, d := range l.checkProse(w) {
				got += d.Span.Content()
			}
			if got != test.want {
				t.Errorf("not borne out: %q, want %q", got, test.want)
			}
		})
	}
}
