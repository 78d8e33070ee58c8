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
)

// A Prediction is a guess committed before a result was shown. It carries no
// marks. There is one for each place; the first is kept.
type Prediction struct {
	Submission string // made by the page, as for an attempt
	Place
	Kind PredictionKind
	Text string // the guess as typed or chosen

	// Low and High are the ends of a bracket in SI base units, Low ≤ High. For
	// the other kinds both are 0.
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
	case More, Less, Same:
		if p.Low != 0 || p.High != 0 {
			return invalid("only a bracket has two ends")
		}
	default:
		return invalid("a prediction is a bracket, more, less or same")
	}
	return texts(field{"submission", p.Submission, maxName}, field{"text", p.Text, maxText})
}
