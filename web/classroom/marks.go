package classroom

import (
	"math"
	"net/http"
	"slices"
	"strconv"

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

// choicesOf are links to a page with each of the assignments; all is the label
// of the page without a choice, or empty where there is none.
func choicesOf(path, all string, assigned []class.Assignment, chosen int) []page.MarksChoice {
	var list []page.MarksChoice
	if all != "" {
		list = append(list, page.MarksChoice{Label: all, Path: path, Current: chosen < 0})
	}
	for i, a := range assigned {
		label := a.Title
		if a.Withdrawn {
			label += " (withdrawn)"
		}
		list = append(list, page.MarksChoice{Label: label, Path: page.ChosenPath(path, a.ID), Current: i == chosen})
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
	sheet, err := h.gradebook().Table(r.Context(), c.ID, shown, h.Now())
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	base := "/class/" + c.ID + "/marks"
	view := page.Marks{
		ClassFrame: h.classFrame(r, "Marks", "Marks"),
	}
	if len(assigned) > 0 {
		view.Choices = choicesOf(base, "All assignments", assigned, chosen)
	}
	view.Wide = true
	for _, w := range sheet.Works {
		a := &w.Assignment
		group := page.MarksGroup{Title: a.Title, Note: "due " + page.Brief(a.Due, a.Zone)}
		if a.Withdrawn {
			group.Note = "withdrawn"
		}
		if chosen < 0 {
			group.Path = page.ChosenPath(base, a.ID)
		} else {
			view.Chosen = a.Title
			for _, e := range w.Exercises {
				group.Columns = append(group.Columns, e.Title)
			}
		}
		group.Columns = append(group.Columns, "Points", "Percent")
		view.Groups = append(view.Groups, group)
		view.Columns += len(group.Columns)
	}
	view.Columns++ // the names
	if chosen < 0 {
		view.Columns++ // the totals
	}
	for _, row := range sheet.Rows {
		line := page.MarksRow{Name: row.Person.Name, Path: "/class/" + c.ID + "/student/" + row.Person.ID, Section: row.Member.Section}
		if row.Counts {
			line.Total = percent(row.Total)
		}
		for i, standing := range row.Standings {
			line.Cells = append(line.Cells, marksCells(sheet.Works[i], standing, &row.Person, chosen >= 0)...)
		}
		if row.Member.Left {
			view.Left = append(view.Left, line)
		} else {
			view.Rows = append(view.Rows, line)
		}
	}
	h.SendPage(w, r, http.StatusOK, "class-marks", view)
}

// marksCells are the cells of one student in one assignment: those of its
// exercises if they are asked for, then the sum and the share.
func marksCells(w *gradebook.Work, s *gradebook.Standing, p *class.Person, exercises bool) []page.MarksCell {
	path := page.MarkPath(&w.Assignment, p.ID)
	var cells []page.MarksCell
	sum := page.MarksCell{Points: class.Shown(s.Sum.Points), Full: class.Shown(s.Sum.Full), Path: path, Soft: !s.Sum.Counts}
	late, byHand := false, false
	for _, m := range s.Marks {
		cell := page.MarksCell{Points: class.Shown(m.Points), Full: class.Shown(m.Full), Path: path + "#" + m.Exercise, Soft: sum.Soft}
		if m.Late() {
			late, cell.Signs = true, append(cell.Signs, "late")
		}
		if m.Override != nil {
			byHand, cell.Signs = true, append(cell.Signs, "by hand")
		}
		if exercises {
			cells = append(cells, cell)
		}
	}
	if s.Extension != nil {
		sum.Signs = append(sum.Signs, "extension")
	}
	if late && !exercises {
		sum.Signs = append(sum.Signs, "late")
	}
	if byHand && !exercises {
		sum.Signs = append(sum.Signs, "by hand")
	}
	return append(cells, sum, page.MarksCell{Share: shareWords(&w.Assignment, s), Soft: sum.Soft})
}

// shareWords returns what share of an assignment a student has, or why none is
// said.
func shareWords(a *class.Assignment, s *gradebook.Standing) string {
	switch {
	case a.Withdrawn:
		return "withdrawn"
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
//
// A mean of points such as 28.75 may be a last bit below itself.
func percent(v float64) string {
	v = math.Round(v*10+1e-9) / 10
	return strconv.FormatFloat(v, 'f', -1, 64) + "\u00a0%"
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
