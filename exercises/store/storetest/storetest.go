// Package storetest is the one test of what contract.Work promises. The test of
// each database opens stores and calls [Run]; nothing in here depends on which
// database it is.
package storetest

import (
	"encoding/json"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

// A promise is one thing that a store of a kind must do.
type promise[S any] struct {
	Name string
	Why  string // printed when the promise is broken
	Test func(t *testing.T, s S)
}

// A Case is a promise of contract.Work.
type Case = promise[contract.Work]

// Run tests every promise on a new, empty store each.
func Run(t *testing.T, open func(t *testing.T) contract.Work) {
	run(t, open, attempts, predictions, hints, edits, pages, shares, practice, anomalies)
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
func attempt(submission string) store.Attempt {
	return store.Attempt{
		Submission: submission,
		Place:      store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-1", Part: "θ"},
		Answer:     "0,971 °", Reading: "0.971°", Verdict: "slip", Slip: "radius-for-diameter",
		Message: "J grows with d⁴; was d or r put in?", Points: 0.5,
		Variant: json.RawMessage(`{"d_0":"36 mm", "T":"420 N·m"}`), Program: "test", At: noon,
	}
}

func prediction(submission string) store.Prediction {
	return store.Prediction{
		Submission: submission,
		Place:      store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "predict-1"},
		Kind:       store.Bracket, Text: "0.5 to 2 deg", Low: 0.00872664625997165, High: 0.03490658503988659, At: noon,
	}
}

func submit(t *testing.T, s contract.Work, a store.Attempt, tries int) store.Attempt {
	t.Helper()
	kept, repeat, err := s.Submit(t.Context(), a, tries)
	if err != nil || repeat {
		t.Fatalf("Submit(%s) = repeat %v, %v", a.Submission, repeat, err)
	}
	return kept
}

func save(t *testing.T, s contract.Work, base int64, changes ...store.Edit) store.Saved {
	t.Helper()
	saved, err := s.Save(t.Context(), "student-01", "the-quill", base, changes, noon)
	if err != nil {
		t.Fatal(err)
	}
	return saved
}

func text(cell, content string) store.Edit {
	return store.Edit{Kind: store.CellText, Key: cell, Content: content, Basis: "b1"}
}
