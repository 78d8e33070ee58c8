package web

import (
	"context"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/live"
)

// keepHere keeps where in an assigned lesson somebody is. Of lessons that are
// read freely there is no room to show it in, so it is not kept.
func (s *Server) keepHere(ctx context.Context, who live.Holder, lesson, place string) error {
	if _, assignment := class.SplitKey(lesson); s.Class == nil || assignment == "" {
		return nil
	}
	p, err := s.book.page(ctx, who.Person, lesson)
	if err != nil {
		return err
	}
	if !hasPlace(p.lesson, place) {
		return live.ErrNowhere
	}
	return s.Class.Here(ctx, class.Presence{Person: who.Person, Lesson: lesson, Place: place, At: s.now()})
}

// hasPlace reports whether a lesson has a heading or a cell of that id.
func hasPlace(l *lessons.Lesson, place string) bool {
	_, isCell := l.Cell(place)
	return isCell || l.HasAnchor(place)
}
