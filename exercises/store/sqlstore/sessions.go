package sqlstore

import (
	"context"
	"database/sql"
	"time"

	"shaftbook/exercises/class"
)

const (
	insertSession = `INSERT INTO sessions (hash, person, made_us, seen_us, ends_us) VALUES ($1, $2, $3, $4, $5)`
	endedSessions = `DELETE FROM sessions WHERE person = $1 AND ends_us <= $2`
	sessionByHash = `SELECT s.hash, s.person, s.made_us, s.seen_us, s.ends_us, ` + personColumns + `
	FROM sessions s JOIN people p ON p.id = s.person WHERE s.hash = $1 AND s.ends_us > $2`
	touchSession  = `UPDATE sessions SET seen_us = $2, ends_us = $3 WHERE hash = $1 RETURNING hash`
	deleteSession = `DELETE FROM sessions WHERE hash = $1`
)

// signed is a session and whose it is.
type signed struct {
	session class.Session
	person  class.Person
}

// OpenSession implements contract.School. Sessions of the person that have ended
// are taken away.
func (s *Store) OpenSession(ctx context.Context, n class.Session) error {
	if err := sound(n); err != nil {
		return err
	}
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasPerson, n.Person); err != nil {
			return err
		}
		if err := tx.exec(ctx, endedSessions, n.Person, n.MadeAt.UnixMicro()); err != nil {
			return err
		}
		return tx.exec(ctx, insertSession, n.Hash, n.Person, n.MadeAt.UnixMicro(), n.SeenAt.UnixMicro(), n.EndsAt.UnixMicro())
	})
}

// SessionOf implements contract.School.
func (s *Store) SessionOf(ctx context.Context, hash string, now time.Time) (class.Session, class.Person, error) {
	got, err := one(ctx, s.query, scanSession, sessionByHash, hash, now.UnixMicro())
	return got.session, got.person, err
}

// TouchSession implements contract.School.
func (s *Store) TouchSession(ctx context.Context, hash string, seen, ends time.Time) error {
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		return must(ctx, tx.query, touchSession, hash, seen.UnixMicro(), ends.UnixMicro())
	})
}

// EndSession implements contract.School. Ending one that has ended changes nothing.
func (s *Store) EndSession(ctx context.Context, hash string) error {
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error { return tx.exec(ctx, deleteSession, hash) })
}

// EndSessions implements contract.School.
func (s *Store) EndSessions(ctx context.Context, person string) error {
	return s.alter(ctx, func(ctx context.Context, tx *transaction) error { return tx.exec(ctx, deleteSessions, person) })
}

func scanSession(rows *sql.Rows) (signed, error) {
	var g signed
	var made, seen, ends, madePerson int64
	var instructor int
	err := rows.Scan(append([]any{&g.session.Hash, &g.session.Person, &made, &seen, &ends},
		personFields(&g.person, &instructor, &madePerson)...)...)
	g.session.MadeAt, g.session.SeenAt, g.session.EndsAt = moment(made), moment(seen), moment(ends)
	g.person.Instructor, g.person.MadeAt = instructor == 1, moment(madePerson)
	return g, err
}
