package contract

import (
	"context"
	"time"

	"shaftbook/exercises/store"
)

// A Work store keeps learners' work.
type Work interface {
	Attempts
	Predictions
	Hints
	Secrets
	Edits
	Pages
	Shares
	Practice

	// Close waits for writes that are under way and closes the store. Everything
	// after it is ErrClosed.
	Close() error
}

// Attempts keeps answers with the verdict on each.
type Attempts interface {
	// Submit keeps an attempt and gives it the next number at its place. An
	// attempt that repeats an earlier submission (the same learner and
	// identifier, the same place and answer) changes nothing: the earlier
	// attempt is returned with its verdict, and repeat is true.
	//
	// tries is how many attempts a place allows, Free ones not counted; 0 is no
	// limit. An attempt beyond them is ErrNoTries. A known identifier with
	// another answer is ErrReused, and one with missing or impossible fields
	// ErrInvalid. Identifiers of two learners, or at two
	// exercises, have nothing to do with each other.
	Submit(ctx context.Context, a store.Attempt, tries int) (kept store.Attempt, repeat bool, err error)

	// Attempts returns a learner's attempts at one exercise, all parts and
	// series, in the order they were made.
	Attempts(ctx context.Context, learner, lesson, exercise string) ([]store.Attempt, error)
}

// Predictions keeps what learners expect before they see a result.
type Predictions interface {
	// Commit keeps a prediction. A repeat of the same submission returns what
	// was kept with repeat true. Where the place has another prediction, that
	// one is returned with ErrCommitted; a known identifier with other content is
	// ErrReused.
	AddPrediction(ctx context.Context, p store.Prediction) (kept store.Prediction, repeat bool, err error)

	// Predictions returns a learner's predictions in one lesson in the order
	// they were committed.
	Predictions(ctx context.Context, learner, lesson string) ([]store.Prediction, error)
}

// Hints keeps which hints a learner has been shown.
type Hints interface {
	// Reveal keeps that a hint was shown; a hint that was shown before keeps its
	// first time.
	Reveal(ctx context.Context, h store.Hint) error

	// Hints returns the hints a learner has had shown at one exercise, ordered by
	// part, series and level.
	Hints(ctx context.Context, learner, lesson, exercise string) ([]store.Hint, error)
}

// Secrets keeps the keys from which learners' numbers are drawn.
type Secrets interface {
	// Secret returns the secret kept under a name. If there is no such secret, fresh is
	// kept and returned. A secret is part of every backup, so that what was drawn
	// with it can be drawn again.
	Secret(ctx context.Context, name string, fresh []byte) ([]byte, error)
}

// Edits keeps learners' own copies of lessons.
type Edits interface {
	// Save keeps changes to a learner's copy of a lesson, all or none. base is
	// the revision that the device last saw.
	//
	// Two devices may change the same thing. The latest save to reach the store
	// wins, whatever its base. What it replaced without having seen it is handed
	// back in Saved.Overwritten, so that nothing is lost unnoticed. Saving what
	// is there already changes nothing, so a save may be sent twice.
	Save(ctx context.Context, learner, lesson string, base int64, changes []store.Edit, at time.Time) (store.Saved, error)

	// Working returns a learner's copy of a lesson.
	Working(ctx context.Context, learner, lesson string) (store.Working, error)

	// Restore drops all of a learner's edits of a lesson. What it dropped is in
	// Saved.Overwritten, so that the press can be taken back.
	Restore(ctx context.Context, learner, lesson string) (store.Saved, error)
}

// Pages keeps learners' own pages, each under its learner and identifier, with
// some earlier texts. What is not there, or is another learner's, is
// [class.ErrNone].
type Pages interface {
	// AddPage keeps a new page at ChangedAt. The same page again changes nothing;
	// a known identifier with another text is ErrReused. With most pages that
	// are not deleted it is ErrPagesFull.
	AddPage(ctx context.Context, learner string, p store.Page, most int) error

	// WritePage gives a page that is not deleted the name, text and writer of p at
	// p.ChangedAt, and returns it as kept. If the page is not at revision base,
	// nothing is changed, and the page as it is comes back with ErrMoved: the
	// caller decides what becomes of both texts. A page that already has the name
	// and the text stays as it is. With a reason to keep it, the text that is
	// replaced becomes a version.
	WritePage(ctx context.Context, learner string, p store.Page, base int64, keep store.VersionReason) (store.Page, error)

	// Page returns a page, also one that was deleted. Pages returns all of a
	// learner's without their texts, the one changed last first.
	Page(ctx context.Context, learner, id string) (store.Page, error)
	Pages(ctx context.Context, learner string) ([]store.Page, error)

	// PageVersions returns the versions of a page, the newest first.
	PageVersions(ctx context.Context, learner, id string) ([]store.PageVersion, error)

	// DeletePage marks a page as deleted; BringBackPage takes the mark away, or is
	// ErrPagesFull. Of the deleted pages the store keeps MostDeleted. RemovePage
	// deletes a page permanently, with its versions, links and notes.
	DeletePage(ctx context.Context, learner, id string, at time.Time) error
	BringBackPage(ctx context.Context, learner, id string, most int) error
	RemovePage(ctx context.Context, learner, id string) error
}

// Shares keeps links with which anybody can see a page of a learner's own.
type Shares interface {
	// AddShare keeps a link to a page that is not deleted. With most links to the page
	// that have not ended at MadeAt it is ErrSharesFull. Links of the page that have
	// ended are forgotten.
	AddShare(ctx context.Context, s store.Share, most int) error

	// Shared returns the link of a hash and the page that it shows at a time.
	// [class.ErrNone] if there is no such link, it has ended or the page is deleted;
	// that of a page that is brought back works again.
	Shared(ctx context.Context, hash string, now time.Time) (store.Share, store.Page, error)

	// SharesOf returns the links to a page that have not ended at a time, the oldest
	// first; AllShares those of everybody.
	SharesOf(ctx context.Context, learner, page string, now time.Time) ([]store.Share, error)
	AllShares(ctx context.Context, now time.Time) ([]store.Share, error)

	// WithdrawShare deletes a link of a learner, or of anybody if learner is empty. A
	// link that is not there is [class.ErrNone].
	WithdrawShare(ctx context.Context, learner, id string) error
}

// Practice keeps how well exercises hold that learners practise, and sums up how far a
// learner has come.
type Practice interface {
	// Practise keeps a practice in the place of the earlier one of the same exercise.
	// Of a learner at most that many are kept, those practised last.
	Practise(ctx context.Context, p store.Practice, most int) error

	// Progress returns how far a learner has come in all lessons, assigned ones by
	// their keys.
	Progress(ctx context.Context, learner string) (store.Progress, error)
}
