package text_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// written are statements that a reader may put into a lesson: angles by their names,
// names that a lesson has or lacks, sliders, other units, and what is half typed.
var written = []string{
	"θ_stiff = b + c", "θ_soft = n", "θ_q = n", "θ_q = 2·n", "Δθ = n/2", "θ_q = 4", "φ = k", "k = 3", "k = n", "k = θ_q/φ",
	"vary n from 1 to 20 by 1 starting at 3", "vary k from 0 to 1", "vary L from 500 mm to 1 m", "vary θ_q from 0 to 2",
	"vary d from 20 mm to 60 mm by 1 mm starting at 40 mm", "vary T from 100 N·m to 900 N·m", "vary φ from 0 to 30 deg",
	"vary d_0 from d_1/2 to d_1", "vary m from n to 2·n + 3", "n", "θ_q", "d in cm", "2·d", "L/3", "T/n", "1/n", "n·θ_q", "θ_q/n",
	"prefer mm", "prefer rad", "prefer kN·m", "prefer deg", "d = 40 mm", "d = 4 cm", "L = 0.8 m", "L = 900", "T = 420 N·m", "n = 7",
	"G = 79 GPa", "b = 1", "c = θ_q", "q = θ_q + n", "f(x) = n·x", "θ_f = f(2)", "y = f(n)", "w = T·L/n", "T L", "x = ",
	"expect θ_q < 3 deg", "expect n > 2", "table i, i·n for i from 1 to 3", "table i, θ_q/i for i from 1 to 3", "n ± 1",
}

// drawCell is another text for a cell: its lines and those of the lesson, some left
// out, some changed, and some of those above.
func drawCell(t *rapid.T, text string, all []string) string {
	lines := strings.Split(text, "\n")
	for range rapid.IntRange(1, 3).Draw(t, "changes") {
		at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
		switch rapid.IntRange(0, 5).Draw(t, "change") {
		case 0:
			if len(lines) > 1 {
				lines = slices.Delete(lines, at, at+1)
			}
		case 1:
			lines = slices.Insert(lines, at, rapid.SampledFrom(all).Draw(t, "of the lesson"))
		case 2:
			head, _, found := strings.Cut(lines[at], " in ")
			if !found {
				head += " in " + rapid.SampledFrom([]string{"deg", "rad", "mm", "N·m"}).Draw(t, "unit")
			}
			lines[at] = head
		case 3:
			lines[at] = rapid.SampledFrom(written).Draw(t, "statement")
		default:
			lines = slices.Insert(lines, at, rapid.SampledFrom(written).Draw(t, "statement"))
		}
	}
	return strings.Join(lines, "\n")
}

// drawShaft is another text for a shaft: a line less, a line twice, or one of these.
func drawShaft(t *rapid.T, text string) string {
	lines := strings.Split(text, "\n")
	at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
	other := []string{lines[at], "torque T at 100 mm", "solid d for L", "solid 40 mm for 300 mm", "hold at 0 mm", "G = n·1 GPa"}
	if rapid.Bool().Draw(t, "leave out") {
		return strings.Join(slices.Delete(lines, at, at+1), "\n")
	}
	return strings.Join(slices.Insert(lines, at, rapid.SampledFrom(other).Draw(t, "other")), "\n")
}

// row writes all that a page shows of a result.
func row(r *kernel.Result) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s/%d line %d %q, %v %s = %q, %q, spoken %q, numbers %q, TeX %q",
		r.Cell, r.Index, r.Span.Position().Line, r.Span.Content(), r.Kind, r.Name, r.Shown(), r.ShownValue(), r.Spoken(), r.Numbers(), r.TeX())
	if r.Value != nil {
		fmt.Fprintf(&b, "\n  value %+v", *r.Value)
	}
	if c, ok := r.Certainty(); ok {
		fmt.Fprintf(&b, "\n  %+v", c)
	}
	if r.Verdict != nil {
		fmt.Fprintf(&b, "\n  %+v", *r.Verdict)
	}
	if r.Slider != nil {
		fmt.Fprintf(&b, "\n  %+v", *r.Slider)
	}
	if r.Table != nil {
		for _, h := range r.Table.Headers {
			fmt.Fprintf(&b, "\n  %q in %q %v", h.Label, h.Unit, h.Dim)
		}
		fmt.Fprintf(&b, "\n  %q\n  %v", r.Table.Marked(), r.Table.Numbers)
	}
	if r.Figure != nil {
		fmt.Fprintf(&b, "\n  %s: %s %s", r.Figure.Title(), r.Figure.Caption(), r.Figure.Description())
		if d := r.Figure.Data(); d != nil {
			for _, d := range append([]*figure.Data{d}, d.Further...) {
				fmt.Fprintf(&b, "\n  %s %q %q", d.Caption, d.Headers, d.Rows)
			}
		}
	}
	for _, d := range r.Said(true) {
		fmt.Fprintf(&b, "\n  %s", strings.ReplaceAll(d.Render(), "\n", "\n  "))
		if d.Fix != nil {
			fmt.Fprintf(&b, "\n  repair %q by %q", d.Fix.Span.Content(), d.Fix.Text)
		}
		for _, at := range d.Related {
			place, found := r.Find(at.Span)
			fmt.Fprintf(&b, "\n  see %+v %v", place, found)
		}
	}
	if r.Cause != nil {
		fmt.Fprintf(&b, "\n  waits for %+v", *r.Cause)
	}
	fmt.Fprintf(&b, "\n  waiting %+v, folded %v, %d of %d", r.Waiters, r.Folded, r.Order, r.Errors)
	return b.String()
}

// What a page shows depends on the texts of the cells and on the sliders alone, not on
// what was evaluated before: after any edits, slider moves and restores each row is
// that of a new working, both as it was sent and as it is asked for.
func TestRowsDoNotDependOnWhatWasEvaluatedBefore(t *testing.T) {
	shelf := shelf(t).Lessons
	const parts = 4 // each draws as many sequences as rapid is told to
	for part := range parts {
		t.Run(fmt.Sprintf("part %d", part+1), func(t *testing.T) {
			t.Parallel()
			var some []*lessons.Lesson
			for i, l := range shelf {
				if i%parts == part && len(l.WorkingCells()) > 0 {
					some = append(some, l)
				}
			}
			rapid.Check(t, func(t *rapid.T) { history(t, some[rapid.IntRange(0, len(some)-1).Draw(t, "lesson")]) })
		})
	}
}

func history(t *rapid.T, l *lessons.Lesson) {
	cells := l.WorkingCells()
	var all []string
	texts := map[string]string{}
	for _, c := range cells {
		texts[c.ID] = c.Text.Content
		if c.Kind == kernel.Calc {
			all = append(all, strings.Split(c.Text.Content, "\n")...)
		}
	}
	w := l.NewWorking()
	page := map[string]string{}
	keep := func(r *kernel.Result) { page[fmt.Sprint(r.Cell, "/", r.Index)] = row(r) }
	evaluate := func() {
		if err := w.Evaluate(t.Context(), func(r kernel.Result) { keep(&r) }); err != nil {
			t.Fatal(err)
		}
	}
	// cutOff is an evaluation that is given up for the next change after some rows.
	cutOff := func(rows int) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		_ = w.Evaluate(ctx, func(r kernel.Result) {
			if keep(&r); rows == 0 {
				cancel()
			}
			rows--
		})
	}
	edit := func(id, text string) {
		if err := w.Edit(id, text); err != nil {
			t.Fatal(err)
		}
		texts[id] = text
	}
	if rapid.Bool().Draw(t, "page made in time") {
		if _, err := w.EvaluateWithin(t.Context(), 20_000, 1_000_000); err != nil {
			t.Fatal(err)
		}
		for _, c := range cells {
			for _, r := range w.Results(c.ID) {
				keep(&r)
			}
		}
	} else {
		evaluate()
	}
	for range rapid.IntRange(1, 6).Draw(t, "steps") {
		switch rapid.IntRange(0, 9).Draw(t, "step") {
		case 0:
			for _, c := range cells {
				edit(c.ID, c.Text.Content)
			}
			w.Unvary()
		case 1:
			c := cells[rapid.IntRange(0, len(cells)-1).Draw(t, "cell")]
			edit(c.ID, c.Text.Content)
		case 2, 3, 4:
			var names []string
			for name := range w.Sliders() {
				names = append(names, name)
			}
			if slices.Sort(names); len(names) > 0 {
				name, value := rapid.SampledFrom(names).Draw(t, "slider"), float64(rapid.IntRange(0, 60).Draw(t, "value"))
				if err := w.Vary(name, value); err != nil {
					t.Fatal(err)
				}
			}
		default:
			c := cells[rapid.IntRange(0, len(cells)-1).Draw(t, "cell")]
			if c.Kind == kernel.Shaft {
				edit(c.ID, drawShaft(t, texts[c.ID]))
			} else {
				edit(c.ID, drawCell(t, texts[c.ID], all))
			}
		}
		switch rapid.IntRange(0, 5).Draw(t, "evaluated") {
		case 0:
		case 1:
			cutOff(rapid.IntRange(0, 9).Draw(t, "rows"))
		default:
			evaluate()
		}
	}
	evaluate()
	fresh := kernel.NewWorking(kernel.Limits{})
	fresh.SetCells(now(cells, texts))
	fresh.SetMoved(w.Moved())
	if err := fresh.Evaluate(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range cells {
		got := w.Results(c.ID)
		for i, r := range fresh.Results(c.ID) {
			want := row(&r)
			if sent := page[fmt.Sprint(c.ID, "/", i)]; sent != want {
				t.Fatalf("of the text\n%s\nsent:\n%s\na new working:\n%s", texts[c.ID], sent, want)
			}
			if i >= len(got) || row(&got[i]) != want {
				t.Fatalf("of the text\n%s\nasked for:\n%s\na new working:\n%s", texts[c.ID], row(&got[i]), want)
			}
		}
	}
}

// now are the cells with their present texts.
func now(cells []kernel.Cell, texts map[string]string) []kernel.Cell {
	list := slices.Clone(cells)
	for i, c := range list {
		list[i].Text = &source.Text{Name: c.Text.Name, Content: texts[c.ID], FirstLine: c.Text.FirstLine}
	}
	return list
}
