package sqlstore

import (
	"context"
	"database/sql"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const classColumns = `c.id, c.name, c.term, c.zone, c.join_code, c.made_us`

const (
	insertClass = `INSERT INTO classes (id, name, term, zone, join_code, made_us) VALUES ($1, $2, $3, $4, $5, $6)`
	updateClass = `UPDATE classes SET name = $2, term = $3, zone = $4, join_code = $5 WHERE id = $1`
	hasClass    = `SELECT id FROM classes WHERE id = $1`
	codeOfOther = `SELECT id FROM classes WHERE join_code = $1 AND join_code <> '' AND id <> $2`
	classByID   = `SELECT ` + classColumns + ` FROM classes c WHERE c.id = $1`
	classByCode = `SELECT ` + classColumns + ` FROM classes c WHERE c.join_code = $1 AND c.join_code <> ''`
)

// AddClass implements contract.School.
func (s *Store) AddClass(ctx context.Context, c class.Class, staff []string, assigned []class.Assignment, e class.Entry) error {
	if err := sound(c, staff, assigned, e); err != nil {
		return err
	}
	if c.ID == "" {
		return fmt.Errorf("%w: a class needs an identifier", store.ErrInvalid)
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := mayAddClass(ctx, tx, &c, staff, assigned); err != nil {
			return err
		}
		if err := tx.exec(ctx, insertClass, c.ID, c.Name, c.Term, c.Zone, c.JoinCode, c.MadeAt.UnixMicro()); err != nil {
			return err
		}
		for _, person := range staff {
			m := class.Member{Class: c.ID, Person: person, Role: class.Staff, Since: c.MadeAt}
			if err := putMember(ctx, tx, &m); err != nil {
				return err
			}
		}
		for i := range assigned {
			if err := addAssignment(ctx, tx, &assigned[i]); err != nil {
				return err
			}
		}
		return note(ctx, tx, &e)
	})
}

// mayAddClass refuses a class before anything of it is written.
func mayAddClass(ctx context.Context, tx *transaction, c *class.Class, staff []string, assigned []class.Assignment) error {
	there, err := has(ctx, tx.query, hasClass, c.ID)
	if err != nil {
		return err
	}
	if there {
		return class.ErrTaken
	}
	if err := freeCode(ctx, tx, c); err != nil {
		return err
	}
	for _, person := range staff {
		if err := must(ctx, tx.query, hasPerson, person); err != nil {
			return err
		}
	}
	ids := make(map[string]bool)
	for _, a := range assigned {
		if a.Class != c.ID {
			return fmt.Errorf("%w: a copied assignment is of another class", store.ErrInvalid)
		}
		if err := must(ctx, tx.query, hasText, a.Text); err != nil {
			return err
		}
		there, err := has(ctx, tx.query, hasAssignment, a.ID)
		if err != nil {
			return err
		}
		if there || ids[a.ID] {
			return class.ErrTaken
		}
		ids[a.ID] = true
	}
	return nil
}

func freeCode(ctx context.Context, tx *transaction, c *class.Class) error {
	taken, err := has(ctx, tx.query, codeOfOther, c.JoinCode, c.ID)
	if err == nil && taken {
		err = class.ErrTaken
	}
	return err
}

// UpdateClass implements contract.School.
func (s *Store) UpdateClass(ctx context.Context, c class.Class, e class.Entry) error {
	if err := sound(c, e); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasClass, c.ID); err != nil {
			return err
		}
		if err := freeCode(ctx, tx, &c); err != nil {
			return err
		}
		if err := tx.exec(ctx, updateClass, c.ID, c.Name, c.Term, c.Zone, c.JoinCode); err != nil {
			return err
		}
		return note(ctx, tx, &e)
	})
}

// Class implements contract.School.
func (s *Store) Class(ctx context.Context, id string) (class.Class, error) {
	return one(ctx, s.query, scanClass, classByID, id)
}

// ClassByCode implements contract.School.
func (s *Store) ClassByCode(ctx context.Context, code string) (class.Class, error) {
	return one(ctx, s.query, scanClass, classByCode, code)
}

func scanClass(rows *sql.Rows) (class.Class, error) {
	var c class.Class
	var made int64
	err := rows.Scan(&c.ID, &c.Name, &c.Term, &c.Zone, &c.JoinCode, &made)
	c.MadeAt = moment(made)
	return c, err
}
