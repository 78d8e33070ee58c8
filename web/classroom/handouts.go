package classroom

import (
	"fmt"
	"net/http"

	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

// handouts are the handlers of an assignment's printed sheets.
type handouts struct{ *Handlers }

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
	one := r.URL.Query().Get("student")
	students, sheets, err := assignment.StudentHandouts(turns.As(r.Context(), turns.Page), h.Store, h.Attempts, p, &a, one, answers)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassHandouts{
		ClassFrame: h.classFrame(r, title+a.Title, "Assignments"), Heading: a.Title, Answers: answers,
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
