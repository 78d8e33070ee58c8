package store

import (
	"encoding/json"
	"math"
	"time"
)

// A Place is one part of one exercise in one series of attempts. The name of an
// exercise is unique in its lesson only, so the lesson belongs to it.
type Place struct {
	Learner  string
	Lesson   string
	Exercise string
	Part     string // empty where an exercise asks one thing
	Series   int    // counts from 0; a new series brings new numbers
}

// An Attempt is one answer of a learner with all that is needed to explain, or
// to repeat, how it was marked.
type Attempt struct {
	// Submission is the identifier the page made for this answer. It is the
	// same when the page sends the answer again for want of an acknowledgement. It
	// is told apart from others of the same learner at the same exercise.
	Submission string
	Place

	// Number counts the attempts at one place from 1 without gaps. The store
	// sets it.
	Number int

	Answer  string // the text as typed
	Reading string // the same in the notation, as it was read or chosen; empty where it could not be
	Verdict string // the kind of verdict, such as "right" or "slip"
	Slip    string // the name of a recognised slip, or empty
	Message string // what the learner was told
	Points  float64

	// Free marks an attempt that uses none of the tries that an exercise
	// allows, as where the text could not be read.
	Free bool

	Variant json.RawMessage // the learner's numbers
	Program string          // the version of the program that marked

	// At is the server's time of marking. It is kept to the microsecond, UTC.
	At time.Time
}

// Same reports whether two attempts under one submission identifier have the
// same thing, so that the second is a repeat of the first.
func (a *Attempt) Same(b *Attempt) bool {
	return a.Submission == b.Submission && a.Place == b.Place && a.Answer == b.Answer && a.Reading == b.Reading
}

// Validate returns an error that wraps [ErrInvalid] for an attempt that no
// store may keep.
func (a *Attempt) Validate() error {
	if err := a.Place.validate(); err != nil {
		return err
	}
	switch {
	case a.Submission == "":
		return invalid("an attempt needs a submission identifier")
	case math.IsNaN(a.Points) || math.IsInf(a.Points, 0) || a.Points < 0:
		return invalid("points are a number from 0")
	case a.Verdict == "":
		return invalid("an attempt needs a verdict")
	case a.At.IsZero():
		return invalid("an attempt needs a time")
	case !json.Valid(a.Variant):
		return invalid("the numbers of a variant are not JSON")
	}
	return texts(
		field{"submission", a.Submission, maxName}, field{"verdict", a.Verdict, maxName},
		field{"slip", a.Slip, maxName}, field{"program", a.Program, maxName},
		field{"answer", a.Answer, maxText}, field{"reading", a.Reading, maxText}, field{"message", a.Message, maxText},
		field{"variant", string(a.Variant), maxText})
}
