package sqlstore

import (
	"context"
	"database/sql"

	"shaftbook/exercises/store"
)

const practiceColumns = `learner, lesson, exercise, box, due_us, numbers, at_us`

const (
	upsertPractice = `
INSERT INTO practice (` + practiceColumns + `) VALUES ($1, $2, $3, $4, $5, $6, $7)
ON CONFLICT (learner, lesson, exercise) DO UPDATE SET
	box = excluded.box, due_us = excluded.due_us, numbers = excluded.numbers, at_us = excluded.at_us`
	forgetPractice = `
DELETE FROM practice WHERE learner = $1 AND (lesson, exercise) IN (
	SELECT lesson, exercise FROM practice WHERE learner = $1 ORDER BY at_us DESC, lesson, exercise LIMIT 1000000 OFFSET $2)`
	practiceOf = `SELECT ` + practiceColumns + ` FROM practice WHERE learner = $1 ORDER BY lesson, exercise`

	partsOf = `SELECT lesson, exercise, part, MAX(CASE WHEN verdict = 'right' THEN 1 ELSE 0 END) FROM attempts
	WHERE series = 0 AND ` + ofLearner + ` GROUP BY lesson, exercise, part ORDER BY lesson, exercise, part`
	guessesOf = `SELECT lesson, COUNT(DISTINCT exercise) FROM predictions
	WHERE learner = $1 AND kind <> 'seen' AND series = 0 GROUP BY lesson`
	editedBy = `SELECT DISTINCT lesson FROM edits WHERE learner = $1 ORDER BY lesson`
)

// Practise implements contract.Work.
func (s *Store) Practise(ctx context.Context, p store.Practice, most int) error {
	if err := p.Validate(); err != nil {
		return err
	}
	_, err := learn(ctx, s, p.Learner, func(ctx context.Context, tx *transaction) (struct{}, error) {
		err := tx.exec(ctx, upsertPractice, p.Learner, p.Lesson, p.Exercise, p.Box, p.Due.UnixMicro(), p.Set, p.At.UnixMicro())
		if err != nil {
			return struct{}{}, err
		}
		return struct{}{}, tx.exec(ctx, forgetPractice, p.Learner, most)
	})
	return err
}

// Progress implements contract.Work.
func (s *Store) Progress(ctx context.Context, learner string) (store.Progress, error) {
	p := store.Progress{Guesses: map[string]int{}}
	var err error
	if p.Parts, err = list(ctx, s.query, scanPartProgress, partsOf, learner); err != nil {
		return p, err
	}
	err = s.query(ctx, func(rows *sql.Rows) error {
		lesson, n := "", 0
		err := rows.Scan(&lesson, &n)
		p.Guesses[lesson] = n
		return err
	}, guessesOf, learner)
	if err != nil {
		return p, err
	}
	if p.Edited, err = list(ctx, s.query, scanText, editedBy, learner); err != nil {
		return p, err
	}
	p.Practice, err = list(ctx, s.query, scanPractice, practiceOf, learner)
	return p, err
}

func scanPartProgress(rows *sql.Rows) (store.PartProgress, error) {
	var p store.PartProgress
	right := 0
	err := rows.Scan(&p.Lesson, &p.Exercise, &p.Part, &right)
	p.Right = right == 1
	return p, err
}

func scanPractice(rows *sql.Rows) (store.Practice, error) {
	var p store.Practice
	var due, at int64
	err := rows.Scan(&p.Learner, &p.Lesson, &p.Exercise, &p.Box, &due, &p.Set, &at)
	p.Due, p.At = moment(due), moment(at)
	return p, err
}
