package reader

import (
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/handout"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// handoutRoutes are the routes of problem sheets.
func (h *Handlers) handoutRoutes() []request.Route {
	if h.Attempts == nil {
		return nil
	}
	return []request.Route{{Pattern: "GET /lesson/{slug}/sheet", Handle: h.showOwnHandout}}
}

// ownHandoutPath is the address of a reader's own sheet of a lesson.
func ownHandoutPath(slug string) string { return lessons.Path(slug) + "/sheet" }

// showOwnHandout shows a reader's own numbers on paper.
func (h *Handlers) showOwnHandout(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err == nil && len(p.lesson.CellsOf(lessons.Exercise)) == 0 {
		err = errNoHandout
	}
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	sheet := handout.Handout{Title: p.lesson.Title, Name: request.VisitorFrom(r).Person.Name}
	counts := func(string) bool { return true }
	if _, id := class.SplitKey(p.lesson.Slug); id != "" {
		a, err := h.Classes.Assignment(r.Context(), id)
		if err == nil {
			err = assignment.HeadHandout(r.Context(), h.Classes, &sheet, &a, request.VisitorFrom(r).Person.ID)
		}
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		counts = a.Counts
	}
	if sheet.Problems, err = assignment.Problems(turns.As(r.Context(), turns.Page), h.Attempts, p.lesson, h.namedLearner(w, r), counts, false); err != nil {
		h.Fail(w, r, err)
		return
	}
	h.SendPage(w, r, http.StatusOK, "own-sheet", page.OwnHandout{
		Frame: h.ClassFrame("Problem sheet · " + p.lesson.Title), Lesson: lessons.Path(p.lesson.Slug), Handout: page.NewHandout(sheet, "sheet"),
	})
}

var errNoHandout = request.NewRefusal(http.StatusNotFound, "not-found", "There is no problem sheet", "This lesson has no exercises. Lessons with exercises have the sheet under “Download or print”.")
