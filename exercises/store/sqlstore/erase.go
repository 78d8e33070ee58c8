package sqlstore

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store"
)

const isStaff = `SELECT p.id FROM people p WHERE p.id = $1
	AND (p.instructor = 1 OR EXISTS (SELECT 1 FROM members m WHERE m.person = p.id AND m.role = 'staff'))`

// erasing takes a person out of every table, those first that refer to others.
var erasing = []string{
	`DELETE FROM attempts WHERE ` + ofLearner,
	`DELETE FROM remarked WHERE learner = $1`,
	`DELETE FROM predictions WHERE learner = $1`,
	`DELETE FROM hints WHERE learner = $1`,
	`DELETE FROM practice WHERE learner = $1`,
	`DELETE FROM edits WHERE learner = $1`,
	`DELETE FROM workings WHERE learner = $1`,
	`DELETE FROM shares WHERE learner = $1`,
	`DELETE FROM shown_pages WHERE learner = $1`,
	`DELETE FROM page_notes WHERE learner = $1`,
	`DELETE FROM page_versions WHERE learner = $1`,
	`DELETE FROM pages WHERE learner = $1`,
	`DELETE FROM lesson_drafts WHERE person = $1`,
	`DELETE FROM lesson_versions WHERE person = $1 AND reason = 'draft'`,
	`UPDATE lesson_versions SET person = '' WHERE person = $1`,
	`DELETE FROM presences WHERE person = $1`,
	`DELETE FROM overrides WHERE person = $1`,
	`DELETE FROM extensions WHERE person = $1`,
	`DELETE FROM members WHERE person = $1`,
	deleteSessions,
	deleteLinks,
	`DELETE FROM people WHERE id = $1`,
}

const (
	insertErased = `INSERT INTO erased (hash) VALUES ($1) ON CONFLICT DO NOTHING`
	wasErased    = `SELECT hash FROM erased WHERE hash = $1`
)

// learn runs do in a durable transaction of a learner's work. Work of a learner
// who was erased is refused: it can have been on its way at that moment. Submit,
// which is called most, asks within its own statement.
func learn[T any](ctx context.Context, s *Store, learner string, do func(context.Context, *transaction) (T, error)) (T, error) {
	return change(ctx, s, learner, func(ctx context.Context, tx *transaction) (T, error) {
		if err := notErased(ctx, tx, learner); err != nil {
			var none T
			return none, err
		}
		return do(ctx, tx)
	})
}

func notErased(ctx context.Context, tx *transaction, learner string) error {
	gone, err := has(ctx, tx.query, wasErased, class.HashText(learner))
	if err == nil && gone {
		err = store.ErrErased
	}
	return err
}

// Erase implements contract.School. On SQLite the file and its log hold no byte of
// what was erased when Erase returns; after an error the rows may be gone while
// their bytes are not, and the next Erase takes those away too. On PostgreSQL the
// rows are dead at once, their bytes stay in the files until vacuum has run and
// the space is used again (VACUUM FULL makes it so now), and in the write-ahead
// log until it is recycled. No backup made before forgets anything.
func (s *Store) Erase(ctx context.Context, person string, e class.Entry) error {
	if err := sound(e); err != nil {
		return err
	}
	if e.About == person {
		e.About = ""
	}
	err := s.alter(ctx, func(ctx context.Context, tx *transaction) error {
		if err := must(ctx, tx.query, hasPerson, person); err != nil {
			return err
		}
		staff, err := has(ctx, tx.query, isStaff, person)
		if err != nil {
			return err
		}
		if staff {
			return class.ErrStaff
		}
		return erase(ctx, tx, person, &e)
	})
	if err != nil || s.dialect.Wipe == nil {
		return err
	}
	return s.fault(s.dialect.Wipe(ctx))
}

func erase(ctx context.Context, tx *transaction, person string, e *class.Entry) error {
	if tx.store.dialect.Serialise != "" { // what the person is sending now comes before or finds no account
		if err := tx.exec(ctx, tx.store.dialect.Serialise, person); err != nil {
			return err
		}
	}
	if err := tx.exec(ctx, insertErased, class.HashText(person)); err != nil {
		return err
	}
	for _, statement := range erasing {
		if err := tx.exec(ctx, statement, person); err != nil {
			return err
		}
	}
	if err := forget(ctx, tx, person); err != nil {
		return err
	}
	return note(ctx, tx, e)
}
