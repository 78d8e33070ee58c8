package classroom

import (
	"context"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// ownWork are the handlers of what a person has in all classes.
type ownWork struct{ *Handlers }

// The calendar is for anyone, because the program that fetches it cannot sign in:
// what lets it in is the secret in the address.
func (h *ownWork) routes() []request.Route {
	list := []request.Route{{Pattern: "GET /calendar/{feed}", Handle: h.showCalendar}}
	if h.Attempts == nil {
		return list
	}
	return append(list, request.Route{Pattern: "GET /mine", Handle: h.showMine})
}

// showMine shows the visitor's own work and no other: the person is
// that of the session.
func (h *ownWork) showMine(w http.ResponseWriter, r *http.Request) {
	view := page.Mine{Frame: h.ClassFrame("My marks"), Teaches: request.VisitorFrom(r).Person.Instructor}
	classes, members, err := h.Store.ClassesOf(r.Context(), request.VisitorFrom(r).Person.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for i, c := range classes {
		if members[i].Left || members[i].Role != class.Student {
			continue
		}
		mine, err := h.mineIn(r.Context(), c, members[i].Person)
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		view.Classes = append(view.Classes, mine)
	}
	h.SendPage(w, r, http.StatusOK, "mine", view)
}

// mineIn is one student's work in one class. What was withdrawn is left out.
func (h *ownWork) mineIn(ctx context.Context, c class.Class, person string) (page.MineClass, error) {
	mine := page.MineClass{ID: c.ID, Name: c.Name, Term: c.Term}
	assigned, err := h.Store.Assignments(ctx, c.ID)
	if err != nil {
		return mine, err
	}
	var sums []class.Sum
	for _, a := range assigned {
		if a.Withdrawn {
			continue
		}
		if t := a.TermsFor(nil); !t.Opened(h.Now()) {
			mine.Works = append(mine.Works, page.MineWork{Title: a.Title, Words: []string{"Opens on " + page.Zoned(t.Opens, a.Zone) + "."}})
			continue
		}
		w, st, err := h.gradebook().Student(ctx, person, a, h.Now())
		if err != nil {
			return mine, err
		}
		sums = append(sums, st.Sum)
		mine.Works = append(mine.Works, h.mineWork(w, st))
	}
	if total, ok := class.Total(sums); ok {
		mine.Total = percent(total)
	}
	return mine, nil
}

func (h *ownWork) mineWork(w *gradebook.Work, st *gradebook.Standing) page.MineWork {
	a := &w.Assignment
	held := assignment.Terms{Assignment: *a, Extension: st.Extension, Terms: st.Terms}
	mine := page.MineWork{
		Title: a.Title, Lesson: lessons.Path(a.Key()), Words: append(held.DueWords(h.Now()), held.OwnWords()...),
		Points: class.Shown(st.Sum.Points), Full: class.Shown(st.Sum.Full), Share: shareWords(a, st, h.Now()), Begun: st.Answered(),
	}
	for i := range w.Exercises {
		e, m := &w.Exercises[i], &st.Marks[i]
		x := page.MineExercise{
			Title: e.Title, Path: mine.Lesson + "#" + e.Cell.ID, Points: class.Shown(m.Points), Full: class.Shown(m.Full),
			Late: m.Late(), Begun: m.Answered, Fault: e.Fault != "", Marking: class.Shown(m.Marking),
		}
		if o := m.Override; o != nil {
			x.Override = &page.MarkOverride{Reason: o.Reason, When: page.Brief(o.At, a.Zone)}
		}
		for _, p := range m.Parts {
			x.Parts = append(x.Parts, page.MinePart{Label: partLabel(st.Ask(i, p.Part), p.Part), Steps: p.Steps()})
		}
		mine.Exercises = append(mine.Exercises, x)
	}
	return mine
}
