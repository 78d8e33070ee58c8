package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"shaftbook/exercises/class"
)

const (
	insertLink = `INSERT INTO links (hash, purpose, person, class, made_by, made_us, ends_us)
	VALUES ($1, $2, $3, $4, $5, $6, $7)`
	linkByHash = `SELECT hash, purpose, person, class, made_by, made_us, ends_us FROM links
	WHERE hash = $1 AND ends_us > $2`
	deleteLink   = `DELETE FROM links WHERE hash = $1`
	deleteSetUps = `DELETE FROM links WHERE purpose = 'set-up'`

	claimant = `SELECT p.id FROM people p JOIN members m ON m.person = p.id JOIN classes c ON c.id = m.class
	WHERE c.join_code = $1 AND c.join_code <> '' AND p.id = $2 AND p.password = ''
	AND m.role = 'student' AND m.gone = 0`
)

// PutLink implements contract.School.
func (s *Store) PutLink(ctx context.Context, l class.Link) error {
	if err := sound(l); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := makeWay(ctx, tx, &l); err != nil {
			return err
		}
		return tx.exec(ctx, insertLink, l.Hash, string(l.Purpose), l.Person, l.Class, l.MadeBy,
			l.MadeAt.UnixMicro(), l.EndsAt.UnixMicro())
	})
}

// makeWay ends the links that a new one replaces.
func makeWay(ctx context.Context, tx *transaction, l *class.Link) error {
	switch l.Purpose {
	case class.ForSetUp:
		there, err := has(ctx, tx.query, anyInstructor)
		if err != nil {
			return err
		}
		if there {
			return class.ErrTaken
		}
		return tx.exec(ctx, deleteSetUps)
	case class.ForEntry:
		if err := mayLetIn(ctx, tx, l); err != nil {
			return err
		}
		return tx.exec(ctx, deleteLinks, l.Person)
	}
	return nil
}

// mayLetIn refuses a link that would let someone take over an account which is
// not theirs to look after. An account without a password has no owner yet.
func mayLetIn(ctx context.Context, tx *transaction, l *class.Link) error {
	p, err := one(ctx, tx.query, scanPerson, personByID, l.Person)
	if err != nil || p.Password == "" || l.MadeBy == "" {
		return err
	}
	in, err := home(ctx, tx.query, l.Person)
	if err != nil {
		return err
	}
	m, err := one(ctx, tx.query, scanMember, memberOf, in, l.MadeBy)
	if errors.Is(err, class.ErrNone) || err == nil && (m.Role != class.Staff || m.Left) {
		return class.ErrElsewhere
	}
	return err
}

// LinkOf implements contract.School.
func (s *Store) LinkOf(ctx context.Context, hash string, now time.Time) (class.Link, error) {
	return linkOf(ctx, s.query, hash, now)
}

func linkOf(ctx context.Context, q querier, hash string, now time.Time) (class.Link, error) {
	l, err := one(ctx, q, scanLink, linkByHash, hash, now.UnixMicro())
	return l, spent(err)
}

// spent turns the error of what is not there into class.ErrSpent.
func spent(err error) error {
	if errors.Is(err, class.ErrNone) {
		return class.ErrSpent
	}
	return err
}

// Redeem implements contract.School.
func (s *Store) Redeem(ctx context.Context, hash string, p class.Person, now time.Time) (class.Person, error) {
	if err := sound(p); err != nil {
		return class.Person{}, err
	}
	got, err := change(ctx, s, people, func(ctx context.Context, tx *transaction) (class.Person, error) {
		l, err := linkOf(ctx, tx.query, hash, now)
		if err != nil {
			return class.Person{}, err
		}
		if l.Purpose == class.ForEntry {
			return enter(ctx, tx, &l, p.Password)
		}
		return appoint(ctx, tx, &l, p, now)
	})
	if err != nil {
		return class.Person{}, err
	}
	return got, nil
}

// enter gives the person of a link a password, which uses the link up.
func enter(ctx context.Context, tx *transaction, l *class.Link, encoded string) (class.Person, error) {
	p, err := one(ctx, tx.query, scanPerson, personByID, l.Person)
	if err != nil {
		return p, spent(err)
	}
	p.Password = encoded
	return p, givePassword(ctx, tx, p.ID, encoded)
}

// appoint makes an instructor and uses the link up.
func appoint(ctx context.Context, tx *transaction, l *class.Link, p class.Person, now time.Time) (class.Person, error) {
	p.Instructor, p.MadeAt = true, asStored(p.MadeAt)
	if err := validPerson(&p); err != nil {
		return p, err
	}
	if l.Purpose == class.ForSetUp {
		there, err := has(ctx, tx.query, anyInstructor)
		if err != nil {
			return p, err
		}
		if there {
			return p, class.ErrSpent
		}
	}
	if l.Class != "" {
		if err := must(ctx, tx.query, hasClass, l.Class); err != nil {
			return p, spent(err)
		}
	}
	there, err := one(ctx, tx.query, scanPerson, personByID, p.ID)
	if err != nil && !errors.Is(err, class.ErrNone) {
		return p, err
	}
	if l.Purpose == class.ForColleague && there.Instructor {
		p = there
	} else if err := admit(ctx, tx, &p); err != nil {
		return p, err
	}
	if err := tx.exec(ctx, deleteLink, l.Hash); err != nil || l.Class == "" {
		return p, err
	}
	return p, putMember(ctx, tx, &class.Member{Class: l.Class, Person: p.ID, Role: class.Staff, Since: now})
}

// admit adds a person whose names are free.
func admit(ctx context.Context, tx *transaction, p *class.Person) error {
	if err := free(ctx, tx, []class.Person{*p}, nil); err != nil {
		return err
	}
	return addPerson(ctx, tx, p)
}

// Claim implements contract.School.
func (s *Store) Claim(ctx context.Context, code, person, encoded string) error {
	if err := sound(code, person, encoded); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, claimant, code, person); err != nil {
			return spent(err)
		}
		return givePassword(ctx, tx, person, encoded)
	})
}

func scanLink(rows *sql.Rows) (class.Link, error) {
	var l class.Link
	var made, ends int64
	err := rows.Scan(&l.Hash, &l.Purpose, &l.Person, &l.Class, &l.MadeBy, &made, &ends)
	l.MadeAt, l.EndsAt = moment(made), moment(ends)
	return l, err
}
