package text_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"shaftbook/exercises"
	"shaftbook/kernel/notation"
	"shaftbook/lessons"
)

// TestSlipsOfTheLessonsAtTheirLines hands in the value of every slip of every built-in
// exercise. The line at which it is shown must be the same for all sets of numbers of one
// way to set the problem, since a slip does not hang on the numbers, and must hold what
// was taken wrongly. Run with -v it lists them, to be read.
func TestSlipsOfTheLessonsAtTheirLines(t *testing.T) {
	eachLesson(t, func(t *testing.T, l *lessons.Lesson) {
		for _, c := range l.CellsOf(lessons.Exercise) {
			e, list := exercises.Parse(c.Name, c.Text)
			if list.HasErrors() {
				t.Fatal(list.Err())
			}
			shown := map[string]string{} // where each slip is, by structure, part and value
			for learner := range 6 {
				v, err := e.Variant(t.Context(), exercises.HeadlessKey, fmt.Sprint("Student ", learner), 0)
				if err != nil {
					t.Fatal(err)
				}
				for _, a := range v.Structure.Parts {
					slipsAt(t, v, a.Name, shown)
				}
			}
			for _, key := range slices.Sorted(maps.Keys(shown)) {
				t.Log(e.ID, key, shown[key])
			}
		}
	})
}

func slipsAt(t *testing.T, v *exercises.Variant, part string, shown map[string]string) {
	t.Helper()
	worked, err := v.Worked(t.Context(), part)
	if err != nil {
		t.Fatalf("%s %s: %v", v.Exercise.ID, part, err)
	}
	expected, err := v.Expected(t.Context(), part)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range expected.Slips {
		for i, value := range s.Values {
			relative, _, _, ok, err := v.Relative(t.Context(), part, value)
			if err != nil || !ok {
				continue
			}
			turn, err := v.WrongTurn(t.Context(), part, s.Name, relative)
			if err != nil {
				t.Fatal(err)
			}
			key, at := fmt.Sprintf("%s/%s/%s/%d", v.Structure.Name, part, s.Name, i), "at no line"
			if turn != nil {
				formula := notation.Print(worked.Lines[turn.Line].Formula)
				at = "at " + formula
				for _, taken := range turn.Taken {
					if !strings.Contains(formula, taken.Name) && len(turn.Taken) == 1 {
						t.Errorf("%s: %s does not hold %s", key, formula, taken.Name)
					}
				}
			}
			if before, seen := shown[key]; seen && before != at {
				t.Errorf("%s: %s with some numbers, %s with others", key, before, at)
			}
			shown[key] = at
		}
	}
}
