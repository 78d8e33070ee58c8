package store

import "time"

// MostBox bounds the number of a box.
const MostBox = 99

// A Practice is how well an exercise holds that a learner practises, all parts taken
// together. It carries no marks and nothing of the answers.
type Practice struct {
	Learner, Lesson, Exercise string
	Box                       int       // from 1
	Due                       time.Time // when it comes again
	Set                       int64     // which numbers were practised last
	At                        time.Time // when they were
}

// Validate returns an error that wraps [ErrInvalid] for a practice that no store may
// keep.
func (p *Practice) Validate() error {
	at := Place{Learner: p.Learner, Lesson: p.Lesson, Exercise: p.Exercise}
	switch {
	case p.Box < 1 || p.Box > MostBox:
		return invalid("boxes count from 1")
	case p.At.IsZero() || p.Due.Before(p.At):
		return invalid("a practice needs a time, and comes again no earlier")
	}
	return at.validate()
}

// Progress is how far a learner has come, in all lessons.
type Progress struct {
	Parts    []PartProgress
	Guesses  map[string]int // how many guesses were made, by lesson
	Edited   []string       // lessons of which the learner has changed cells
	Practice []Practice
}

// PartProgress is how far a learner is with the graded numbers of one part of an
// exercise.
type PartProgress struct {
	Lesson, Exercise, Part string
	Right                  bool
}
