package sqlstore

import (
	"context"
	"database/sql"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const (
	attemptsInLesson = `SELECT ` + attemptColumns + ` FROM attempts WHERE lesson = $1 ORDER BY id`
	predictionsOfAll = `SELECT ` + predictionColumns + ` FROM predictions WHERE lesson = $1 ORDER BY id`
	hintsOfAll       = `SELECT learner, lesson, exercise, part, series, level, at_us FROM hints
	WHERE lesson = $1 ORDER BY at_us, learner, exercise, part, series, level`
	remarkedIn = `SELECT ` + attemptColumns + ` FROM remarked WHERE lesson = $1 ORDER BY id`

	insertOverride = `
INSERT INTO overrides (assignment, person, exercise, withdrawn, points, reason, made_by, at_us)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`
	selectOverride = `SELECT assignment, person, exercise, withdrawn, points, reason, made_by, at_us FROM overrides `
	overridesOf    = selectOverride + `WHERE assignment = $1 ORDER BY id`
	overridesFor   = selectOverride + `WHERE person = $1 ORDER BY id`

	oneAttempt = ` WHERE lesson = $1 AND exercise = $2 AND learner = $3 AND submission = $4`
	attemptIn  = `SELECT submission FROM attempts` + oneAttempt
	summedOne  = `SELECT checksum, ` + attemptColumns + ` FROM attempts` + oneAttempt
	keepBefore = `INSERT INTO remarked (learner, ` + attemptColumnsButLearner + `, until_us)
	SELECT learner, ` + attemptColumnsButLearner + `, $5 FROM attempts` + oneAttempt
	remarkAttempt = `UPDATE attempts SET verdict = $5, slip = $6, message = $7, points = $8, free = $9, program = $10, checksum = $11` +
		oneAttempt
	remarkAssignment = `UPDATE assignments SET text_hash = $2, changed_us = $3, revision = revision + 1 WHERE id = $1`

	attemptColumnsButLearner = `submission, lesson, exercise, part, series, attempt_no,
	answer, reading, verdict, slip, message, points, free, variant, program, at_us, checksum`
)

// AttemptsIn implements contract.School.
func (s *Store) AttemptsIn(ctx context.Context, lesson string) ([]store.Attempt, error) {
	return list(ctx, s.query, wholeAttempt, attemptsInLesson, lesson)
}

// PredictionsIn implements contract.School.
func (s *Store) PredictionsIn(ctx context.Context, lesson string) ([]store.Prediction, error) {
	return list(ctx, s.query, wholePrediction, predictionsOfAll, lesson)
}

// HintsIn implements contract.School.
func (s *Store) HintsIn(ctx context.Context, lesson string) ([]store.Hint, error) {
	return list(ctx, s.query, scanHint, hintsOfAll, lesson)
}

// Regraded implements contract.School.
func (s *Store) Regraded(ctx context.Context, lesson string) ([]store.Attempt, error) {
	return list(ctx, s.query, wholeAttempt, remarkedIn, lesson)
}

// Override implements contract.School.
func (s *Store) Override(ctx context.Context, o class.Override, e class.Entry) error {
	if err := sound(o, e); err != nil {
		return err
	}
	if o.Points < 0 {
		return fmt.Errorf("%w: points are a number from 0", store.ErrInvalid)
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		a, err := one(ctx, tx.query, scanAssignment, assignmentByID, o.Assignment)
		if err != nil {
			return err
		}
		if err := must(ctx, tx.query, hasPerson, o.Person); err != nil {
			return err
		}
		err = tx.exec(ctx, insertOverride, o.Assignment, o.Person, o.Exercise, digit(o.Withdrawn), o.Points, o.Reason, o.By,
			o.At.UnixMicro())
		if err != nil {
			return err
		}
		if err := note(ctx, tx, &e); err != nil {
			return err
		}
		return tx.tell(ctx, a.Key())
	})
}

// Overrides implements contract.School.
func (s *Store) Overrides(ctx context.Context, assignment string) ([]class.Override, error) {
	return list(ctx, s.query, scanOverride, overridesOf, assignment)
}

// Regrade implements contract.School. The time of the entry is when it was done.
func (s *Store) Regrade(ctx context.Context, assignment string, text class.Frozen, remarks []class.Regrade, e class.Entry, about ...class.Entry) error {
	if err := sound(text, remarks, e, about); err != nil {
		return err
	}
	for _, r := range remarks {
		if r.Points < 0 || r.Verdict == "" {
			return fmt.Errorf("%w: a remark needs a verdict and points from 0", store.ErrInvalid)
		}
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		a, err := one(ctx, tx.query, scanAssignment, assignmentByID, assignment)
		if err != nil {
			return err
		}
		for _, r := range remarks {
			if err := must(ctx, tx.query, attemptIn, a.Key(), r.Exercise, r.Person, r.Submission); err != nil {
				return err
			}
		}
		return remark(ctx, tx, &a, &text, remarks, e, about)
	})
}

func remark(ctx context.Context, tx *transaction, a *class.Assignment, text *class.Frozen, remarks []class.Regrade, e class.Entry, about []class.Entry) error {
	at := e.At.UnixMicro()
	if err := freeze(ctx, tx, text); err != nil {
		return err
	}
	if err := tx.exec(ctx, remarkAssignment, a.ID, text.Hash, at); err != nil {
		return err
	}
	for _, r := range remarks {
		if err := tx.exec(ctx, keepBefore, a.Key(), r.Exercise, r.Person, r.Submission, at); err != nil {
			return err
		}
		if err := regradeAttempt(ctx, tx, a.Key(), &r); err != nil {
			return err
		}
	}
	for _, entry := range append([]class.Entry{e}, about...) {
		if err := note(ctx, tx, &entry); err != nil {
			return err
		}
	}
	return tx.tell(ctx, a.Key())
}

func regradeAttempt(ctx context.Context, tx *transaction, lesson string, r *class.Regrade) error {
	var kept string
	a, err := one(ctx, tx.query, func(rows *sql.Rows) (store.Attempt, error) {
		a, err := scanAttempt(rows, &kept)
		return *a, err
	}, summedOne, lesson, r.Exercise, r.Person, r.Submission)
	if err != nil {
		return err
	}
	before := attemptSum(&a)
	a.Verdict, a.Slip, a.Message, a.Points, a.Free, a.Program = r.Verdict, r.Slip, r.Message, r.Points, r.Free, r.Program
	return tx.exec(ctx, remarkAttempt, lesson, r.Exercise, r.Person, r.Submission, r.Verdict, r.Slip, r.Message, r.Points, digit(r.Free), r.Program,
		changedSum(kept, before, attemptSum(&a)))
}

func wholeAttempt(rows *sql.Rows) (store.Attempt, error) {
	a, err := scanAttempt(rows)
	return *a, err
}

func wholePrediction(rows *sql.Rows) (store.Prediction, error) {
	p, err := scanPrediction(rows)
	return *p, err
}

func scanOverride(rows *sql.Rows) (class.Override, error) {
	var o class.Override
	var withdrawn int
	var at int64
	err := rows.Scan(&o.Assignment, &o.Person, &o.Exercise, &withdrawn, &o.Points, &o.Reason, &o.By, &at)
	o.Withdrawn, o.At = withdrawn == 1, moment(at)
	return o, err
}
