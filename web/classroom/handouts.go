package classroom

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// handouts are the handlers of an assignment's printed sheets.
type handouts struct{ *Handlers }

// handoutsWait bounds the drawing of the sheets of a whole class.
const handoutsWait = 5 * time.Minute

func (h *handouts) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/sheets/{assignment}", Handle: h.showHandouts},
		{Pattern: "GET /class/{class}/answers/{assignment}", Handle: h.showAnswers},
	}
}

func (h *handouts) showHandouts(w http.ResponseWriter, r *http.Request) { h.sendHandouts(w, r, false) }

func (h *handouts) showAnswers(w http.ResponseWriter, r *http.Request) { h.sendHandouts(w, r, true) }

// sendHandouts sends a sheet for each student of the class, or for the one that is
// asked for.
func (h *handouts) sendHandouts(w http.ResponseWriter, r *http.Request, answers bool) {
	a, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	p, err := h.Given(r.Context(), a)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	what, other, title := "sheets", "answers", "Problem sheets: "
	if answers {
		what, other, title = "answers", "sheets", "Answers: "
	}
	ctx, cancel := context.WithTimeout(r.Context(), handoutsWait)
	defer cancel()
	one := r.URL.Query().Get("student")
	students, sheets, err := assignment.StudentHandouts(ctx, h.Store, h.Attempts, p, &a, one, answers)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errHandoutsLong
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassHandouts{
		ClassFrame: h.classFrame(r, title+a.Title, ""), Heading: a.Title, Answers: answers,
		Assignment: page.AssignmentPath(&a), Other: page.HandoutsPath(&a, other, one),
	}
	for i, sheet := range sheets {
		view.Handouts = append(view.Handouts, page.NewHandout(sheet, fmt.Sprintf("sheet-%d", i+1)))
		view.Students = append(view.Students, page.ClassWay{Label: sheet.Name, Path: page.HandoutsPath(&a, what, students[i].ID)})
	}
	if one != "" {
		view.All, view.Students = page.HandoutsPath(&a, what, ""), nil
	}
	h.SendPage(w, r, http.StatusOK, "class-sheets", view)
}

var errHandoutsLong = request.NewRefusal(http.StatusServiceUnavailable, "busy", "The sheets take too long to draw right now",
	"The server is busy. Reload the page in a moment.")
