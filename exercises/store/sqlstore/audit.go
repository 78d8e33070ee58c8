package sqlstore

import (
	"context"
	"database/sql"
	"math"

	"shaftbook/exercises/class"
)

const (
	insertEntry = `
INSERT INTO entries (class, made_by, at_us, action, about, assignment, exercise, detail)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`
	selectEntry  = `SELECT id, class, made_by, at_us, action, about, assignment, exercise, detail FROM entries `
	entriesOf    = selectEntry + `WHERE class = $1 AND ($2 = '' OR about = $2) AND id < $3 ORDER BY id DESC LIMIT $4`
	entriesAbout = selectEntry + `WHERE about = $1 ORDER BY id DESC`
)

// note writes to the log, inside the transaction of what it records.
func note(ctx context.Context, tx *transaction, e *class.Entry) error {
	if e.Action == "" {
		return nil
	}
	return tx.exec(ctx, insertEntry, e.Class, e.By, e.At.UnixMicro(), e.Action, e.About, e.Assignment, e.Exercise, e.Detail)
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
	return list(ctx, s.query, scanEntry, entriesOf, of, about, before, max(limit, 0))
}

func scanEntry(rows *sql.Rows) (class.Entry, error) {
	var e class.Entry
	var at int64
	err := rows.Scan(&e.ID, &e.Class, &e.By, &at, &e.Action, &e.About, &e.Assignment, &e.Exercise, &e.Detail)
	e.At = moment(at)
	return e, err
}
