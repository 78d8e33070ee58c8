package text_test

import (
	"fmt"
	"testing"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/figure/shaft"
	"shaftbook/lessons"
)

// enoughLearners is how many copies of an exercise are drawn to see each of its
// structures. Of four structures one is missed once in 25,000 times, and the
// copies are the same in every run.
const enoughLearners = 40

// TestFigures wants a figure with every exercise, however it is set, on which
// what is asked cannot be read off.
func TestFigures(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		for _, c := range l.CellsOf(lessons.Exercise) {
			e, list := exercises.Parse(c.Name, c.Text)
			if err := list.Err(); err != nil {
				t.Fatal(err)
			}
			seen := map[string]bool{}
			for i := 0; i < enoughLearners && len(seen) < len(e.Structures); i++ {
				v, err := e.Variant(t.Context(), exercises.HeadlessKey, fmt.Sprintf("learner %d", i), 0)
				if err != nil {
					t.Fatal(err)
				}
				if !seen[v.Structure.Name] {
					seen[v.Structure.Name] = true
					lookAt(t, v)
				}
			}
			if len(seen) < len(e.Structures) {
				t.Errorf("%s: %d of %d structures came up", e.ID, len(seen), len(e.Structures))
			}
		}
	})
}

func lookAt(t *testing.T, v *exercises.Variant) {
	t.Helper()
	figures, err := v.Figures(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(figures) == 0 {
		t.Errorf("%s has no figure for %q", v.Exercise.ID, v.Structure.Name)
	}
	for _, r := range figures {
		d, ok := r.Figure.(*shaft.Drawing)
		if !ok {
			continue
		}
		for _, a := range v.Structure.Parts {
			for _, answer := range drawn(d) {
				verdict, err := v.Mark(t.Context(), a.Name, answer)
				if err != nil {
					t.Fatal(err)
				}
				if verdict.Kind == marking.Right || verdict.Kind == marking.RoundedEarly {
					t.Errorf("%s, %q: the drawing shows %s, which is what is asked", v.Exercise.ID, v.Structure.Name, answer)
				}
			}
		}
	}
}

// drawn lists the dimensions and the torques that a drawing is labelled with.
func drawn(d *shaft.Drawing) []string {
	var list []string
	for _, p := range d.Pieces {
		list = append(list, fmt.Sprintf("%g %s", p.To-p.From, d.LengthUnit), fmt.Sprintf("%g %s", p.To, d.LengthUnit))
		for _, edge := range [][]shaft.Sample{p.Outer, p.Bore, p.Core} {
			for _, s := range edge {
				list = append(list, fmt.Sprintf("%g %s", s.D, d.LengthUnit))
			}
		}
	}
	for _, q := range d.Torques {
		list = append(list, q.Label)
	}
	return list
}
