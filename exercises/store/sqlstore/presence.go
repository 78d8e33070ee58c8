package sqlstore

import (
	"context"
	"database/sql"
	"time"

	"shaftbook/exercises/class"
)

const (
	upsertPresence = `
INSERT INTO presences (person, lesson, place, at_us) VALUES ($1, $2, $3, $4)
ON CONFLICT (lesson, person) DO UPDATE SET place = excluded.place, at_us = excluded.at_us`
	presentIn = `SELECT person, lesson, place, at_us FROM presences WHERE lesson = $1 AND at_us >= $2 ORDER BY person`
)

// Here implements contract.School.
func (s *Store) Here(ctx context.Context, p class.Presence) error {
	if err := sound(p); err != nil {
		return err
	}
	_, err := learn(ctx, s, p.Person, func(ctx context.Context, tx *transaction) (struct{}, error) {
		if err := tx.exec(ctx, upsertPresence, p.Person, p.Lesson, p.Place, p.At.UnixMicro()); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, tx.tell(ctx, p.Lesson)
	})
	return err
}

// Present implements contract.School.
func (s *Store) Present(ctx context.Context, lesson string, since time.Time) ([]class.Presence, error) {
	return list(ctx, s.query, func(rows *sql.Rows) (class.Presence, error) {
		var p class.Presence
		var at int64
		err := rows.Scan(&p.Person, &p.Lesson, &p.Place, &at)
		p.At = moment(at)
		return p, err
	}, presentIn, lesson, since.UnixMicro())
}
