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
ON CONFLICT (lesson, exercise, learner, submission) DO NOTHING
RETURNING attempt_no`

// The same in simple statements. One that inserts what it selects from the same table,
// and returns it, makes SQLite keep two tables of its own for the length of it.
const (
	lastAtPlace  = `SELECT COALESCE(MAX(attempt_no), 0), 0, EXISTS (SELECT 1 FROM erased WHERE hash = $6) FROM attempts` + atPlace
	triedAtPlace = `SELECT COALESCE(MAX(attempt_no), 0), COALESCE(SUM(1 - free), 0), EXISTS (SELECT 1 FROM erased WHERE hash = $6)
	FROM attempts` + atPlace
	atPlace        = ` WHERE lesson = $1 AND exercise = $2 AND learner = $3 AND part = $4 AND series = $5`
	insertNumbered = `
INSERT INTO attempts (learner, submission, lesson, exercise, part, series, answer, reading, verdict, slip, message,
	points, free, variant, program, at_us, checksum, attempt_no)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18)
ON CONFLICT (lesson, exercise, learner, submission) DO NOTHING`
)

const attemptColumns = `submission, learner, lesson, exercise, part, series, attempt_no,
	answer, reading, verdict, slip, message, points, free, variant, program, at_us`

const (
	attemptBySubmission = `SELECT ` + attemptColumns + ` FROM attempts
	WHERE lesson = $1 AND exercise = $2 AND learner = $3 AND submission = $4`
	attemptsAtExercise = `SELECT ` + attemptColumns + ` FROM attempts
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
		number, err := keepAttempt(ctx, tx, &a, max(tries, 0), checksum)
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

// keepAttempt keeps an attempt and returns its number, or 0 where insertAttempt would
// insert nothing.
func keepAttempt(ctx context.Context, tx *transaction, a *store.Attempt, tries int, checksum string) (number int, err error) {
	if tx.store.dialect.InProcess {
		return insertInSteps(ctx, tx, a, tries, checksum)
	}
	err = tx.query(ctx, func(rows *sql.Rows) error { return rows.Scan(&number) }, insertAttempt,
		a.Learner, a.Submission, a.Lesson, a.Exercise, a.Part, a.Series, a.Answer, a.Reading, a.Verdict, a.Slip,
		a.Message, a.Points, digit(a.Free), string(a.Variant), a.Program, a.At.UnixMicro(), tries, class.HashText(a.Learner), checksum)
	return number, err
}

func insertInSteps(ctx context.Context, tx *transaction, a *store.Attempt, tries int, checksum string) (number int, err error) {
	find := lastAtPlace
	if tries > 0 {
		find = triedAtPlace
	}
	var last, used, erased int
	err = tx.query(ctx, func(rows *sql.Rows) error { return rows.Scan(&last, &used, &erased) }, find,
		a.Lesson, a.Exercise, a.Learner, a.Part, a.Series, class.HashText(a.Learner))
	if err != nil || erased > 0 || tries > 0 && used >= tries {
		return 0, err
	}
	inserted, err := tx.count(ctx, insertNumbered,
		a.Learner, a.Submission, a.Lesson, a.Exercise, a.Part, a.Series, a.Answer, a.Reading, a.Verdict, a.Slip,
		a.Message, a.Points, digit(a.Free), string(a.Variant), a.Program, a.At.UnixMicro(), checksum, last+1)
	if err != nil || inserted == 0 {
		return 0, err
	}
	return last + 1, nil
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
	}, attemptBySubmission, a.Lesson, a.Exercise, a.Learner, a.Submission)
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

// ofLearner finds the attempts of a learner through the keys, which begin with lesson
// and exercise: it goes from each pair to the next, and looks for the learner there.
// There are as many pairs as exercises that anybody answered.
const ofLearner = `id IN (
	WITH RECURSIVE at (lesson, exercise) AS (
		SELECT lesson, exercise FROM (SELECT lesson, exercise FROM attempts ORDER BY lesson, exercise LIMIT 1) AS first
		UNION ALL
		SELECT (SELECT n.lesson FROM attempts n WHERE (n.lesson, n.exercise) > (at.lesson, at.exercise) ORDER BY n.lesson, n.exercise LIMIT 1),
			(SELECT n.exercise FROM attempts n WHERE (n.lesson, n.exercise) > (at.lesson, at.exercise) ORDER BY n.lesson, n.exercise LIMIT 1)
		FROM at WHERE at.lesson IS NOT NULL
	)
	SELECT a.id FROM at JOIN attempts a ON a.lesson = at.lesson AND a.exercise = at.exercise AND a.learner = $1)`

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
