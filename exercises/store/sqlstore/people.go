package sqlstore

import (
	"context"
	"database/sql"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const personColumns = `p.id, p.name, p.sign_in, p.email, p.sourced_id, p.instructor, p.password, p.feed, p.made_us`

const (
	insertPerson = `
INSERT INTO people (id, name, sign_in, folded, email, sourced_id, instructor, password, feed, made_us)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`
	updatePerson = `
UPDATE people SET name = $2, sign_in = $3, folded = $4, email = $5, sourced_id = $6, instructor = $7, feed = $8, made_us = $9
WHERE id = $1`

	personByID      = `SELECT ` + personColumns + ` FROM people p WHERE p.id = $1`
	personByFolded  = `SELECT ` + personColumns + ` FROM people p WHERE p.folded = $1 AND p.folded <> ''`
	personBySourced = `SELECT ` + personColumns + ` FROM people p WHERE p.sourced_id = $1 AND p.sourced_id <> ''`
	personByFeed    = `SELECT ` + personColumns + ` FROM people p WHERE p.feed = $1 AND p.feed <> ''`

	anyInstructor = `SELECT id FROM people WHERE instructor = 1 LIMIT 1`
	hasPerson     = `SELECT id FROM people WHERE id = $1`

	setPassword    = `UPDATE people SET password = $2 WHERE id = $1`
	rehash         = `UPDATE people SET password = $3 WHERE id = $1 AND password = $2`
	deleteSessions = `DELETE FROM sessions WHERE person = $1`
	deleteLinks    = `DELETE FROM links WHERE person = $1`
)

// AddPerson implements contract.School.
func (s *Store) AddPerson(ctx context.Context, p class.Person) error {
	if err := validPerson(&p); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := free(ctx, tx, []class.Person{p}, nil); err != nil {
			return err
		}
		return addPerson(ctx, tx, &p)
	})
}

// UpdatePerson implements contract.School.
func (s *Store) UpdatePerson(ctx context.Context, p class.Person) error {
	if err := validPerson(&p); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := free(ctx, tx, nil, []class.Person{p}); err != nil {
			return err
		}
		return tx.exec(ctx, updatePerson, p.ID, p.Name, p.SignIn, class.FoldSignIn(p.SignIn), p.Email, p.SourcedID,
			digit(p.Instructor), p.Feed, p.MadeAt.UnixMicro())
	})
}

func validPerson(p *class.Person) error {
	if p.ID == "" {
		return fmt.Errorf("%w: a person needs an identifier", store.ErrInvalid)
	}
	return sound(*p)
}

// free returns class.ErrTaken if new and changed people cannot exist beside one
// another and everybody else, and class.ErrNone if a changed one is not there.
// Changed people may pass a name on among themselves.
func free(ctx context.Context, tx *transaction, added, changed []class.Person) error {
	touched := make(map[string]bool)
	for _, p := range changed {
		touched[p.ID] = true
		if err := must(ctx, tx.query, hasPerson, p.ID); err != nil {
			return err
		}
	}
	for _, p := range added {
		there, err := has(ctx, tx.query, hasPerson, p.ID)
		if err != nil {
			return err
		}
		if there || touched[p.ID] {
			return class.ErrTaken
		}
		touched[p.ID] = true
	}
	names, sourced := make(map[string]string), make(map[string]string)
	for _, group := range [][]class.Person{added, changed} {
		for _, p := range group {
			for _, claim := range []struct {
				seen        map[string]string
				value, text string
			}{{names, class.FoldSignIn(p.SignIn), personByFolded}, {sourced, p.SourcedID, personBySourced}} {
				if err := claimed(ctx, tx, p.ID, claim.value, claim.text, claim.seen, touched); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// claimed returns class.ErrTaken if a value is that of another person who keeps
// it.
func claimed(ctx context.Context, tx *transaction, id, value, text string, seen map[string]string, touched map[string]bool) error {
	if value == "" {
		return nil
	}
	if owner, there := seen[value]; there && owner != id {
		return class.ErrTaken
	}
	seen[value] = id
	owners, err := list(ctx, tx.query, scanPerson, text, value)
	if err != nil {
		return err
	}
	for _, o := range owners {
		if o.ID != id && !touched[o.ID] {
			return class.ErrTaken
		}
	}
	return nil
}

func addPerson(ctx context.Context, tx *transaction, p *class.Person) error {
	return tx.exec(ctx, insertPerson, p.ID, p.Name, p.SignIn, class.FoldSignIn(p.SignIn), p.Email, p.SourcedID,
		digit(p.Instructor), p.Password, p.Feed, p.MadeAt.UnixMicro())
}

// Person implements contract.School.
func (s *Store) Person(ctx context.Context, id string) (class.Person, error) {
	return one(ctx, s.query, scanPerson, personByID, id)
}

// PersonBySignIn implements contract.School.
func (s *Store) PersonBySignIn(ctx context.Context, signIn string) (class.Person, error) {
	return one(ctx, s.query, scanPerson, personByFolded, class.FoldSignIn(signIn))
}

// PersonBySourcedID implements contract.School.
func (s *Store) PersonBySourcedID(ctx context.Context, sourced string) (class.Person, error) {
	return one(ctx, s.query, scanPerson, personBySourced, sourced)
}

// PersonByFeed implements contract.School.
func (s *Store) PersonByFeed(ctx context.Context, feed string) (class.Person, error) {
	return one(ctx, s.query, scanPerson, personByFeed, feed)
}

// HasInstructor implements contract.School.
func (s *Store) HasInstructor(ctx context.Context) (bool, error) {
	return has(ctx, s.query, anyInstructor)
}

// SetPassword implements contract.School.
func (s *Store) SetPassword(ctx context.Context, person, encoded string) error {
	if err := sound(encoded); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasPerson, person); err != nil {
			return err
		}
		return givePassword(ctx, tx, person, encoded)
	})
}

// Rehash implements contract.School.
func (s *Store) Rehash(ctx context.Context, person, was, encoded string) error {
	if err := sound(encoded); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error { return tx.exec(ctx, rehash, person, was, encoded) })
}

// givePassword sets a password and ends what an earlier one let in.
func givePassword(ctx context.Context, tx *transaction, person, encoded string) error {
	if err := tx.exec(ctx, setPassword, person, encoded); err != nil {
		return err
	}
	if err := tx.exec(ctx, deleteSessions, person); err != nil {
		return err
	}
	return tx.exec(ctx, deleteLinks, person)
}

func personFields(p *class.Person, instructor *int, made *int64) []any {
	return []any{&p.ID, &p.Name, &p.SignIn, &p.Email, &p.SourcedID, instructor, &p.Password, &p.Feed, made}
}

func scanPerson(rows *sql.Rows) (class.Person, error) {
	var p class.Person
	var instructor int
	var made int64
	err := rows.Scan(personFields(&p, &instructor, &made)...)
	p.Instructor, p.MadeAt = instructor == 1, moment(made)
	return p, err
}
