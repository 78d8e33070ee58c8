package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"

	"shaftbook/exercises/class"
	"shaftbook/exercises/store/contract"
	"shaftbook/lessons"
)

// mostAssigned bounds the assigned lessons that are kept made; one holds its
// page and the cells, some hundred kilobytes.
const mostAssigned = 64

// assignedPages keeps the pages of assigned lessons by key and text. The zero
// value is empty.
type assignedPages struct {
	mu   sync.Mutex
	kept map[assignedKey]*lessonPage
}

type assignedKey struct{ key, text string }

var errWithdrawn = &refusal{http.StatusGone, "withdrawn", "This assignment was withdrawn", "Your instructor has taken it back. What you did is kept. The lesson itself stands in the list."}

// assignedTo returns the page of an assigned lesson by its key, for one who is
// in its class: for staff always, for a student from the time it opens until it
// is withdrawn. To others it is not there.
func (b *book) assignedTo(ctx context.Context, person, key string) (*lessonPage, error) {
	lesson, id := class.SplitKey(key)
	if id == "" || b.server.Class == nil {
		return nil, errNoLesson
	}
	a, err := b.server.Class.Assignment(ctx, id)
	if errors.Is(err, class.ErrNone) || err == nil && a.Lesson != lesson {
		return nil, errNoLesson
	}
	if err != nil {
		return nil, err
	}
	m, err := b.server.Class.Member(ctx, a.Class, person)
	if errors.Is(err, class.ErrNone) || err == nil && m.Left {
		return nil, errNoLesson
	}
	if err != nil {
		return nil, err
	}
	if m.Role != class.Staff {
		switch terms := a.TermsFor(nil); { // an extension does not move the opening
		case a.Withdrawn:
			return nil, errWithdrawn
		case !terms.Opened(b.server.now()):
			return nil, &refusal{http.StatusForbidden, "not-open", "This is not open yet", "It opens on " + zoned(terms.Opens, a.Zone) + "."}
		}
	}
	return b.assigned(ctx, a)
}

// assigned returns the page of an assigned lesson at the version in which it was
// given, whoever asks.
func (b *book) assigned(ctx context.Context, a class.Assignment) (*lessonPage, error) {
	k := assignedKey{a.Key(), a.Text}
	b.given.mu.Lock()
	p := b.given.kept[k]
	b.given.mu.Unlock()
	if p != nil {
		return p, nil
	}
	l, err := givenLesson(ctx, b.server.Class, &a)
	if err != nil {
		return nil, err
	}
	made := b.newPage(l)
	b.given.mu.Lock()
	defer b.given.mu.Unlock()
	if p := b.given.kept[k]; p != nil {
		return p, nil // somebody else was quicker: one page for all
	}
	if b.given.kept == nil || len(b.given.kept) >= mostAssigned {
		b.given.kept = map[assignedKey]*lessonPage{}
	}
	b.given.kept[k] = made
	return made, nil
}

// givenLesson reads the lesson of an assignment as it was given.
func givenLesson(ctx context.Context, store contract.School, a *class.Assignment) (*lessons.Lesson, error) {
	frozen, err := store.Frozen(ctx, a.Text)
	if err != nil {
		return nil, fmt.Errorf("the text of assignment %s: %w", a.ID, err)
	}
	// What is wrong with it was told when it was assigned.
	l, _ := lessons.Parse(frozen.Name, []byte(frozen.Text))
	l.Slug = a.Key()
	return l, nil
}
