package reader

import (
	"context"
	"net/http"
	"strconv"

	"shaftbook/kernel/words"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showOwnShelf sends the shelf with what is assigned to the visitor above the
// lessons.
func (h *Handlers) showOwnShelf(w http.ResponseWriter, r *http.Request) {
	view, err := h.Pages.in(r.Context()).view(r.Context(), "", nil)
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	given, err := assignment.ForStudent(r.Context(), h.Classes, request.VisitorFrom(r).Person.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for _, g := range given {
		line, closed, err := h.givenLine(r.Context(), g, request.VisitorFrom(r).Person.ID)
		switch {
		case err != nil:
			h.FailClass(w, r, err)
			return
		case closed:
			view.Closed = append(view.Closed, line)
		default:
			view.Assigned = append(view.Assigned, line)
		}
	}
	h.addProgress(r, &view)
	h.SendPage(w, r, http.StatusOK, "shelf", view)
}

// givenLine is one assignment as it is for a student, and whether it is
// closed.
func (h *Handlers) givenLine(ctx context.Context, g *assignment.Terms, person string) (line page.AssignedLine, closed bool, err error) {
	a, t, now := &g.Assignment, g.Terms, h.Now()
	line = page.AssignedLine{Title: a.Title, Class: g.Class.FullName(), Due: page.Zoned(t.Due, a.Zone)}
	if !t.Opened(now) {
		line.State = "Opens on " + page.Zoned(t.Opens, a.Zone)
		return line, false, nil
	}
	line.Path = lessons.Path(a.Key())
	lesson, err := h.Pages.Given(ctx, *a)
	if err != nil {
		return line, false, err
	}
	done, parts := 0, 0
	if h.Attempts != nil {
		if done, parts, err = assignment.Answered(ctx, h.Attempts, lesson, a, person); err != nil {
			return line, false, err
		}
	}
	line.State = answeredWords(done, parts)
	days, closed := t.Late(now)
	if days > 0 && !closed && done < parts {
		line.State += " · late now; closes " + page.Zoned(t.Closes, a.Zone)
	}
	return line, closed, nil
}

func answeredWords(done, parts int) string {
	if parts == 0 {
		return "Reading only"
	}
	return strconv.Itoa(done) + " of " + words.CountOf(parts, "part", "parts") + " answered"
}
