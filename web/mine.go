package web

import (
	"context"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
)

// mineRoutes are the routes of a student's own work.
func (s *Server) mineRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{{signedIn, "GET /mine", s.showMine}}
}

// minePath is where a student finds the own work in a class.
func minePath(in string) string { return "/mine#class-" + in }

// showMine shows whoever asks their own work, and nobody else's: the person is
// that of the session.
func (s *Server) showMine(w http.ResponseWriter, r *http.Request) {
	view := page.Mine{Frame: s.frame("My work", ""), Teaches: of(r).person.Instructor}
	classes, members, err := s.Class.ClassesOf(r.Context(), of(r).person.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	for i, c := range classes {
		if members[i].Left || members[i].Role != class.Student {
			continue
		}
		mine, err := s.mineIn(r.Context(), c, members[i].Person)
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		view.Classes = append(view.Classes, mine)
	}
	s.sendClass(w, r, http.StatusOK, "mine", view)
}

// mineIn is one student's work in one class. What was withdrawn is left out.
func (s *Server) mineIn(ctx context.Context, c class.Class, person string) (page.MineClass, error) {
	mine := page.MineClass{ID: c.ID, Name: c.Name, Term: c.Term}
	assigned, err := s.Class.Assignments(ctx, c.ID)
	if err != nil {
		return mine, err
	}
	var sums []class.Sum
	for _, a := range assigned {
		if a.Withdrawn {
			continue
		}
		if t := a.TermsFor(nil); !t.Opened(s.now()) {
			mine.Works = append(mine.Works, page.MineWork{Title: a.Title, Words: []string{"Opens on " + zoned(t.Opens, a.Zone) + "."}})
			continue
		}
		w, st, err := s.marks().Student(ctx, person, a, s.now())
		if err != nil {
			return mine, err
		}
		sums = append(sums, st.Sum)
		mine.Works = append(mine.Works, s.mineWork(w, st))
	}
	if total, ok := class.Total(sums); ok {
		mine.Total = percent(total)
	}
	return mine, nil
}

func (s *Server) mineWork(w *gradebook.Work, st *gradebook.Standing) page.MineWork {
	a := &w.Assignment
	held := work{assignment: *a, extension: st.Extension, terms: st.Terms}
	mine := page.MineWork{
		Title: a.Title, Lesson: lessons.Path(a.Key()), Words: append(held.dueWords(s.now()), held.ownWords()...),
		Points: class.Shown(st.Sum.Points), Full: class.Shown(st.Sum.Full), Share: shareWords(a, st), Begun: st.Begun(),
	}
	for i := range w.Exercises {
		e, m := &w.Exercises[i], &st.Marks[i]
		x := page.MineExercise{
			Title: e.Title, Path: mine.Lesson + "#" + e.Cell.ID, Points: class.Shown(m.Points), Full: class.Shown(m.Full),
			Late: m.Late(), Begun: m.Begun, Fault: e.Fault != "", Marking: class.Shown(m.Marking),
		}
		if o := m.Override; o != nil {
			x.Override = &page.MarkOverride{Reason: o.Reason, When: brief(o.At, a.Zone)}
		}
		for _, p := range m.Parts {
			x.Parts = append(x.Parts, page.MinePart{Label: partLabel(st.Ask(i, p.Part), p.Part), Steps: p.Steps()})
		}
		mine.Exercises = append(mine.Exercises, x)
	}
	return mine
}
