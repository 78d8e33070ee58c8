package web

import (
	"context"
	"net/http"
	"slices"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/attempt"
	"shaftbook/web/page"
)

// showOwnShelf sends the shelf with what is assigned to whoever asks above the
// lessons.
func (s *Server) showOwnShelf(w http.ResponseWriter, r *http.Request) {
	view := s.book.shelfView("")
	given, err := s.givenTo(r.Context(), of(r).person.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	for _, g := range given {
		line, closed, err := s.givenLine(r.Context(), g, of(r).person.ID)
		switch {
		case err != nil:
			s.failClass(w, r, err)
			return
		case closed:
			view.Closed = append(view.Closed, line)
		default:
			view.Assigned = append(view.Assigned, line)
		}
	}
	s.sendClass(w, r, http.StatusOK, "shelf", view)
}

// givenTo returns what is assigned to a person as a student, by the person's own
// due times.
func (s *Server) givenTo(ctx context.Context, person string) ([]*work, error) {
	classes, members, err := s.Class.ClassesOf(ctx, person)
	if err != nil {
		return nil, err
	}
	var list []*work
	for i, c := range classes {
		if members[i].Left || members[i].Role != class.Student {
			continue
		}
		assigned, err := s.Class.Assignments(ctx, c.ID)
		if err != nil {
			return nil, err
		}
		for _, a := range assigned {
			if a.Withdrawn {
				continue
			}
			at, err := s.workOf(ctx, a, person)
			if err != nil {
				return nil, err
			}
			list = append(list, at)
		}
	}
	slices.SortStableFunc(list, func(a, b *work) int { return a.terms.Due.Compare(b.terms.Due) })
	return list, nil
}

// givenLine is one assignment as it stands for a student, and whether it is
// closed.
func (s *Server) givenLine(ctx context.Context, g *work, person string) (line page.GivenLine, closed bool, err error) {
	a, t, now := &g.assignment, g.terms, s.now()
	line = page.GivenLine{Title: a.Title, Class: named(g.class), Due: zoned(t.Due, a.Zone)}
	if !t.Opened(now) {
		line.State = "Opens on " + zoned(t.Opens, a.Zone)
		return line, false, nil
	}
	line.Path = lessons.Path(a.Key())
	done, parts, err := s.answered(ctx, g, person)
	if err != nil {
		return line, false, err
	}
	line.State = answeredWords(done, parts)
	days, closed := t.Late(now)
	if days > 0 && !closed && done < parts {
		line.State += " · late now, taken until " + zoned(t.Closes, a.Zone)
	}
	return line, closed, nil
}

// named is a class with its term, where a student may be in several of the same
// name.
func named(c class.Class) string {
	if c.Term == "" {
		return c.Name
	}
	return c.Name + ", " + c.Term
}

// answered returns at how many of the parts that count a student has handed in
// an answer, and how many there are.
func (s *Server) answered(ctx context.Context, g *work, person string) (done, parts int, err error) {
	p, err := s.book.assigned(ctx, g.assignment)
	if err != nil {
		return 0, 0, err
	}
	for _, cell := range p.lesson.CellsOf(lessons.Exercise) {
		if s.Desk == nil || !g.assignment.Counts(cell.ID) {
			continue
		}
		set, err := s.Desk.Structure(ctx, attempt.Place{Learner: person, Lesson: p.lesson, Cell: cell})
		if err != nil {
			return 0, 0, err
		}
		attempts, err := s.Desk.Store().Attempts(ctx, person, p.lesson.Slug, cell.ID)
		if err != nil {
			return 0, 0, err
		}
		parts += len(set.Parts)
		answered := map[string]bool{}
		for _, t := range attempts {
			if t.Series == 0 {
				answered[t.Part] = true
			}
		}
		for _, ask := range set.Parts { // not those that a mended text has no more
			if answered[ask.Name] {
				done++
			}
		}
	}
	return done, parts, nil
}

func answeredWords(done, parts int) string {
	switch {
	case parts == 0:
		return "To read"
	case done == 0:
		return "Nothing answered of " + howMany(parts, "part", "parts")
	}
	return strconv.Itoa(done) + " of " + howMany(parts, "part", "parts") + " answered"
}
