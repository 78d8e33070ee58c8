package sqlite

import (
	"encoding/json"
	"time"

	"shaftbook/exercises/store"
)

// sample is an attempt of usual size.
func sample(submission string) store.Attempt {
	return store.Attempt{
		Submission: submission,
		Place:      store.Place{Learner: "student-01", Lesson: "the-quill", Exercise: "exercise-1", Part: "twist"},
		Answer:     "0.971 deg", Verdict: "slip", Slip: "radius-for-diameter",
		Message: "J grows with d⁴. Was the radius put where the diameter belongs?",
		Variant: json.RawMessage(`{"d_0":"36 mm","d_1":"54 mm","T":"420 N·m","L":"800 mm","G":"79 GPa"}`),
		Program: "test", At: time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC),
	}
}
