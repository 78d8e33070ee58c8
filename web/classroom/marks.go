package classroom

import (
	"math"
	"net/http"
	"slices"
	"strconv"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// marks are the handlers of marks and of question analysis.
type marks struct{ *Handlers }

func (h *marks) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/marks", Handle: h.showMarks},
		{Pattern: "GET /class/{class}/marks/{assignment}/{person}", Handle: h.showMark},
		{Pattern: "POST /class/{class}/marks/{assignment}/{person}", Handle: h.setMark},
		{Pattern: "POST /class/{class}/marks.csv", Handle: h.sendMarks},
		{Pattern: "POST /class/{class}/attempts.csv", Handle: h.sendAttempts},
		{Pattern: "GET /class/{class}/items", Handle: h.showItems},
	}
}

// notWithdrawn are the assignments that stand.
func notWithdrawn(assigned []class.Assignment) []class.Assignment {
	return slices.DeleteFunc(slices.Clone(assigned), func(a class.Assignment) bool { return a.Withdrawn })
}

// choicesOf are the assignments that a page can show; all is the label of the page
// without a choice, or empty where there is none.
func choicesOf(all string, assigned []class.Assignment, chosen int) []page.MarksChoice {
	var list []page.MarksChoice
	if all != "" {
		list = append(list, page.MarksChoice{Label: all, Current: chosen < 0})
	}
	for i, a := range assigned {
		label := a.Title
		if a.Withdrawn {
			label += " (withdrawn)"
		}
		list = append(list, page.MarksChoice{Label: label, Value: a.ID, Current: i == chosen})
	}
	return list
}

// showMarks shows the marks sheet of a class.
func (h *marks) showMarks(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	assigned, chosen, err := h.choose(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	shown := notWithdrawn(assigned)
	if chosen >= 0 {
		shown = assigned[chosen : chosen+1]
	}
	table, err := h.gradebook().Table(r.Context(), c.ID, shown, h.Now())
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.Marks{ClassFrame: h.classFrame(r, "Marks", "Marks"), Totals: chosen < 0}
	if len(assigned) > 0 {
		view.Choices = choicesOf("All assignments", assigned, chosen)
	}
	sheet := marksSheet{view: &view, table: table, now: h.Now(), home: c.Zone}
	sheet.fill()
	h.SendPage(w, r, http.StatusOK, "class-marks", view)
}

// shareWords returns what share of an assignment a student has, or why none is
// said.
func shareWords(a *class.Assignment, s *gradebook.Standing, now time.Time) string {
	switch {
	case a.Withdrawn:
		return "withdrawn"
	case !s.Terms.Opened(now) && !s.Answered():
		return "not open yet"
	case !s.Sum.Counts:
		return "not due"
	case !s.Answered():
		return "no work"
	case s.Sum.Full == 0:
		return "carries no points"
	}
	return percent(100 * s.Sum.Points / s.Sum.Full)
}

// percent writes a share in percent for display, to one place that is not 0.
func percent(v float64) string { return tenths(v) + "\u00a0%" }

// tenths writes a number to one place that is not 0. A mean of points such as 28.75
// may be a last bit below itself.
func tenths(v float64) string {
	v = math.Round(v*10+1e-9) / 10
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// choose returns the assignments of the class of the address, and which of them
// the address asks for: -1 for none. One of another class is as good as none.
func (h *marks) choose(r *http.Request) (assigned []class.Assignment, chosen int, err error) {
	assigned, err = h.Store.Assignments(r.Context(), request.VisitorFrom(r).Class.ID)
	if err != nil {
		return nil, -1, err
	}
	id := r.URL.Query().Get(page.ChosenAssignment)
	if id == "" {
		return assigned, -1, nil
	}
	for i := range assigned {
		if assigned[i].ID == id {
			return assigned, i, nil
		}
	}
	return nil, -1, class.ErrNone
}
