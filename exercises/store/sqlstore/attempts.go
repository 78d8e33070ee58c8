package sqlstore

import (
	"context"
	"database/sql"
	"encoding/json"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

// insertAttempt numbers and inserts in one statement. It inserts nothing if the
// submission is known, no try is left or the learner was erased. A limit of 0 is
// none.
const insertAttempt = `
INSERT INTO attempts (learner, submission, lesson, exercise, part, series, attempt_no,
	answer, reading, verdict, slip, message, points, free, variant, program, at_us, checksum)
SELECT $1, $2, $3, $4, $5, $6, 1 + COALESCE(MAX(attempt_no), 0),
	$7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $19
FROM attempts
WHERE learner = $1 AND lesson = $3 AND exercise = $4 AND part = $5 AND series = $6
HAVING (CAST($17 AS BIGINT) = 0 OR COALESCE(SUM(1 - free), 0) < CAST($17 AS BIGINT))
	AND NOT EXISTS (SELECT 1 FROM erased WHERE hash = $18)
ON CONFLICT (learner, submission) DO NOTHING
RETURNING attempt_no`

const attemptColumns = `submission, learner, lesson, exercise, part, series, attempt_no,
	answer, reading, verdict, slip, message, points, free, variant, program, at_us`

const (
	attemptBySubmission = `SELECT ` + attemptColumns + ` FROM attempts WHERE learner = $1 AND submission = $2`
	attemptsAtExercise  = `SELECT ` + attemptColumns + ` FROM attempts
	WHERE learner = $1 AND lesson = $2 AND exercise = $3 ORDER BY id`
)

// submitted is a kept attempt, and whether it was kept before.
type submitted struct {
	attempt store.Attempt
	repeat  bool
}

// Submit implements contract.Work.
func (s *Store) Submit(ctx context.Context, a store.Attempt, tries int) (store.Attempt, bool, error) {
	if err := a.Validate(); err != nil {
		return store.Attempt{}, false, err
	}
	a.At = asStored(a.At)
	if a.Free {
		tries = 0
	}
	checksum := attemptSum(&a)
	got, err := change(ctx, s, a.Learner, func(ctx context.Context, tx *transaction) (submitted, error) {
		number := 0
		err := tx.query(ctx, func(rows *sql.Rows) error { return rows.Scan(&number) }, insertAttempt,
			a.Learner, a.Submission, a.Lesson, a.Exercise, a.Part, a.Series, a.Answer, a.Reading, a.Verdict, a.Slip,
			a.Message, a.Points, digit(a.Free), string(a.Variant), a.Program, a.At.UnixMicro(), max(tries, 0), class.HashText(a.Learner), checksum)
		if err != nil {
			return submitted{}, err
		}
		if number == 0 {
			return notInserted(ctx, tx, &a)
		}
		a.Number = number
		return submitted{attempt: a}, tx.tell(ctx, a.Lesson)
	})
	return got.attempt, got.repeat, err
}

// notInserted finds out why an attempt was not inserted. A repeat comes before
// the tries: the last try may be sent twice as well.
func notInserted(ctx context.Context, tx *transaction, a *store.Attempt) (submitted, error) {
	if err := notErased(ctx, tx, a.Learner); err != nil {
		return submitted{}, err
	}
	var first *store.Attempt
	err := tx.query(ctx, func(rows *sql.Rows) (err error) {
		first, err = scanAttempt(rows)
		return err
	}, attemptBySubmission, a.Learner, a.Submission)
	switch {
	case err != nil:
		return submitted{}, err
	case first == nil:
		return submitted{}, store.ErrNoTries
	case !first.Same(a):
		return submitted{}, store.ErrReused
	}
	return submitted{*first, true}, nil
}

// Attempts implements contract.Work.
func (s *Store) Attempts(ctx context.Context, learner, lesson, exercise string) ([]store.Attempt, error) {
	var all []store.Attempt
	err := s.query(ctx, func(rows *sql.Rows) error {
		a, err := scanAttempt(rows)
		if err == nil {
			all = append(all, *a)
		}
		return err
	}, attemptsAtExercise, learner, lesson, exercise)
	return all, err
}

// scanAttempt reads attemptColumns, and what is before them.
func scanAttempt(rows *sql.Rows, before ...any) (*store.Attempt, error) {
	var a store.Attempt
	var free int
	var variant string
	var at int64
	err := rows.Scan(append(before, &a.Submission, &a.Learner, &a.Lesson, &a.Exercise, &a.Part, &a.Series, &a.Number,
		&a.Answer, &a.Reading, &a.Verdict, &a.Slip, &a.Message, &a.Points, &free, &variant, &a.Program, &at)...)
	a.Free, a.Variant, a.At = free == 1, json.RawMessage(variant), moment(at)
	return &a, err
}

// asStored is a time as the store can give it back.
func asStored(t time.Time) time.Time { return moment(t.UnixMicro()) }

func moment(us int64) time.Time { return time.UnixMicro(us).UTC() }

func digit(b bool) int {
	if b {
		return 1
	}
	return 0
}
