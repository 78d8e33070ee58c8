package sqlstore

import (
	"context"
	"database/sql"

	"shaftbook/exercises/store"
)

const insertHint = `
INSERT INTO hints (learner, lesson, exercise, part, series, level, at_us)
VALUES ($1, $2, $3, $4, $5, $6, $7)
ON CONFLICT DO NOTHING`

const hintsAtExercise = `SELECT learner, lesson, exercise, part, series, level, at_us FROM hints
	WHERE learner = $1 AND lesson = $2 AND exercise = $3 ORDER BY part, series, level`

// Reveal implements contract.Work.
func (s *Store) Reveal(ctx context.Context, h store.Hint) error {
	if err := h.Validate(); err != nil {
		return err
	}
	_, err := learn(ctx, s, h.Learner, func(ctx context.Context, tx *transaction) (struct{}, error) {
		err := tx.exec(ctx, insertHint, h.Learner, h.Lesson, h.Exercise, h.Part, h.Series, h.Level, h.At.UnixMicro())
		if err != nil {
			return struct{}{}, err
		}
		return struct{}{}, tx.tell(ctx, h.Lesson)
	})
	return err
}

// Hints implements contract.Work.
func (s *Store) Hints(ctx context.Context, learner, lesson, exercise string) ([]store.Hint, error) {
	return list(ctx, s.query, scanHint, hintsAtExercise, learner, lesson, exercise)
}

func scanHint(rows *sql.Rows) (store.Hint, error) {
	var h store.Hint
	var at int64
	err := rows.Scan(&h.Learner, &h.Lesson, &h.Exercise, &h.Part, &h.Series, &h.Level, &at)
	h.At = moment(at)
	return h, err
}
