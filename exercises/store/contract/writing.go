package contract

import (
	"context"

	"shaftbook/exercises/class"
)

// Writing keeps lessons while instructors write them, and the texts that their files had.
// What is not there is ErrNone.
type Writing interface {
	// WriteDraft gives a person's draft of a lesson the text and writer of d at
	// d.ChangedAt, and returns it as kept. A draft that is not there is begun with base
	// 0, and with the Base and OnFile of d; a person with most drafts gets
	// store.ErrPagesFull. If the draft is not at revision base, nothing is changed, and
	// the draft as it is comes back with store.ErrMoved. One that already has the text
	// stays as it is. With keep, the text that is replaced becomes a version.
	WriteDraft(ctx context.Context, d class.Draft, base int64, keep bool, most int) (class.Draft, error)
	Draft(ctx context.Context, person, lesson string) (class.Draft, error)
	// Drafts returns a person's drafts without their texts, by lesson; Drafting those of
	// everybody at one lesson, by person.
	Drafts(ctx context.Context, person string) ([]class.Draft, error)
	Drafting(ctx context.Context, lesson string) ([]class.Draft, error)
	DiscardDraft(ctx context.Context, person, lesson string) error

	// Published keeps texts that a lesson's file has had, the oldest first, and ends the
	// draft of a person if it is at a revision, all or nothing. A text that the newest
	// version but for drafts has is not kept again. The store keeps MostPublished.
	Published(ctx context.Context, texts []class.LessonVersion, person string, revision int64) error
	// LessonVersions returns the versions of a lesson without their texts, the newest
	// first: of drafts, those of one person.
	LessonVersions(ctx context.Context, lesson, person string) ([]class.LessonVersion, error)
	// LessonVersion returns a version with its text; of drafts, one of a person's own.
	LessonVersion(ctx context.Context, lesson, person string, number int64) (class.LessonVersion, error)
}
