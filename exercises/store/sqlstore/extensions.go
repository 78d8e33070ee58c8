package sqlstore

import (
	"context"
	"database/sql"

	"shaftbook/exercises/class"
)

const (
	upsertExtension = `
INSERT INTO extensions (assignment, person, due_us, closes_us, reason, made_by, at_us) VALUES ($1, $2, $3, $4, $5, $6, $7)
ON CONFLICT (assignment, person) DO UPDATE SET due_us = excluded.due_us, closes_us = excluded.closes_us,
	reason = excluded.reason, made_by = excluded.made_by, at_us = excluded.at_us`
	deleteExtension = `DELETE FROM extensions WHERE assignment = $1 AND person = $2`

	selectExtension = `SELECT assignment, person, due_us, closes_us, reason, made_by, at_us FROM extensions `
	extensionsOf    = selectExtension + `WHERE assignment = $1 ORDER BY person`
	extensionsFor   = selectExtension + `WHERE person = $1 ORDER BY assignment`
)

// SetExtension implements contract.School.
func (s *Store) SetExtension(ctx context.Context, x class.Extension, e class.Entry) error {
	if err := sound(x, e); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasAssignment, x.Assignment); err != nil {
			return err
		}
		if err := must(ctx, tx.query, hasPerson, x.Person); err != nil {
			return err
		}
		if err := putExtension(ctx, tx, &x); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

func putExtension(ctx context.Context, tx *transaction, x *class.Extension) error {
	if x.Due.IsZero() {
		return tx.exec(ctx, deleteExtension, x.Assignment, x.Person)
	}
	return tx.exec(ctx, upsertExtension, x.Assignment, x.Person, x.Due.UnixMicro(), x.Closes.UnixMicro(), x.Reason, x.By,
		x.At.UnixMicro())
}

// Extensions implements contract.School.
func (s *Store) Extensions(ctx context.Context, assignment string) ([]class.Extension, error) {
	return list(ctx, s.query, scanExtension, extensionsOf, assignment)
}

func scanExtension(rows *sql.Rows) (class.Extension, error) {
	var x class.Extension
	var due, closes, at int64
	err := rows.Scan(&x.Assignment, &x.Person, &due, &closes, &x.Reason, &x.By, &at)
	x.Due, x.Closes, x.At = moment(due), moment(closes), moment(at)
	return x, err
}
