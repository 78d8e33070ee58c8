package sqlstore

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const memberColumns = `m.class, m.person, m.role, m.section, m.gone, m.since_us`

const (
	upsertMember = `
INSERT INTO members (class, person, role, section, gone, since_us) VALUES ($1, $2, $3, $4, $5, $6)
ON CONFLICT (class, person) DO UPDATE SET
	role = excluded.role, section = excluded.section, gone = excluded.gone, since_us = excluded.since_us`

	memberOf  = `SELECT ` + memberColumns + ` FROM members m WHERE m.class = $1 AND m.person = $2`
	membersIn = `SELECT ` + memberColumns + `, ` + personColumns + `
	FROM members m JOIN people p ON p.id = m.person WHERE m.class = $1 ORDER BY p.name, p.id`
	membershipsOf = `SELECT ` + memberColumns + ` FROM members m JOIN classes c ON c.id = m.class
	WHERE m.person = $1 ORDER BY c.made_us DESC, c.id`
	classesOf = `SELECT ` + memberColumns + `, ` + classColumns + ` FROM members m JOIN classes c ON c.id = m.class
	WHERE m.person = $1 ORDER BY c.made_us DESC, c.id`

	homeOf = `SELECT m.class FROM members m WHERE m.person = $1 AND m.role = 'student' AND m.gone = 0
	ORDER BY m.since_us, m.class LIMIT 1`

	// Two people may swap names, so names are given up before they are taken.
	giveUpNames  = `UPDATE people SET folded = '', sourced_id = '' WHERE id = $1`
	changePerson = `UPDATE people SET name = $2, sign_in = $3, folded = $4, email = $5, sourced_id = $6 WHERE id = $1`
)

// ClassesOf implements contract.School.
func (s *Store) ClassesOf(ctx context.Context, person string) ([]class.Class, []class.Member, error) {
	var classes []class.Class
	members, err := list(ctx, s.query, func(rows *sql.Rows) (class.Member, error) {
		var m class.Member
		var c class.Class
		var gone int
		var since, made int64
		err := rows.Scan(append(memberFields(&m, &gone, &since), &c.ID, &c.Name, &c.Term, &c.Zone, &c.JoinCode, &made)...)
		m.Left, m.Since, c.MadeAt = gone == 1, moment(since), moment(made)
		classes = append(classes, c)
		return m, err
	}, classesOf, person)
	if err != nil {
		return nil, nil, err
	}
	return classes, members, nil
}

// Members implements contract.School.
func (s *Store) Members(ctx context.Context, in string) ([]class.Person, []class.Member, error) {
	var everybody []class.Person
	members, err := list(ctx, s.query, func(rows *sql.Rows) (class.Member, error) {
		var m class.Member
		var p class.Person
		var gone, instructor int
		var since, made int64
		err := rows.Scan(append(memberFields(&m, &gone, &since), personFields(&p, &instructor, &made)...)...)
		m.Left, m.Since, p.Instructor, p.MadeAt = gone == 1, moment(since), instructor == 1, moment(made)
		everybody = append(everybody, p)
		return m, err
	}, membersIn, in)
	if err != nil {
		return nil, nil, err
	}
	return everybody, members, nil
}

// Member implements contract.School.
func (s *Store) Member(ctx context.Context, in, person string) (class.Member, error) {
	return one(ctx, s.query, scanMember, memberOf, in, person)
}

// Home implements contract.School.
func (s *Store) Home(ctx context.Context, student string) (string, error) {
	return home(ctx, s.query, student)
}

func home(ctx context.Context, q querier, student string) (string, error) {
	in, err := one(ctx, q, scanText, homeOf, student)
	if errors.Is(err, class.ErrNone) {
		return "", nil
	}
	return in, err
}

// Enrol implements contract.School.
func (s *Store) Enrol(ctx context.Context, added, changed []class.Person, members []class.Member, e class.Entry) error {
	for _, group := range [][]class.Person{added, changed} {
		for i := range group {
			if err := validPerson(&group[i]); err != nil {
				return err
			}
		}
	}
	if err := sound(members, e); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := free(ctx, tx, added, changed); err != nil {
			return err
		}
		if err := mayEnrol(ctx, tx, added, members); err != nil {
			return err
		}
		return enrol(ctx, tx, added, changed, members, &e)
	})
}

// mayEnrol refuses members of what is not there, and a class without staff that
// had some.
func mayEnrol(ctx context.Context, tx *transaction, added []class.Person, members []class.Member) error {
	coming := make(map[string]bool, len(added))
	for _, p := range added {
		coming[p.ID] = true
	}
	staff := make(map[string]map[string]bool) // by class
	had := make(map[string]bool)
	for _, m := range members {
		if m.Role != class.Student && m.Role != class.Staff {
			return fmt.Errorf("%w: a member is a student or staff", store.ErrInvalid)
		}
		if !coming[m.Person] {
			if err := must(ctx, tx.query, hasPerson, m.Person); err != nil {
				return err
			}
		}
		if staff[m.Class] == nil {
			if err := must(ctx, tx.query, hasClass, m.Class); err != nil {
				return err
			}
			now, err := list(ctx, tx.query, scanMember, `SELECT `+memberColumns+` FROM members m WHERE m.class = $1`, m.Class)
			if err != nil {
				return err
			}
			staff[m.Class] = make(map[string]bool)
			for _, o := range now {
				if o.Role == class.Staff && !o.Left {
					staff[m.Class][o.Person], had[m.Class] = true, true
				}
			}
		}
		delete(staff[m.Class], m.Person)
		if m.Role == class.Staff && !m.Left {
			staff[m.Class][m.Person] = true
		}
	}
	for id, left := range staff {
		if had[id] && len(left) == 0 {
			return class.ErrOwnOut
		}
	}
	return nil
}

func enrol(ctx context.Context, tx *transaction, added, changed []class.Person, members []class.Member, e *class.Entry) error {
	for _, p := range changed {
		if err := tx.exec(ctx, giveUpNames, p.ID); err != nil {
			return err
		}
	}
	for _, p := range changed {
		if err := tx.exec(ctx, changePerson, p.ID, p.Name, p.SignIn, class.FoldSignIn(p.SignIn), p.Email, p.SourcedID); err != nil {
			return err
		}
	}
	for i := range added {
		if err := addPerson(ctx, tx, &added[i]); err != nil {
			return err
		}
	}
	for i := range members {
		if err := putMember(ctx, tx, &members[i]); err != nil {
			return err
		}
	}
	return note(ctx, tx, e)
}

func putMember(ctx context.Context, tx *transaction, m *class.Member) error {
	if m.Left {
		if err := tx.exec(ctx, hideAll, m.Class, m.Person); err != nil {
			return err
		}
	}
	return tx.exec(ctx, upsertMember, m.Class, m.Person, string(m.Role), m.Section, digit(m.Left), m.Since.UnixMicro())
}

func memberFields(m *class.Member, gone *int, since *int64) []any {
	return []any{&m.Class, &m.Person, &m.Role, &m.Section, gone, since}
}

func scanMember(rows *sql.Rows) (class.Member, error) {
	var m class.Member
	var gone int
	var since int64
	err := rows.Scan(memberFields(&m, &gone, &since)...)
	m.Left, m.Since = gone == 1, moment(since)
	return m, err
}
