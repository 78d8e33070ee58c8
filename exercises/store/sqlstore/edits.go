package sqlstore

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"shaftbook/exercises/store"
)

// nextRevision counts a learner's copy of a lesson up.
const nextRevision = `
INSERT INTO workings (learner, lesson, revision) VALUES ($1, $2, 1)
ON CONFLICT (learner, lesson) DO UPDATE SET revision = workings.revision + 1
RETURNING revision`

const upsertEdit = `
INSERT INTO edits (learner, lesson, kind, target, content, basis, revision, at_us)
VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
ON CONFLICT (learner, lesson, kind, target) DO UPDATE SET
	content = excluded.content, basis = excluded.basis, revision = excluded.revision, at_us = excluded.at_us`

// selectWorking gives one row for each edit, or one row of nulls beside the
// revision where there is none, so that revision and edits come from the same
// moment.
const selectWorking = `
SELECT w.revision, e.kind, e.target, e.content, e.basis, e.revision, e.at_us
FROM workings w LEFT JOIN edits e ON e.learner = w.learner AND e.lesson = w.lesson
WHERE w.learner = $1 AND w.lesson = $2 ORDER BY e.kind, e.target`

const (
	deleteEdit  = `DELETE FROM edits WHERE learner = $1 AND lesson = $2 AND kind = $3 AND target = $4`
	deleteEdits = `DELETE FROM edits WHERE learner = $1 AND lesson = $2`
)

// Working implements contract.Work.
func (s *Store) Working(ctx context.Context, learner, lesson string) (store.Working, error) {
	var w store.Working
	err := s.query(ctx, collect(&w), selectWorking, learner, lesson)
	return w, err
}

// Save implements contract.Work.
func (s *Store) Save(ctx context.Context, learner, lesson string, base int64, changes []store.Edit,
	at time.Time) (store.Saved, error) {
	if err := store.ValidateEdits(learner, lesson, changes, at); err != nil {
		return store.Saved{}, err
	}
	return learn(ctx, s, learner, func(ctx context.Context, tx *transaction) (store.Saved, error) {
		w, err := working(ctx, tx, learner, lesson)
		if err != nil {
			return store.Saved{}, err
		}
		saved := store.Saved{Revision: w.Revision}
		var real []store.Edit
		for _, c := range changes {
			old := find(w.Edits, &c)
			if unchanged(old, &c) {
				continue
			}
			if old != nil && old.Revision > base {
				saved.Overwritten = append(saved.Overwritten, *old)
			}
			real = append(real, c)
		}
		if len(real) == 0 {
			return saved, nil
		}
		if saved.Revision, err = bump(ctx, tx, learner, lesson); err != nil {
			return store.Saved{}, err
		}
		for _, c := range real {
			if err := put(ctx, tx, learner, lesson, &c, saved.Revision, at); err != nil {
				return store.Saved{}, err
			}
		}
		return saved, nil
	})
}

// Restore implements contract.Work.
func (s *Store) Restore(ctx context.Context, learner, lesson string) (store.Saved, error) {
	return learn(ctx, s, learner, func(ctx context.Context, tx *transaction) (store.Saved, error) {
		w, err := working(ctx, tx, learner, lesson)
		if err != nil {
			return store.Saved{}, err
		}
		saved := store.Saved{Revision: w.Revision, Overwritten: w.Edits}
		if len(w.Edits) == 0 {
			return saved, nil
		}
		if saved.Revision, err = bump(ctx, tx, learner, lesson); err != nil {
			return store.Saved{}, err
		}
		return saved, tx.exec(ctx, deleteEdits, learner, lesson)
	})
}

func working(ctx context.Context, tx *transaction, learner, lesson string) (store.Working, error) {
	var w store.Working
	err := tx.query(ctx, collect(&w), selectWorking, learner, lesson)
	return w, err
}

// collect returns a scan that adds a row of selectWorking to w.
func collect(w *store.Working) func(*sql.Rows) error {
	return func(rows *sql.Rows) error {
		var kind, target, content, basis sql.NullString
		var revision, at sql.NullInt64
		if err := rows.Scan(&w.Revision, &kind, &target, &content, &basis, &revision, &at); err != nil {
			return err
		}
		if kind.Valid {
			w.Edits = append(w.Edits, store.Edit{Kind: store.EditKind(kind.String), Key: target.String,
				Content: content.String, Basis: basis.String, Revision: revision.Int64, At: moment(at.Int64)})
		}
		return nil
	}
}

// find returns the edit of the thing that c changes, or nil.
func find(edits []store.Edit, c *store.Edit) *store.Edit {
	i := slices.IndexFunc(edits, func(e store.Edit) bool { return e.Kind == c.Kind && e.Key == c.Key })
	if i < 0 {
		return nil
	}
	return &edits[i]
}

func unchanged(old, c *store.Edit) bool {
	if old == nil || c.Original {
		return old == nil && c.Original
	}
	return old.Content == c.Content && old.Basis == c.Basis
}

func bump(ctx context.Context, tx *transaction, learner, lesson string) (revision int64, err error) {
	err = tx.query(ctx, func(rows *sql.Rows) error { return rows.Scan(&revision) }, nextRevision, learner, lesson)
	return revision, err
}

func put(ctx context.Context, tx *transaction, learner, lesson string, c *store.Edit, revision int64,
	at time.Time) error {
	if c.Original {
		return tx.exec(ctx, deleteEdit, learner, lesson, string(c.Kind), c.Key)
	}
	return tx.exec(ctx, upsertEdit, learner, lesson, string(c.Kind), c.Key, c.Content, c.Basis, revision, at.UnixMicro())
}
