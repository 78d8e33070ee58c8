package attempt

import (
	"errors"
	"path/filepath"
	"testing"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
)

// A test offers no practice until it has closed; any other assignment does.
func TestNoPracticeInATest(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	now := time.Date(2026, 11, 2, 10, 0, 0, 0, time.UTC)
	d, err := NewServiceAt(t.Context(), db, "test", func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	lesson, list := lessons.Parse("bar.md", []byte(bar))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	cell, _ := lesson.Cell("exercise-bar")
	for _, c := range []struct {
		name    string
		terms   *class.Terms
		refused bool
	}{
		{"no assignment", nil, false},
		{"an assignment", &class.Terms{Due: now.Add(time.Hour), Closes: now.Add(time.Hour)}, false},
		{"a test", &class.Terms{Due: now.Add(time.Hour), Closes: now.Add(time.Hour), Test: true}, true},
		{"a test that has closed", &class.Terms{Due: now.Add(-time.Hour), Closes: now.Add(-time.Hour), Test: true}, false},
	} {
		p := Practice{Place: Place{Learner: "one", Lesson: lesson, Cell: cell, Terms: c.terms}, Set: 1}
		view, err := d.Practise(t.Context(), p)
		var refusal *Refusal
		if got := errors.As(err, &refusal) && refusal.Reason == NoPractice; got != c.refused || err != nil && !got {
			t.Errorf("%s: %v", c.name, err)
		}
		if !c.refused && view.OneSet == "" {
			t.Errorf("%s: the bar has one set of numbers", c.name)
		}
		if shown, _, err := d.View(t.Context(), p.Place); err != nil || shown.Practises {
			t.Errorf("%s: %v, practice offered: %t", c.name, err, shown.Practises)
		}
	}
}
