package working_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// lines is a pool of statements that define, use, shadow and break one
// another.
var lines = []string{
	"a = 3", "a = 2·b", "a = 3 m", "b = a + 1", "b = 4", "b = c·d", "c = 5", "c = f(2)", "c = a + b", "d = 1/0",
	"d = c − 1", "f(x) = x + a", "f(x) = x·c", "f(x) = g(x)", "g(x) = f(x)", "e = sum of f(i) for i from 1 to 5",
	"vary a from 1 to 9 by 1 starting at 2", "vary c from 1 m to 2 m", "expect a < b", "expect b between a and c",
	"prefer cm", "prefer mm", "q = 5 m", "q + a", "table i, f(i) for i from 1 to 3", "d = 36 mm ± 1 mm", "S.twist",
	"draw S", "table of S in a segments", "trials of b for a", "trials of f(a) between b and c for a at 2, 3, 5", "trials of S.segments(a) within S.bracket(a) for a at 2", "# a comment", "", "T L", "a = ", "h = root of f(x) for x from 0 to 9", "S_1 = S.length", "a", "b in mm",
}

var shaftLines = []string{
	"G = 79 GPa", "solid 36 mm for 200 mm", "solid q for a", "solid 20 mm to 40 mm for 300 mm", "hold at 0 mm",
	"torque 100 N·m at 100 mm", "core 10 mm G 26 GPa", "profile 40 mm + 6 mm·sin(x/q) for 0.1 m",
}

// A working that has lived through any edits and slider moves shows what a new
// working of the same text shows.
func TestEditsEndWhereTheTextSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		texts := []string{drawText(t, lines), drawText(t, lines), drawText(t, shaftLines)}
		w := working.New(working.Limits{})
		w.SetCells(cellsOf(texts))
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			which := rapid.IntRange(0, 3).Draw(t, "cell")
			switch which {
			case 2:
				texts[2] = drawText(t, shaftLines)
			case 3:
				// Whatever is varied is put back, so the two workings agree.
				_ = w.Vary("a", 5)
				must(t, w.Evaluate(context.Background(), nil))
				w.Unvary()
			default:
				texts[which] = drawText(t, lines)
			}
			if which < 3 {
				must(t, w.Edit(cellsOf(texts)[which].ID, texts[which]))
			}
			if rapid.Bool().Draw(t, "evaluate") {
				must(t, w.Evaluate(context.Background(), nil))
			}
		}
		must(t, w.Evaluate(context.Background(), nil))
		fresh := working.New(working.Limits{})
		fresh.SetCells(cellsOf(texts))
		must(t, fresh.Evaluate(context.Background(), nil))
		if got, want := shown(w), shown(fresh); got != want {
			t.Fatalf("after the edits:\n%s\na new working:\n%s", got, want)
		}
	})
}

func drawText(t *rapid.T, pool []string) string {
	return strings.Join(rapid.SliceOfN(rapid.SampledFrom(pool), 0, 6).Draw(t, "lines"), "\n")
}

func cellsOf(texts []string) []working.Cell {
	return []working.Cell{calcCell("one", texts[0]), calcCell("two", texts[1]),
		{ID: "S", Kind: working.Shaft, Name: "S", Text: source.NewText("S", texts[2])}}
}

func must(t *rapid.T, err error) {
	if err != nil {
		t.Fatal(err)
	}
}

// shown writes all that a reader sees of a working.
func shown(w *working.Working) string {
	var b strings.Builder
	for _, id := range []string{"one", "two", "S"} {
		for _, r := range w.Results(id) {
			fmt.Fprintf(&b, "%s %d %q = %s", id, r.Span.Position().Line, r.Span.Content(), r.Text)
			if r.Verdict != nil {
				fmt.Fprintf(&b, " %v %s", r.Verdict.Holds, r.Verdict.Margin)
			}
			for _, d := range r.Diagnostics {
				fmt.Fprintf(&b, "\n    %s", strings.ReplaceAll(d.Render(), "\n", "\n    "))
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// FuzzWorking looks for texts that crash, hang or leave a statement without
// either a value or a reason.
func FuzzWorking(f *testing.F) {
	f.Add(taper, "G = 79 GPa\nsolid 36 mm for 200 mm")
	f.Add(strings.Join(lines, "\n"), strings.Join(shaftLines, "\n"))
	f.Add("θ = ∫ T/(G·J(x)) for x from 0 m to L in deg", "profile x for 1 m")
	f.Add("plot S.bracket(n) for n from 1 to 9 spaced by ratio on log axes", "")
	f.Fuzz(func(t *testing.T, calc, shaft string) {
		w := working.New(working.Limits{Terms: 200_000, Work: 20_000_000, Memory: 8 << 20})
		w.SetCells(cellsOf([]string{calc, "", shaft}))
		if err := w.Evaluate(context.Background(), nil); err != nil {
			t.Fatal(err)
		}
		for _, id := range []string{"one", "S"} {
			for _, r := range w.Results(id) {
				if r.Kind == working.KindValue && r.Value == nil && !r.Failed() {
					t.Errorf("%q has neither a value nor a reason", r.Span.Content())
				}
				_, _, _ = r.Formula(), r.Numbers(), r.ShownValue()
			}
		}
	})
}

// A pure number named θ is an angle whether or not the slider that it depends on was
// evaluated before.
func TestAngleByItsNameDependsOnNoEarlierEvaluation(t *testing.T) {
	for _, text := range []string{"θ_stiff = b + c\nθ_soft = n", "θ_soft = n", "θ_soft = 2·n", "Δθ = n/2", "k = n\nθ_k = k"} {
		t.Run(text, func(t *testing.T) {
			w := working.New(working.Limits{})
			w.SetCells([]working.Cell{calcCell("one", "prefer deg\nvary n from 1 to 40 by 1 starting at 4"), calcCell("two", "")})
			last := func(err error) string {
				t.Helper()
				if err == nil {
					err = w.Evaluate(t.Context(), nil)
				}
				if err != nil {
					t.Fatal(err)
				}
				results := w.Results("two")
				return results[max(0, len(results)-1)].Text
			}
			if err := w.Evaluate(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
			edited := last(w.Edit("two", text))
			moved := last(w.Vary("n", 8))
			if !strings.HasSuffix(edited, " deg") || !strings.HasSuffix(moved, " deg") {
				t.Errorf("shown as %q, and as %q when the slider moves; want an angle", edited, moved)
			}
		})
	}
}
