package sqlstore

import (
	"context"
	"database/sql"

	"shaftbook/exercises/store"
)

// insertPrediction inserts nothing if the submission is known or the place has
// a prediction.
const insertPrediction = `
INSERT INTO predictions (submission, learner, lesson, exercise, part, series, kind, guess, low, high, at_us)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)
ON CONFLICT DO NOTHING
RETURNING id`

const predictionColumns = `submission, learner, lesson, exercise, part, series, kind, guess, low, high, at_us`

const (
	predictionBySubmission = `SELECT ` + predictionColumns + ` FROM predictions WHERE learner = $1 AND submission = $2`
	predictionAtPlace      = `SELECT ` + predictionColumns + ` FROM predictions
	WHERE learner = $1 AND lesson = $2 AND exercise = $3 AND part = $4 AND series = $5`
	predictionsInLesson = `SELECT ` + predictionColumns + ` FROM predictions
	WHERE learner = $1 AND lesson = $2 ORDER BY id`
)

// committed is a kept prediction, and whether it was kept before.
type committed struct {
	prediction store.Prediction
	repeat     bool
}

// AddPrediction implements contract.Work.
func (s *Store) AddPrediction(ctx context.Context, p store.Prediction) (store.Prediction, bool, error) {
	if err := p.Validate(); err != nil {
		return store.Prediction{}, false, err
	}
	p.At = asStored(p.At)
	got, err := learn(ctx, s, p.Learner, func(ctx context.Context, tx *transaction) (committed, error) {
		id := int64(0)
		err := tx.query(ctx, func(rows *sql.Rows) error { return rows.Scan(&id) }, insertPrediction,
			p.Submission, p.Learner, p.Lesson, p.Exercise, p.Part, p.Series, string(p.Kind), p.Text, p.Low, p.High,
			p.At.UnixMicro())
		if err != nil {
			return committed{}, err
		}
		if id == 0 {
			return committedBefore(ctx, tx, &p)
		}
		return committed{prediction: p}, tx.tell(ctx, p.Lesson)
	})
	return got.prediction, got.repeat, err
}

func committedBefore(ctx context.Context, tx *transaction, p *store.Prediction) (committed, error) {
	first, err := onePrediction(ctx, tx, predictionBySubmission, p.Learner, p.Submission)
	switch {
	case err != nil:
		return committed{}, err
	case first != nil && first.Same(p):
		return committed{*first, true}, nil
	case first != nil:
		return committed{}, store.ErrReused
	}
	first, err = onePrediction(ctx, tx, predictionAtPlace, p.Learner, p.Lesson, p.Exercise, p.Part, p.Series)
	if err != nil {
		return committed{}, err
	}
	return committed{prediction: *first}, store.ErrPredicted
}

// onePrediction returns nil if there is none.
func onePrediction(ctx context.Context, tx *transaction, text string, args ...any) (p *store.Prediction, err error) {
	err = tx.query(ctx, func(rows *sql.Rows) (err error) {
		p, err = scanPrediction(rows)
		return err
	}, text, args...)
	return p, err
}

// Predictions implements contract.Work.
func (s *Store) Predictions(ctx context.Context, learner, lesson string) ([]store.Prediction, error) {
	var all []store.Prediction
	err := s.query(ctx, func(rows *sql.Rows) error {
		p, err := scanPrediction(rows)
		if err == nil {
			all = append(all, *p)
		}
		return err
	}, predictionsInLesson, learner, lesson)
	return all, err
}

func scanPrediction(rows *sql.Rows) (*store.Prediction, error) {
	var p store.Prediction
	var at int64
	err := rows.Scan(&p.Submission, &p.Learner, &p.Lesson, &p.Exercise, &p.Part, &p.Series, &p.Kind, &p.Text,
		&p.Low, &p.High, &at)
	p.At = moment(at)
	return &p, err
}
