package text_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises"
	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
	"shaftbook/lessons"
)

// TestPublishedExamples puts the numbers of published problems into the exercises of
// the lessons: the formula with which an exercise is marked must give the printed
// answer, and another last figure must be wrong. The file names the source of each row.
func TestPublishedExamples(t *testing.T) {
	file, err := os.Open("testdata/published.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	catalog := shelf(t)
	for _, row := range rows[1:] {
		lesson, name, structure, part, given, printed, changed, figures := row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7]
		t.Run(strings.Join([]string{lesson, name, structure, part, row[8]}, "/"), func(t *testing.T) {
			l, ok := catalog.Lesson(lesson)
			if !ok {
				t.Fatalf("there is no lesson %s", lesson)
			}
			v := published(t, l, name, structure, part, strings.Split(given, "; "), figures)
			for answer, right := range map[string]bool{printed: true, changed: false} {
				verdict, err := v.Mark(t.Context(), "", answer)
				if err != nil {
					t.Fatal(err)
				}
				if (verdict.Kind == marking.Right) != right {
					t.Errorf("%s: %+v", answer, verdict)
				}
			}
		})
	}
}

// published sets one question of an exercise with the given values of a published
// problem: its answer, its shaft and its hidden statements are those of the lesson.
func published(t *testing.T, l *lessons.Lesson, name, structure, part string, given []string, figures string) *exercises.Variant {
	t.Helper()
	var block map[string]any
	for _, c := range l.CellsOf(lessons.Exercise) {
		if c.Name == name {
			if err := yaml.Unmarshal([]byte(c.Text.Content), &block); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, other := range listed(block["structures"]) {
		if other["name"] == structure {
			for key, value := range other {
				block[key] = value
			}
		}
	}
	answer := block["answer"]
	for _, asked := range append(listed(block["ask"]), listed([]any{block["ask"]})...) {
		if part == "" || asked["name"] == part {
			answer = asked["answer"]
		}
	}
	text := fmt.Sprintf("title: Published\ngiven:\n  %s\nask: The answer\nanswer: %q\ntolerance: %s figures\n", strings.Join(given, "\n  "), answer, figures)
	for _, key := range []string{"work", "shaft"} {
		if lines, ok := block[key].(string); ok {
			text += key + ": |\n  " + strings.ReplaceAll(strings.TrimSpace(lines), "\n", "\n  ") + "\n"
		}
	}
	e, list := exercises.Parse("published", source.NewText("published", text))
	if err := list.Err(); err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	v, err := e.Variant(t.Context(), exercises.HeadlessKey, "learner", 0)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// listed returns the maps of a list that was read from YAML.
func listed(list any) (maps []map[string]any) {
	items, _ := list.([]any)
	for _, item := range items {
		if m, ok := item.(map[string]any); ok {
			maps = append(maps, m)
		}
	}
	return maps
}
