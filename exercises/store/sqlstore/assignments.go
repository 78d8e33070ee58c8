package sqlstore

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const assignmentColumns = `id, class, title, lesson, text_hash, exercises, opens_us, due_us, closes_us, zone,
	late_off, tries, try_off, weight, withdrawn, revision, made_us, changed_us, is_test`

const (
	insertAssignment = `INSERT INTO assignments (` + assignmentColumns + `)
	VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19)`
	updateAssignment = `UPDATE assignments SET title = $2, exercises = $3, opens_us = $4, due_us = $5, closes_us = $6,
	zone = $7, late_off = $8, tries = $9, try_off = $10, weight = $11, withdrawn = $12, changed_us = $13, is_test = $14,
	revision = revision + 1 WHERE id = $1`
	hasAssignment  = `SELECT id FROM assignments WHERE id = $1`
	assignmentByID = `SELECT ` + assignmentColumns + ` FROM assignments WHERE id = $1`
	assignmentsIn  = `SELECT ` + assignmentColumns + ` FROM assignments WHERE class = $1 ORDER BY due_us, id`

	insertText = `INSERT INTO texts (hash, name, content) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`
	hasText    = `SELECT hash FROM texts WHERE hash = $1`
	textByHash = `SELECT hash, name, content FROM texts WHERE hash = $1`

	insertImage = `INSERT INTO text_images (hash, name, content) VALUES ($1, $2, $3) ON CONFLICT DO NOTHING`
	imageOf     = `SELECT content FROM text_images WHERE hash = $1 AND name = $2`
)

// AddAssignment implements contract.School.
func (s *Store) AddAssignment(ctx context.Context, a class.Assignment, text class.Frozen, e class.Entry) error {
	if err := sound(a, text, e); err != nil {
		return err
	}
	if a.ID == "" || a.Text != text.Hash {
		return fmt.Errorf("%w: an assignment needs an identifier and its own text", store.ErrInvalid)
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasClass, a.Class); err != nil {
			return err
		}
		there, err := has(ctx, tx.query, hasAssignment, a.ID)
		if err != nil {
			return err
		}
		if there {
			return class.ErrTaken
		}
		if err := freeze(ctx, tx, &text); err != nil {
			return err
		}
		if err := addAssignment(ctx, tx, &a); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// freeze keeps a text with its images, if it is not kept yet.
func freeze(ctx context.Context, tx *transaction, text *class.Frozen) error {
	if err := tx.exec(ctx, insertText, text.Hash, text.Name, text.Text); err != nil {
		return err
	}
	for _, i := range text.Images {
		if err := tx.exec(ctx, insertImage, text.Hash, i.Name, i.Content); err != nil {
			return err
		}
	}
	return nil
}

func addAssignment(ctx context.Context, tx *transaction, a *class.Assignment) error {
	exercises, err := json.Marshal(a.Exercises)
	if err != nil {
		return err
	}
	return tx.exec(ctx, insertAssignment, a.ID, a.Class, a.Title, a.Lesson, a.Text, string(exercises),
		a.Opens.UnixMicro(), a.Due.UnixMicro(), a.Closes.UnixMicro(), a.Zone, a.LateOff, a.Tries, a.TryOff, a.Weight,
		digit(a.Withdrawn), a.Revision, a.MadeAt.UnixMicro(), a.ChangedAt.UnixMicro(), digit(a.Test))
}

// UpdateAssignment implements contract.School.
func (s *Store) UpdateAssignment(ctx context.Context, a class.Assignment, e class.Entry) error {
	if err := sound(a, e); err != nil {
		return err
	}
	exercises, err := json.Marshal(a.Exercises)
	if err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasAssignment, a.ID); err != nil {
			return err
		}
		err := tx.exec(ctx, updateAssignment, a.ID, a.Title, string(exercises), a.Opens.UnixMicro(), a.Due.UnixMicro(),
			a.Closes.UnixMicro(), a.Zone, a.LateOff, a.Tries, a.TryOff, a.Weight, digit(a.Withdrawn), a.ChangedAt.UnixMicro(), digit(a.Test))
		if err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// Assignment implements contract.School.
func (s *Store) Assignment(ctx context.Context, id string) (class.Assignment, error) {
	return one(ctx, s.query, scanAssignment, assignmentByID, id)
}

// Assignments implements contract.School.
func (s *Store) Assignments(ctx context.Context, in string) ([]class.Assignment, error) {
	return list(ctx, s.query, scanAssignment, assignmentsIn, in)
}

// Frozen implements contract.School.
func (s *Store) Frozen(ctx context.Context, hash string) (class.Frozen, error) {
	return one(ctx, s.query, func(rows *sql.Rows) (f class.Frozen, err error) {
		err = rows.Scan(&f.Hash, &f.Name, &f.Text)
		return f, err
	}, textByHash, hash)
}

// FrozenImage implements contract.School.
func (s *Store) FrozenImage(ctx context.Context, hash, name string) ([]byte, error) {
	return one(ctx, s.query, func(rows *sql.Rows) (content []byte, err error) {
		err = rows.Scan(&content)
		return content, err
	}, imageOf, hash, name)
}

func scanAssignment(rows *sql.Rows) (class.Assignment, error) {
	var a class.Assignment
	var exercises string
	var opens, due, closes, made, changed int64
	var withdrawn, test int
	err := rows.Scan(&a.ID, &a.Class, &a.Title, &a.Lesson, &a.Text, &exercises, &opens, &due, &closes, &a.Zone,
		&a.LateOff, &a.Tries, &a.TryOff, &a.Weight, &withdrawn, &a.Revision, &made, &changed, &test)
	if err != nil {
		return a, err
	}
	a.Opens, a.Due, a.Closes = moment(opens), moment(due), moment(closes)
	a.Withdrawn, a.Test, a.MadeAt, a.ChangedAt = withdrawn == 1, test == 1, moment(made), moment(changed)
	return a, json.Unmarshal([]byte(exercises), &a.Exercises)
}
