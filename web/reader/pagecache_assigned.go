package reader

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
)

// mostAssigned bounds the assigned lessons that are kept made; one holds its
// page and the cells, some hundred kilobytes.
const mostAssigned = 64

// assignedKey is the key of an assignment and the hash of its text.
type assignedKey struct{ key, text string }

// given returns the page of an assigned lesson at the version in which it was
// given, without a look at who may see it.
func (b *PageCache) given(ctx context.Context, a class.Assignment) (*lessonPage, error) {
	return b.assigned.Do(assignedKey{a.Key(), a.Text}, func() (*lessonPage, error) {
		l, err := assignment.Lesson(ctx, b.classes, &a)
		if err != nil {
			return nil, err
		}
		return b.newPage(l, nil, nil), nil
	})
}
