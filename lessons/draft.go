package lessons

import (
	"context"
	"slices"

	"shaftbook/kernel/source"
)

// Among returns what is wrong with a lesson in the place that it would have in the
// catalog: its order, what it needs, its links and images. A lesson of the catalog with
// its slug gives way. If Own is set, it stands among those of the further folders.
func (s *Catalog) Among(l *Lesson) source.List {
	with := *s
	with.Lessons = slices.DeleteFunc(slices.Clone(s.Lessons), func(o *Lesson) bool { return o.Slug == l.Slug })
	first := 0
	if l.Own {
		first = len(with.Lessons)
		if i := slices.IndexFunc(with.Lessons, func(o *Lesson) bool { return o.Own }); i >= 0 {
			first = i
		}
	}
	at := first
	for at < len(with.Lessons) && with.Lessons[at].Own == l.Own && with.Lessons[at].Order <= l.Order {
		at++
	}
	with.Lessons = slices.Insert(with.Lessons, at, l)
	return with.check(first, at)
}

// CheckInTurn is Check one part after another, for a server that shares out its
// processors.
func CheckInTurn(ctx context.Context, l *Lesson, all bool) (list source.List, err error) {
	for _, run := range l.checkTasks(all) {
		found, err := run(ctx)
		if err != nil {
			return nil, err
		}
		list = append(list, found...)
	}
	return list, nil
}
