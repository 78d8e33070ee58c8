package attempt

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"shaftbook/exercises"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
)

const twoWays = "---\ntitle: Two ways\norder: 1\nsummary: One exercise.\nminutes: 5\n---\n\n## Work\n\n```exercise ways\n" + `title: Solid or hollow
structures:
  - name: solid
    given: {d: 48 mm}
    ask: [{name: section, text: The second moment, answer: π/32·d^4, unit: mm⁴}]
  - name: hollow
    given: {d: 48 mm, b: 20 mm}
    ask: [{name: section, text: The second moment, answer: π/32·(d^4 - b^4), unit: mm⁴}]
` + "```\n"

// Marks are worked out from the way in which an exercise is set, so what is
// remembered of it has to be what was drawn, for each learner.
func TestStructureIsWhatWasDrawn(t *testing.T) {
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	d, err := NewService(t.Context(), store, "test")
	if err != nil {
		t.Fatal(err)
	}
	lesson, list := lessons.Parse("ways.md", []byte(twoWays))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	ways := map[string]int{}
	for i := range 2 * 40 { // each learner twice: drawn, then remembered
		p := Place{Learner: fmt.Sprint(i % 40), Lesson: lesson, Cell: lesson.CellsOf(lessons.Exercise)[0]}
		s, err := d.Structure(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		if err := d.on(t.Context(), p, func(_ context.Context, v *exercises.Variant) error {
			if v.Structure != s {
				t.Errorf("learner %s: %s, was set %s", p.Learner, s.Name, v.Structure.Name)
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		ways[s.Name]++
	}
	if ways["solid"] == 0 || ways["hollow"] == 0 {
		t.Errorf("everybody got the same: %v", ways)
	}
}
