package reader

import (
	"context"
	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"sync"
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

// given returns the page of an assigned lesson at the version in which it was
// given, whoever asks.
func (b *PageCache) given(ctx context.Context, a class.Assignment) (*lessonPage, error) {
	k := assignedKey{a.Key(), a.Text}
	b.assigned.mu.Lock()
	p := b.assigned.kept[k]
	b.assigned.mu.Unlock()
	if p != nil {
		return p, nil
	}
	l, err := assignment.Lesson(ctx, b.classes, &a)
	if err != nil {
		return nil, err
	}
	made := b.newPage(l)
	b.assigned.mu.Lock()
	defer b.assigned.mu.Unlock()
	if p := b.assigned.kept[k]; p != nil {
		return p, nil // somebody else was quicker: one page for all
	}
	if b.assigned.kept == nil || len(b.assigned.kept) >= mostAssigned {
		b.assigned.kept = map[assignedKey]*lessonPage{}
	}
	b.assigned.kept[k] = made
	return made, nil
}
