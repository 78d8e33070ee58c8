package sqlstore

import (
	"context"
	"database/sql"
	"math"

	"shaftbook/exercises/class"
)

const (
	insertEntry = `
INSERT INTO entries (class, made_by, at_us, action, about, assignment, exercise, detail, checksum)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`
	entriesWith = `SELECT checksum, id, class, made_by, at_us, action, about, assignment, exercise, detail FROM entries
	WHERE about = $1 OR made_by = $1`
	updateEntry  = `UPDATE entries SET made_by = $2, about = $3, detail = $4, checksum = $5 WHERE id = $1`
	selectEntry  = `SELECT id, class, made_by, at_us, action, about, assignment, exercise, detail FROM entries `
	entriesOf    = selectEntry + `WHERE class = $1 AND ($2 = '' OR about = $2) AND id < $3 ORDER BY id DESC LIMIT $4`
	entriesAbout = selectEntry + `WHERE about = $1 ORDER BY id DESC`
)

// note writes to the log, inside the transaction of what it records.
func note(ctx context.Context, tx *transaction, e *class.Entry) error {
	if e.Action == "" {
		return nil
	}
	return tx.exec(ctx, insertEntry, e.Class, e.By, e.At.UnixMicro(), e.Action, e.About, e.Assignment, e.Exercise, e.Detail, entrySum(e))
}

// Note implements contract.School.
func (s *Store) Note(ctx context.Context, e class.Entry) error {
	if err := sound(e); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error { return note(ctx, tx, &e) })
}

// Log implements contract.School.
func (s *Store) Log(ctx context.Context, of, about string, before int64, limit int) ([]class.Entry, error) {
	if before <= 0 {
		before = math.MaxInt64
	}
	return list(ctx, s.query, wholeEntry, entriesOf, of, about, before, max(limit, 0))
}

// forget takes a person out of the log.
func forget(ctx context.Context, tx *transaction, person string) error {
	sums := map[int64]string{}
	entries, err := list(ctx, tx.query, func(rows *sql.Rows) (class.Entry, error) {
		var kept string
		e, err := scanEntry(rows, &kept)
		sums[e.ID] = kept
		return e, err
	}, entriesWith, person)
	if err != nil {
		return err
	}
	for _, e := range entries {
		before := entrySum(&e)
		if e.About == person {
			e.About, e.Detail = "", ""
		}
		if e.By == person {
			e.By = ""
		}
		if err := tx.exec(ctx, updateEntry, e.ID, e.By, e.About, e.Detail, changedSum(sums[e.ID], before, entrySum(&e))); err != nil {
			return err
		}
	}
	return nil
}

func wholeEntry(rows *sql.Rows) (class.Entry, error) { return scanEntry(rows) }

// scanEntry reads the columns of selectEntry, and what is before them.
func scanEntry(rows *sql.Rows, before ...any) (class.Entry, error) {
	var e class.Entry
	var at int64
	err := rows.Scan(append(before, &e.ID, &e.Class, &e.By, &at, &e.Action, &e.About, &e.Assignment, &e.Exercise, &e.Detail)...)
	e.At = moment(at)
	return e, err
}
