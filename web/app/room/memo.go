package room

import "shaftbook/kernel/source"

// mostKept bounds what is remembered of answers, and of predictions: those of some
// hundred classes.
const mostKept = 1 << 15

// A memoKey names an answer, or a learner, at an exercise as it is written. What
// is worked out from a student's numbers for it never changes while the text of
// the exercise is the same.
type memoKey struct {
	exercise *source.Text
	learner  string
	part     string
	said     string // the answer or the guess
}
