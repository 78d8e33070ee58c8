package store

import (
	"context"
	"time"
)

// A Store keeps learners' work. It is safe for concurrent use. Package
// storetest holds every implementation to what is said here.
//
// A method that writes returns without error only when what it wrote is
// durable: it survives the end of the process, and, as far as the disk keeps
// its word, of the machine. After an error that is not a [Refusal], also one of
// ctx, the work may or may not have been kept; sending it again is always right.
//
// A method that writes is ErrErased for a learner who was erased (see package
// class).
//
// Errors: a [Refusal] or a [Fault] in the sense of errors.Is, or the error of
// ctx.
type Store interface {
	// Submit keeps an attempt and gives it the next number at its place. An
	// attempt that repeats an earlier submission (the same learner and
	// identifier, the same place and answer) changes nothing: the earlier
	// attempt is returned with its verdict, and repeat is true.
	//
	// tries is how many attempts a place allows, Free ones not counted; 0 is no
	// limit. An attempt beyond them is ErrNoTries. A known identifier with
	// another answer is ErrReused, and one with missing or impossible fields
	// ErrInvalid. Identifiers of two learners have nothing to do with each other.
	Submit(ctx context.Context, a Attempt, tries int) (kept Attempt, repeat bool, err error)

	// Attempts returns a learner's attempts at one exercise, all parts and
	// series, in the order they were made.
	Attempts(ctx context.Context, learner, lesson, exercise string) ([]Attempt, error)

	// Commit keeps a prediction. A repeat of the same submission returns what
	// was kept with repeat true. Where the place has another prediction, that
	// one is returned with ErrCommitted; a known identifier with other content is
	// ErrReused.
	Commit(ctx context.Context, p Prediction) (kept Prediction, repeat bool, err error)

	// Predictions returns a learner's predictions in one lesson in the order
	// they were committed.
	Predictions(ctx context.Context, learner, lesson string) ([]Prediction, error)

	// Reveal keeps that a hint was shown; a hint that was shown before keeps its
	// first time.
	Reveal(ctx context.Context, h Hint) error

	// Hints returns the hints a learner has had shown at one exercise, ordered by
	// part, series and level.
	Hints(ctx context.Context, learner, lesson, exercise string) ([]Hint, error)

	// Secret returns the secret kept under a name. If there is none, fresh is
	// kept and returned. A secret is part of every backup, so that what was drawn
	// with it can be drawn again.
	Secret(ctx context.Context, name string, fresh []byte) ([]byte, error)

	// Save keeps changes to a learner's copy of a lesson, all or none. base is
	// the revision that the device last saw.
	//
	// Two devices may change the same thing. The latest save to reach the store
	// wins, whatever its base. What it replaced without having seen it is handed
	// back in Saved.Overwritten, so that nothing is lost unnoticed. Saving what
	// is there already changes nothing, so a save may be sent twice.
	Save(ctx context.Context, learner, lesson string, base int64, changes []Edit, at time.Time) (Saved, error)

	// Working returns a learner's copy of a lesson.
	Working(ctx context.Context, learner, lesson string) (Working, error)

	// Restore drops all of a learner's edits of a lesson. What it dropped is in
	// Saved.Overwritten, so that the press can be taken back.
	Restore(ctx context.Context, learner, lesson string) (Saved, error)

	// Close waits for writes that are under way and closes the store. Everything
	// after it is ErrClosed.
	Close() error
}
