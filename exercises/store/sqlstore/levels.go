package sqlstore

import (
	"context"
	"database/sql"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const (
	levelByHash = `SELECT much, at_us, until_us, had, gone_us FROM levels WHERE hash = $1`
	upsertLevel = `
INSERT INTO levels (hash, much, at_us, until_us, had, gone_us) VALUES ($1, $2, $3, $4, $5, $6)
ON CONFLICT (hash) DO UPDATE SET
	much = excluded.much, at_us = excluded.at_us, until_us = excluded.until_us, had = excluded.had, gone_us = excluded.gone_us`
	deleteLevel = `DELETE FROM levels WHERE hash = $1`
	goneLevels  = `DELETE FROM levels WHERE gone_us <= $1`
)

// forgetEvery is how often levels that are gone are deleted, while others change.
const forgetEvery = time.Minute

// Level implements contract.Levels. A transaction holds one row at most, so that it
// can wait for none that waits for it.
func (s *Store) Level(ctx context.Context, key string, next func(store.Level) store.Level) error {
	hash := class.HashText(key)
	var l store.Level
	_, err := change(ctx, s, "level "+hash, func(ctx context.Context, tx *transaction) (struct{}, error) {
		if s.dialect.Hasty != "" {
			if err := tx.exec(ctx, s.dialect.Hasty); err != nil {
				return struct{}{}, err
			}
		}
		var was store.Level
		if err := tx.query(ctx, collectLevel(&was), levelByHash, hash); err != nil {
			return struct{}{}, err
		}
		switch l = next(was); {
		case l == was:
			return struct{}{}, nil
		case l == store.Level{}:
			return struct{}{}, tx.exec(ctx, deleteLevel, hash)
		}
		return struct{}{}, tx.exec(ctx, upsertLevel, hash, l.Much, micros(l.At), micros(l.Until), l.Had, micros(l.Gone))
	})
	if err != nil {
		return err
	}
	return s.forgetLevels(ctx, l.At)
}

// forgetLevels deletes what is gone at a time, if that was not done a short while
// ago.
func (s *Store) forgetLevels(ctx context.Context, now time.Time) error {
	last := s.forgot.Load()
	if now.IsZero() || now.UnixMicro()-last < forgetEvery.Microseconds() || !s.forgot.CompareAndSwap(last, now.UnixMicro()) {
		return nil
	}
	_, err := change(ctx, s, "levels", func(ctx context.Context, tx *transaction) (struct{}, error) {
		return struct{}{}, tx.exec(ctx, goneLevels, now.UnixMicro())
	})
	return err
}

func collectLevel(l *store.Level) func(*sql.Rows) error {
	return func(rows *sql.Rows) error {
		var at, until, gone int64
		err := rows.Scan(&l.Much, &at, &until, &l.Had, &gone)
		l.At, l.Until, l.Gone = momentOrNone(at), momentOrNone(until), momentOrNone(gone)
		return err
	}
}

// micros is a time as levels keep it; momentOrNone reads it.
func micros(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

func momentOrNone(us int64) time.Time {
	if us == 0 {
		return time.Time{}
	}
	return moment(us)
}
