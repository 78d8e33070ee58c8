package attempt

import (
	"context"
	"math"

	"shaftbook/exercises"
	"shaftbook/lessons"
)

// Exercise returns the exercise of a cell, or what is wrong with it.
func (d *Service) Exercise(cell lessons.Cell) (*exercises.Exercise, error) { return d.exercise(cell) }

// With calls f with a learner's numbers, which no one else uses meanwhile, and with
// the context under which f calculates. The error is f's, an *Unset, and ctx's.
func (d *Service) With(ctx context.Context, p Place, f func(ctx context.Context, v *exercises.Variant) error) error {
	return d.on(ctx, p, f)
}

// Structure returns in which of its ways an exercise is set for a learner. It
// draws numbers only where there is more than one way, and once for each
// learner. The error is an *Unset, and ctx's.
func (d *Service) Structure(ctx context.Context, p Place) (*exercises.Structure, error) {
	e, err := d.exercise(p.Cell)
	if err != nil {
		return nil, &Unset{err}
	}
	if len(e.Structures) == 1 {
		return e.Structures[0], nil
	}
	return d.structures.Do(p.variant(e), func() (s *exercises.Structure, err error) {
		err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
			s = v.Structure
			return nil
		})
		return s, err
	})
}

// A Relative is an answer with its bounds as multiples of the right value, by
// which the answers of a class to their own numbers can be set side by side.
type Relative struct {
	Value     float64
	Low, High float64 // both 0 without bounds
}

// RelativeAnswer sets an answer to a number part against the right value for
// the learner's numbers. It is false for an answer that is not a value of the
// dimension that is asked, and for a part that asks for no number. The error is
// an *Unset, and ctx's.
func (d *Service) RelativeAnswer(ctx context.Context, p Place, part, answer string) (rel Relative, ok bool, err error) {
	err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		value, low, high, read, err := v.Relative(ctx, part, answer)
		if err != nil || !read {
			return err
		}
		rel.Value, ok = value, true
		rel.Low, rel.High = ordered(low, high)
		return nil
	})
	return rel, ok && drawable(rel.Value, rel.Low, rel.High), err
}

// RelativePrediction sets a guessed bracket in SI base units against the learner's
// own result. It is false where the result is 0, of which nothing is a multiple,
// or the learner is not asked this. The error is an *Unset, and ctx's.
func (d *Service) RelativePrediction(ctx context.Context, p Place, prediction string, low, high float64) (lo, hi float64, ok bool, err error) {
	err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		result, err := v.PredictionResult(ctx, prediction)
		if err != nil {
			return ctx.Err()
		}
		lo, hi = ordered(low/result, high/result)
		ok = drawable(lo, hi) // by a result of 0 they are not
		return nil
	})
	return lo, hi, ok, err
}

// HeldPrediction reports whether a guess of more, less or same held, for the
// learner's own numbers. known is false where it cannot be judged.
func (d *Service) HeldPrediction(ctx context.Context, p Place, prediction, guess string) (held, known bool, err error) {
	err = d.on(ctx, p, func(ctx context.Context, v *exercises.Variant) error {
		judged, ok, err := v.Predict(ctx, prediction, guess)
		if err != nil {
			return ctx.Err()
		}
		held, known = judged.Held, ok
		return nil
	})
	return held, known, err
}

// mostMultiple bounds what is set against a right value; beyond it nothing can be
// drawn.
const mostMultiple = 1e300

func ordered(a, b float64) (low, high float64) { return math.Min(a, b), math.Max(a, b) }

func drawable(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= mostMultiple) {
			return false
		}
	}
	return true
}
