package demo

import (
	"math/rand/v2"
	"slices"
	"testing"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/lessons"
)

// Answers are judged as they were meant, in every part of every exercise of the
// shelf.
func TestTyped(t *testing.T) {
	shelf, err := Shelf()
	if err != nil {
		t.Fatal(err)
	}
	all := []marking.VerdictKind{
		marking.Unreadable, marking.WrongDimension, marking.UnitMissing, marking.OutsideBounds,
		marking.SlipMade, marking.Off, marking.RoundedEarly, marking.Right,
	}
	wrong := all[:len(all)-1]
	for _, c := range []struct {
		name string
		turn turn
		want []marking.VerdictKind
	}{
		{"right", right, all[len(all)-1:]},
		{"slip", slip, wrong},
		{"off", off, wrong},
		{"rounded", rounded, all}, // with few figures some values are near enough
		{"no unit", noUnit, wrong},
		{"wrong unit", wrongUnit, wrong},
		{"not a value", notAValue, all[:1]},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := map[marking.VerdictKind]int{}
			dice := rand.New(rand.NewPCG(1, 2))
			for _, l := range shelf.Lessons {
				for _, cell := range l.CellsOf(lessons.Exercise) {
					e, list := exercises.Parse(cell.Name, cell.Text)
					if list.HasErrors() {
						t.Fatal(list.Err())
					}
					v, err := e.Variant(t.Context(), exercises.HeadlessKey, "student 01", 0)
					if err != nil {
						t.Fatal(err)
					}
					for _, ask := range v.Structure.Parts {
						if ask.Kind == marking.Pick && c.turn == notAValue {
							continue // there is nothing to type
						}
						q, err := questionOf(t.Context(), v, ask)
						if err != nil {
							t.Fatal(err)
						}
						text := q.typed(dice, c.turn)
						verdict, err := v.Mark(t.Context(), ask.Name, text)
						if err != nil {
							t.Fatal(err)
						}
						if got[verdict.Kind]++; !slices.Contains(c.want, verdict.Kind) {
							t.Errorf("%s, %s %s: %q is judged %s: %s", l.Slug, cell.ID, ask.Name, text, verdict.Kind, verdict.Message)
						}
					}
				}
			}
			t.Log(got)
		})
	}
}

func TestFigures(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{
		{0.9713, 2, "0.97"}, {0.9713, 1, "1"}, {96.55, 2, "97"}, {1234, 2, "1200"}, {-1.234, 3, "-1.23"}, {0, 3, "0.00"}, {0.002, 2, "0.0020"},
	} {
		if got := figures(c.v, c.n); got != c.want {
			t.Errorf("figures(%v, %d) = %s, want %s", c.v, c.n, got, c.want)
		}
	}
	if value, unit := valueOf("−1.5 deg"); value != -1.5 || unit != "deg" {
		t.Errorf("valueOf = %v %s", value, unit)
	}
	if _, unit := valueOf("1.5×10⁻⁵ m"); unit != "" {
		t.Error("a power of ten is taken apart")
	}
}
