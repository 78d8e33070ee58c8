package web

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/live"
	"shaftbook/web/page"
	"shaftbook/web/reader"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// newHub returns the hub of the live connections of lessons.
func (s *Server) newHub() *live.Hub {
	c := live.Config{
		Origins:    append(ownOrigins(s.scheme(), s.listener.Addr()), s.Origins...),
		Queue:      s.queue,
		Holder:     s.holder,
		Lesson:     s.liveCells,
		NewWorking: newWorking,
		Row:        s.rows.Row,
		Spoken:     page.Spoken,
		Judge:      reader.JudgeDerivation,
		Here:       s.keepHere,
		Still:      s.mayStay,
		Log:        s.Log,
	}
	if s.Metrics != nil {
		c.Meter, c.Sockets = s.Metrics, s.Metrics.Sockets("lesson")
	}
	return live.NewHub(c)
}

func newWorking(progress func(fraction float64, what string)) live.Working {
	w := kernel.NewWorking(kernel.Limits{})
	w.Progress = progress
	return w
}

// holder returns the person to whom a live connection belongs.
func (s *Server) holder(r *http.Request) live.Holder {
	if secret := r.PathValue("token"); secret != "" {
		return live.Holder{Link: secret, Address: s.site.ClientOf(r), Turns: s.turnsOf(r)}
	}
	v := request.VisitorFrom(r)
	return live.Holder{Person: v.Person.ID, Learner: reader.LearnerOf(r), Session: v.Session, Address: s.site.ClientOf(r), Turns: s.turnsOf(r)}
}

// liveCells returns the cells that a live connection works on; the page for
// one's own derivation has none.
func (s *Server) liveCells(ctx context.Context, who live.Holder, name string) (l live.Lesson, err error) {
	ctx = turns.With(ctx, s.queue, who.Turns)
	switch {
	case who.Link != "" && name != page.SharedKey(who.Link):
		return l, class.ErrNone
	case who.Link != "":
		l.Cells, l.Lacking, err = s.reader.SharedCells(ctx, who.Link)
		return l, err
	case name == "":
		return l, nil
	}
	if isShown(name) {
		l.Cells, l.Lacking, err = s.reader.ShownCells(ctx, who.Person, name)
		return l, err
	}
	if id, own := strings.CutPrefix(name, reader.OwnKey("")); own {
		l.Cells, l.Lacking, err = s.reader.OwnCells(ctx, who.Learner, id)
		return l, err
	}
	ctx = s.catalog.Hold(ctx)
	l.Cells, l.Lacking, err = s.reader.Pages.Cells(ctx, who.Person, name)
	if err != nil {
		return l, err
	}
	of, err := s.reader.Pages.Lesson(ctx, who.Person, name)
	if err != nil {
		return l, err
	}
	l.Version = of.Version()
	return l, nil
}

// isShown reports whether a name is that of a page which a student shows to a class.
func isShown(name string) bool { return strings.HasPrefix(name, "class/") }

// sharedLive opens a live connection to the page of a link, and to nothing else. The
// visitor is nobody there, signed in or not.
func (s *Server) sharedLive(w http.ResponseWriter, r *http.Request) {
	if _, _, err := s.reader.OpenShared(w, r); err != nil {
		s.site.FailStore(w, r, err)
		return
	}
	s.hub.ServeHTTP(w, r)
}

// mayStay reports whether the holder of a live connection is still signed in, and
// may still see its lesson. A fault of the store is not a reason to close it.
func (s *Server) mayStay(ctx context.Context, who live.Holder, lesson string) bool {
	if who.Link != "" {
		return s.reader.IsShared(ctx, who.Link)
	}
	if s.Classes == nil {
		return true
	}
	if !s.account.Sessions.Refresh(ctx, who.Session) {
		return false
	}
	if isShown(lesson) {
		_, _, err := s.reader.ShownCells(ctx, who.Person, lesson)
		return !errors.Is(err, class.ErrNone)
	}
	if _, assigned := class.SplitKey(lesson); assigned == "" {
		return true
	}
	_, err := s.reader.Pages.Lesson(ctx, who.Person, lesson)
	return !assignment.IsRefused(err)
}

// keepHere keeps where in an assigned lesson a person is. Of lessons that are
// read freely there is no room to show it in, so it is not kept.
func (s *Server) keepHere(ctx context.Context, who live.Holder, lesson, place string) error {
	if _, assignment := class.SplitKey(lesson); s.Classes == nil || assignment == "" {
		return nil
	}
	l, err := s.reader.Pages.Lesson(ctx, who.Person, lesson)
	if err != nil {
		return err
	}
	if !hasPlace(l, place) {
		return live.ErrNowhere
	}
	return s.Classes.Here(ctx, class.Presence{Person: who.Person, Lesson: lesson, Place: place, At: s.site.Now()})
}

// hasPlace reports whether a lesson has a heading or a cell of that id.
func hasPlace(l *lessons.Lesson, place string) bool {
	_, isCell := l.Cell(place)
	return isCell || l.HasAnchor(place)
}
