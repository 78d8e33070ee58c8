package storetest

import (
	"errors"
	"fmt"
	"reflect"
	"testing"
	"time"

	"shaftbook/exercises/store"
	"shaftbook/exercises/store/contract"
)

var practice = []Case{
	{"practice comes back as it was kept last", "what comes next follows from it", func(t *testing.T, s contract.Work) {
		at := noon.UTC().Truncate(time.Microsecond)
		p := store.Practice{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-θ", Box: 1, Due: at, Set: 1 << 30, At: at}
		other := p
		other.Learner = "student-02"
		for _, p := range []store.Practice{p, other} {
			if err := s.Practise(t.Context(), p, 4); err != nil {
				t.Fatal(err)
			}
		}
		p.Box, p.Due, p.Set, p.At = 2, at.AddDate(0, 0, 2), 7, at.Add(time.Hour)
		if err := s.Practise(t.Context(), p, 4); err != nil {
			t.Fatal(err)
		}
		got, err := s.Progress(t.Context(), "student-01")
		if err != nil || !reflect.DeepEqual(got.Practice, []store.Practice{p}) {
			t.Errorf("Progress = %+v, %v", got, err)
		}
	}},
	{"practice is bounded", "nobody fills the disk by practising", func(t *testing.T, s contract.Work) {
		at := noon.UTC().Truncate(time.Microsecond)
		for i, hours := range []int{5, 1, 4, 2, 6} {
			p := store.Practice{Learner: "student-01", Lesson: "the-quill", Exercise: fmt.Sprint("exercise-", i), Box: 1, Set: 1, At: at.Add(time.Duration(hours) * time.Hour)}
			p.Due = p.At
			if err := s.Practise(t.Context(), p, 3); err != nil {
				t.Fatal(err)
			}
		}
		got, err := s.Progress(t.Context(), "student-01")
		var kept []string
		for _, p := range got.Practice {
			kept = append(kept, p.Exercise)
		}
		if want := []string{"exercise-0", "exercise-2", "exercise-4"}; err != nil || !reflect.DeepEqual(kept, want) {
			t.Errorf("kept are %q, %v; want those practised last, %q", kept, err, want)
		}
	}},
	{"impossible practice is refused", "a box that is not there has no days", func(t *testing.T, s contract.Work) {
		for name, p := range map[string]store.Practice{
			"no box":          {Learner: "a", Lesson: "b", Exercise: "c", Due: noon, At: noon},
			"due before":      {Learner: "a", Lesson: "b", Exercise: "c", Box: 1, Due: noon.Add(-time.Second), At: noon},
			"no time":         {Learner: "a", Lesson: "b", Exercise: "c", Box: 1},
			"nobody’s":        {Lesson: "b", Exercise: "c", Box: 1, Due: noon, At: noon},
			"of no exercise":  {Learner: "a", Lesson: "b", Box: 1, Due: noon, At: noon},
			"a box too great": {Learner: "a", Lesson: "b", Exercise: "c", Box: store.MostBox + 1, Due: noon, At: noon},
		} {
			if err := s.Practise(t.Context(), p, 4); !errors.Is(err, store.ErrInvalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
	}},
	{"progress sums up a learner's work", "the shelf shows it without reading every answer", func(t *testing.T, s contract.Work) {
		wrong, right := attempt("s1"), attempt("s2")
		right.Verdict, right.Slip = "right", ""
		submit(t, s, wrong, 0)
		submit(t, s, right, 0)
		other := attempt("s3")
		other.Part = "τ"
		submit(t, s, other, 0)
		again := attempt("s4") // with practice numbers
		again.Part, again.Verdict, again.Series = "τ", "right", 1
		submit(t, s, again, 0)
		theirs := attempt("s5")
		theirs.Learner = "student-02"
		submit(t, s, theirs, 0)
		guess := prediction("p1")
		seen := prediction("p2")
		seen.Exercise, seen.Kind, seen.Text, seen.Low, seen.High = "guess-2", store.Seen, "", 0, 0
		for _, p := range []store.Prediction{guess, seen} {
			if _, _, err := s.AddPrediction(t.Context(), p); err != nil {
				t.Fatal(err)
			}
		}
		save(t, s, 0, text("calc-1", "d = 41 mm"))
		got, err := s.Progress(t.Context(), "student-01")
		want := store.Progress{
			Parts: []store.PartProgress{
				{Lesson: "the-quill", Exercise: "exercise-1", Part: "θ", Right: true},
				{Lesson: "the-quill", Exercise: "exercise-1", Part: "τ"},
			},
			Guesses: map[string]int{"the-quill": 1}, Edited: []string{"the-quill"},
		}
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("Progress = %+v, %v, want %+v", got, err, want)
		}
		none, err := s.Progress(t.Context(), "student-09")
		if err != nil || len(none.Parts)+len(none.Guesses)+len(none.Edited)+len(none.Practice) != 0 {
			t.Errorf("of nobody: %+v, %v", none, err)
		}
	}},
}
