package attempt

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
)

// What was read, or chosen among two readings, is kept with the attempt, and
// marking again follows it; the same answer again uses no try then either.
func TestMarkingAgainFollowsTheReading(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	d, err := NewService(t.Context(), db, "test")
	if err != nil {
		t.Fatal(err)
	}
	lesson, list := lessons.Parse("bar.md", []byte(bar))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	cell, _ := lesson.Cell("exercise-bar")
	p := Place{Learner: "one", Lesson: lesson, Cell: cell}
	var kept []store.Attempt
	for i, c := range []struct {
		text, choice, reading string
		kind                  marking.VerdictKind
		free                  bool
	}{
		{"1,000 deg", "", "", marking.Ambiguous, true},
		{"1,000 deg", "1000 deg", "1000 deg", marking.Off, false},
		{"1000 deg", "", "1000 deg", marking.Off, true}, // again
		{"0,5 degrees", "", "0.5 deg", marking.Off, false},
		{"300 N·m", "", "300 N·m", marking.WrongDimension, true},
		{"θ = 1.0555 deg", "", "1.0555 deg", marking.Right, false},
	} {
		a, err := d.Submit(t.Context(), Submission{Place: p, FormToken: d.FormToken("one"), ID: fmt.Sprintf("0123456789abcdef-%d", i), Text: c.text, Reading: c.choice})
		if err != nil {
			t.Fatal(err)
		}
		if a.Answer != c.text || a.Reading != c.reading || a.Verdict != string(c.kind) || a.Free != c.free {
			t.Errorf("%s: %+v", c.text, a)
		}
		kept = append(kept, a)
	}
	e, err := d.exercise(cell)
	if err != nil {
		t.Fatal(err)
	}
	_, again, err := d.Regrade(t.Context(), p, e, kept)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range again {
		if r.Cannot != "" || r.Changed {
			t.Errorf("%s marked again: %+v", kept[i].Answer, r)
		}
	}
}

// A reading that is not one of what was typed is refused and nothing is kept.
func TestOnlyOfferedReadingsAreTaken(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shaftbook.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	d, err := NewService(t.Context(), db, "test")
	if err != nil {
		t.Fatal(err)
	}
	lesson, list := lessons.Parse("bar.md", []byte(bar))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	cell, _ := lesson.Cell("exercise-bar")
	p := Place{Learner: "one", Lesson: lesson, Cell: cell}
	for i, c := range []struct {
		text, reading string
		taken         bool
	}{
		{"5 kg", "1.0555 deg", false},
		{"1,000 deg", "1.0555 deg", false},
		{"1,000 deg", "<script>alert(1)</script>", false},
		{"1,000 deg", "=cmd|' /C calc'!A0", false},
		{"", "1.0555 deg", false},
		{"1,000 deg", "1000 deg", true},
	} {
		a, err := d.Submit(t.Context(), Submission{Place: p, FormToken: d.FormToken("one"), ID: fmt.Sprintf("0123456789abcdef-%d", i), Text: c.text, Reading: c.reading})
		var refused *Refusal
		switch {
		case c.taken && (err != nil || a.Answer != c.text || a.Reading != c.reading):
			t.Errorf("%s as %s: %+v, %v", c.text, c.reading, a, err)
		case !c.taken && (!errors.As(err, &refused) || refused.Reason != NotOffered):
			t.Errorf("%s as %s is taken: %+v, %v", c.text, c.reading, a, err)
		}
	}
	kept, err := db.Attempts(t.Context(), p.Learner, lesson.Slug, cell.ID)
	if err != nil || len(kept) != 1 {
		t.Errorf("%d attempts are kept, %v", len(kept), err)
	}
}
