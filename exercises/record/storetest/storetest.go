// Package storetest is the one test of what record.Store promises. The test of
// each database opens stores and calls [Run]; nothing in here knows which
// database it is.
package storetest

import (
	"encoding/json"
	"testing"
	"time"

	"shaftbook/exercises/record"
)

// A promise is one thing that a store of a kind must do.
type promise[S any] struct {
	Name string
	Why  string // printed when the promise is broken
	Test func(t *testing.T, s S)
}

// A Case is a promise of record.Store.
type Case = promise[record.Store]

// Run tests every promise on a new, empty store each.
func Run(t *testing.T, open func(t *testing.T) record.Store) {
	run(t, open, attempts, predictions, hints, edits, anomalies)
}

func run[S any](t *testing.T, open func(t *testing.T) S, groups ...[]promise[S]) {
	for _, group := range groups {
		for _, c := range group {
			t.Run(c.Name, func(t *testing.T) {
				t.Cleanup(func() {
					if t.Failed() {
						t.Log("why this must hold:", c.Why)
					}
				})
				c.Test(t, open(t))
			})
		}
	}
}

var noon = time.Date(2026, 11, 25, 12, 0, 0, 123456789, time.FixedZone("", 3600))

// An attempt at the twist of the quill, with characters beyond ASCII in every
// text.
func attempt(submission string) record.Attempt {
	return record.Attempt{
		Submission: submission,
		Place:      record.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-1", Part: "θ"},
		Answer:     "0.971 deg", Verdict: "slip", Slip: "radius-for-diameter",
		Message: "J grows with d⁴; was d or r put in?", Points: 0.5,
		Variant: json.RawMessage(`{"d_0":"36 mm", "T":"420 N·m"}`), Program: "test", At: noon,
	}
}

func prediction(submission string) record.Prediction {
	return record.Prediction{
		Submission: submission,
		Place:      record.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "predict-1"},
		Kind:       record.Bracket, Text: "0.5 to 2 deg", Low: 0.00872664625997165, High: 0.03490658503988659, At: noon,
	}
}

func submit(t *testing.T, s record.Store, a record.Attempt, tries int) record.Attempt {
	t.Helper()
	kept, repeat, err := s.Submit(t.Context(), a, tries)
	if err != nil || repeat {
		t.Fatalf("Submit(%s) = repeat %v, %v", a.Submission, repeat, err)
	}
	return kept
}

func save(t *testing.T, s record.Store, base int64, changes ...record.Edit) record.Saved {
	t.Helper()
	saved, err := s.Save(t.Context(), "student-01", "the-quill", base, changes, noon)
	if err != nil {
		t.Fatal(err)
	}
	return saved
}

func text(cell, content string) record.Edit {
	return record.Edit{Kind: record.CellText, Key: cell, Content: content, Basis: "b1"}
}
