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

// sheets are the handlers of an assignment's printed sheets.
type sheets struct{ *Handlers }

// sheetsWait bounds the drawing of the sheets of a whole class.
const sheetsWait = 5 * time.Minute

func (h *sheets) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/sheets/{assignment}", Handle: h.showSheets},
		{Pattern: "GET /class/{class}/answers/{assignment}", Handle: h.showAnswers},
	}
}

func (h *sheets) showSheets(w http.ResponseWriter, r *http.Request) { h.sendSheets(w, r, false) }

func (h *sheets) showAnswers(w http.ResponseWriter, r *http.Request) { h.sendSheets(w, r, true) }

// sendSheets sends a sheet for each student of the class, or for the one that is
// asked for.
func (h *sheets) sendSheets(w http.ResponseWriter, r *http.Request, answers bool) {
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
	ctx, cancel := context.WithTimeout(r.Context(), sheetsWait)
	defer cancel()
	one := r.URL.Query().Get("student")
	students, sheets, err := assignment.StudentHandouts(ctx, h.Store, h.Attempts, p, &a, one, answers)
	if errors.Is(err, context.DeadlineExceeded) {
		err = errSheetsLong
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassSheets{
		ClassFrame: h.classFrame(r, title+a.Title, ""), Heading: a.Title, Answers: answers,
		Assignment: page.AssignmentPath(&a), Other: page.SheetsPath(&a, other, one),
	}
	for i, sheet := range sheets {
		view.Sheets = append(view.Sheets, page.NewSheet(sheet, fmt.Sprintf("sheet-%d", i+1)))
		view.Students = append(view.Students, page.ClassWay{Label: sheet.Name, Path: page.SheetsPath(&a, what, students[i].ID)})
	}
	if one != "" {
		view.All, view.Students = page.SheetsPath(&a, what, ""), nil
	}
	h.SendPage(w, r, http.StatusOK, "class-sheets", view)
}

var errSheetsLong = request.NewRefusal(http.StatusServiceUnavailable, "busy", "The sheets take too long to draw right now",
	"The server is busy. Reload the page in a moment.")
