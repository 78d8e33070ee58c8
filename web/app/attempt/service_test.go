package attempt

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/sqlite"
	"shaftbook/lessons"
)

func TestTheKeyIsMadeOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shaftbook.db")
	var sheets, ids []string
	for range 2 {
		db, err := sqlite.Open(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		d, err := NewService(t.Context(), db, "test")
		if err != nil {
			t.Fatal(err)
		}
		at := store.Place{Learner: "one", Lesson: "quill", Exercise: "exercise-1", Part: "twist"}
		sheets = append(sheets, d.FormToken("one"), d.FormToken("two"))
		ids = append(ids, d.nextID(at, 0), d.nextID(at, 1))
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if sheets[0] != sheets[2] || sheets[0] == sheets[1] {
		t.Errorf("sheets %q: the same learner's is the same after a start, another's is another", sheets)
	}
	if ids[0] != ids[2] || ids[0] == ids[1] || !isID(ids[0]) {
		t.Errorf("identifiers %q: the same until an answer was kept", ids)
	}
}

const bar = `---
title: A bar
order: 1
summary: One exercise.
minutes: 5
---

` + "```" + `exercise bar
title: A bar
attempts: 9
given: {T: 300 N·m, L: 0.8 m, d: 36 mm, G: 79 GPa}
ask: The twist of one end against the other
answer: T·L/(G·π/32·d^4)
unit: deg
` + "```" + `
`

// What a class did on another day is kept at that day's times and is not let
// off the pace of answers.
func TestADeskOfAnotherDay(t *testing.T) {
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
	p := Place{Learner: "one", Lesson: lesson, Cell: cell}
	next := 0
	submit := func(text string) (store.Attempt, error) {
		next++
		return d.Submit(t.Context(), Submission{Place: p, FormToken: d.FormToken("one"), ID: fmt.Sprintf("0123456789abcdef-%d", next), Text: text})
	}
	hand := func(i int) (store.Attempt, error) { return submit(fmt.Sprintf("%d deg", 20+i)) }
	for i := range perMinute {
		a, err := hand(i)
		if err != nil {
			t.Fatal(err)
		}
		if !a.At.Equal(now) {
			t.Errorf("kept at %v, want %v", a.At, now)
		}
	}
	var refused *Refusal
	if _, err := hand(perMinute); !errors.As(err, &refused) || refused.Reason != TooFast {
		t.Errorf("one answer too many in that minute: %v", err)
	}
	// What is read and asked about tells nothing, and is not held back with those.
	misread := []string{"0.01", "1,000 deg", "0.6 degg", "300 N·m", "?", "20 C"}
	for i := range readsPerMinute - perMinute - 1 { // the one too many was read
		if a, err := submit(misread[i%len(misread)]); err != nil || !a.Free {
			t.Fatalf("%d misread: %+v, %v", i, a, err)
		}
	}
	if _, err := submit("0.01"); !errors.As(err, &refused) || refused.Reason != TooFast {
		t.Errorf("one reading too many in that minute: %v", err)
	}
	now = now.Add(time.Minute)
	if _, err := hand(perMinute); err != nil {
		t.Errorf("a minute later: %v", err)
	}
}

// An answer that a server counted before it ended, and that is sent again, is one of the
// answers of that minute.
func TestAnAnswerSentAgainAfterTheServerEnded(t *testing.T) {
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
	d.MarkTogether(db)
	lesson, list := lessons.Parse("bar.md", []byte(bar))
	if list.HasErrors() {
		t.Fatal(list.Err())
	}
	cell, _ := lesson.Cell("exercise-bar")
	for i := range perMinute + 1 {
		s := Submission{
			Place:     Place{Learner: "one", Lesson: lesson, Cell: cell},
			FormToken: d.FormToken("one"), ID: fmt.Sprintf("0123456789abcdef-%d", i), Text: fmt.Sprintf("%d deg", 20+i),
		}
		if i < perMinute {
			// The server that ended had come so far.
			if _, _, err := d.marks.TakeFor(t.Context(), s.Learner, s.counted(), now); err != nil {
				t.Fatal(err)
			}
		}
		_, err := d.Submit(t.Context(), s)
		var refused *Refusal
		if i < perMinute && err != nil || i == perMinute && (!errors.As(err, &refused) || refused.Reason != TooFast) {
			t.Errorf("answer %d: %v", i+1, err)
		}
	}
}
