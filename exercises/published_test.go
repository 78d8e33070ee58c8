package exercises

import (
	"encoding/csv"
	"os"
	"shaftbook/exercises/marking"
	"strings"
	"testing"
)

// TestPublishedAnswers sets problems of textbooks as exercises and wants the
// printed answer marked right, and the same answer with its last figure changed
// by two marked as anything else. The file names the source of each.
func TestPublishedAnswers(t *testing.T) {
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
	for _, row := range rows[1:] {
		id, given, answer, printed, changed, figures := row[0], row[1], row[2], row[3], row[4], row[5]
		t.Run(id, func(t *testing.T) {
			v := set(t, "title: "+id+"\ngiven:\n  "+strings.ReplaceAll(given, "; ", "\n  ")+"\nask: The answer\nanswer: '"+answer+"'\ntolerance: "+figures+" figures\n")
			if got := mark(t, v, "", printed); got.Kind != marking.Right {
				t.Errorf("%s: %+v", printed, got)
			}
			if got := mark(t, v, "", changed); got.Kind == marking.Right {
				t.Errorf("%s is marked right", changed)
			}
		})
	}
}
