package attempt

import (
	"context"
	"errors"

	"shaftbook/exercises/store"
	"shaftbook/lessons/guess"
	"shaftbook/web/turns"
)

// ErrGuessStands: another guess was made in this place already, and this one is dropped.
var ErrGuessStands = errors.New("you had guessed already, in another window")

// A GuessForm is what the form of a guess block hands in. Its Place has the cell of the
// guess, and as series how often it was guessed before; Part stays empty.
type GuessForm struct {
	Submission
	Guess *guess.Guess
	Truth guess.Truth
	Show  bool // the result was asked for, without a guess
}

// Guesses returns what a learner has guessed at the guess blocks of a lesson, by the ID of
// the cell, each in the order of its series.
func (d *Service) Guesses(ctx context.Context, p Place) (map[string][]store.Prediction, error) {
	all, err := d.store.Predictions(ctx, p.Learner, p.Lesson.Slug)
	if err != nil {
		return nil, err
	}
	made := map[string][]store.Prediction{}
	for _, g := range p.Lesson.Guesses {
		made[g.ID] = nil
	}
	for _, kept := range all {
		if list, ok := made[kept.Exercise]; ok && kept.Part == "" {
			made[kept.Exercise] = append(list, kept)
		}
	}
	return made, nil
}

// GuessID returns the identifier of the next guess at a place.
func (d *Service) GuessID(p Place) string { return d.nextID(p.at(""), 0) }

var kindOfGuess = map[guess.Kind]store.PredictionKind{
	guess.Number: store.Value, guess.Pick: store.Chosen, guess.Order: store.Order, guess.Sketch: store.Drawn,
}

// Guess keeps a guess. A guess that is not understood is not kept, and has a doubt. Of two
// that are made in the same place, from two windows, the first stands; the other gets
// ErrGuessStands. Other errors are as for Submit.
func (d *Service) Guess(ctx context.Context, f GuessForm) (*guess.Doubt, error) {
	if err := d.acceptable(f.Submission); err != nil {
		return nil, err
	}
	now := d.now()
	kept := store.Prediction{Submission: f.ID, Place: f.at(""), Kind: store.Seen, At: now}
	if !f.Show {
		wait, err := d.reads.Take(ctx, f.Learner, now)
		if err != nil {
			return nil, err
		}
		if wait > 0 {
			return nil, tooOften(wait)
		}
		var made guess.Made
		var doubt *guess.Doubt
		err = turns.Do(ctx, turns.Answer, func(ctx context.Context) (err error) {
			made, doubt, err = f.Guess.Read(ctx, f.Truth, f.Text, f.Reading)
			return err
		})
		if err != nil || doubt != nil {
			return doubt, err
		}
		kept.Kind, kept.Text, kept.Low, kept.High = kindOfGuess[f.Guess.Kind], made.Text, made.Value, made.Value
	}
	_, _, err := d.store.AddPrediction(ctx, kept)
	if errors.Is(err, store.ErrPredicted) || errors.Is(err, store.ErrReused) {
		if f.Show {
			return nil, nil
		}
		return nil, ErrGuessStands
	}
	return nil, err
}
