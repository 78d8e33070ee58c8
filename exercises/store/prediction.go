package store

import (
	"math"
	"time"
)

// PredictionKind is the form of a guess.
type PredictionKind string

// The forms of a guess.
const (
	Bracket PredictionKind = "bracket" // from Low to High
	More    PredictionKind = "more"
	Less    PredictionKind = "less"
	Same    PredictionKind = "same"

	// Those of the guesses of lessons.
	Value  PredictionKind = "value"  // one number, Low and High alike
	Chosen PredictionKind = "chosen" // Text is the letter of an option
	Order  PredictionKind = "order"  // Text is the letters of the items, parted by spaces
	Drawn  PredictionKind = "drawn"  // Text is a curve
	Seen   PredictionKind = "seen"   // no guess was made: the result was asked for
)

// A Prediction is a guess committed before a result was shown. It carries no
// marks. There is one for each place; the first is kept. Of a guess block of a lesson
// Exercise is the ID of its cell, Part is empty, and Series counts how often it was
// guessed before.
type Prediction struct {
	Submission string // made by the page, as for an attempt
	Place
	Kind PredictionKind
	Text string // the guess as typed or chosen

	// Low and High are the ends of a bracket in SI base units, Low ≤ High, or both the
	// same value. For the other kinds both are 0.
	Low, High float64

	At time.Time
}

// Same reports whether two predictions under one submission identifier have the
// same thing.
func (p *Prediction) Same(q *Prediction) bool {
	return p.Submission == q.Submission && p.Place == q.Place && p.Kind == q.Kind &&
		p.Text == q.Text && p.Low == q.Low && p.High == q.High
}

// Validate returns an error that wraps [ErrInvalid] for a prediction that no
// store may keep.
func (p *Prediction) Validate() error {
	if err := p.Place.validate(); err != nil {
		return err
	}
	if p.Submission == "" {
		return invalid("a prediction needs a submission identifier")
	}
	if p.At.IsZero() {
		return invalid("a prediction needs a time")
	}
	switch p.Kind {
	case Bracket:
		if !(p.Low <= p.High) || math.IsInf(p.Low, 0) || math.IsInf(p.High, 0) {
			return invalid("a bracket needs two numbers, the lower one first")
		}
	case Value:
		if p.Low != p.High || math.IsNaN(p.Low) || math.IsInf(p.Low, 0) {
			return invalid("a value is one number")
		}
	case More, Less, Same, Chosen, Order, Drawn, Seen:
		if p.Low != 0 || p.High != 0 {
			return invalid("only a bracket or a value has numbers")
		}
	default:
		return invalid("there is no such kind of prediction")
	}
	return texts(field{"submission", p.Submission, maxName}, field{"text", p.Text, maxText})
}
