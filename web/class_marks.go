package web

import (
	"context"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/gradebook"
	"shaftbook/web/page"
)

// markRoutes are the routes of marks.
func (s *Server) markRoutes() []route {
	if s.Desk == nil {
		return nil
	}
	return []route{
		{staff, "GET /class/{class}/marks", s.showMarks},
		{staff, "GET /class/{class}/marks/{assignment}/{person}", s.showMark},
		{staff, "POST /class/{class}/marks/{assignment}/{person}", s.setMark},
		{staff, "POST /class/{class}/marks.csv", s.sendMarks},
		{staff, "POST /class/{class}/attempts.csv", s.sendAttempts},
	}
}

// marks reads marks from the store.
func (s *Server) marks() *gradebook.Reader {
	return gradebook.New(s.Class, s.Desk, func(ctx context.Context, a class.Assignment) (*lessons.Lesson, error) {
		p, err := s.book.assigned(ctx, a)
		if err != nil {
			return nil, err
		}
		return p.lesson, nil
	})
}

// notWithdrawn are the assignments that stand.
func notWithdrawn(assigned []class.Assignment) []class.Assignment {
	return slices.DeleteFunc(slices.Clone(assigned), func(a class.Assignment) bool { return a.Withdrawn })
}

// chosenAssignment is the query of an address that shows one assignment.
const chosenAssignment = "assignment"

// choose returns the assignments of the class of the address, and which of them
// the address asks for: -1 for none. One of another class is as good as none.
func (s *Server) choose(r *http.Request) (assigned []class.Assignment, chosen int, err error) {
	assigned, err = s.Class.Assignments(r.Context(), of(r).class.ID)
	if err != nil {
		return nil, -1, err
	}
	id := r.URL.Query().Get(chosenAssignment)
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
		list = append(list, page.MarksChoice{Label: label, Path: chosenPath(path, a.ID), Current: i == chosen})
	}
	return list
}

func chosenPath(path, assignment string) string {
	return path + "?" + url.Values{chosenAssignment: {assignment}}.Encode()
}

// showMarks shows the marks sheet of a class.
func (s *Server) showMarks(w http.ResponseWriter, r *http.Request) {
	c := of(r).class
	assigned, chosen, err := s.choose(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	shown := notWithdrawn(assigned)
	if chosen >= 0 {
		shown = assigned[chosen : chosen+1]
	}
	sheet, err := s.marks().Sheet(r.Context(), c.ID, shown, s.now())
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	base := "/class/" + c.ID + "/marks"
	view := page.Marks{
		ClassFrame: s.classFrame(r, "Marks", "Marks"),
	}
	if len(assigned) > 0 {
		view.Choices = choicesOf(base, "All assignments", assigned, chosen)
	}
	view.Wide = true
	for _, w := range sheet.Works {
		a := &w.Assignment
		group := page.MarksGroup{Title: a.Title, Note: "due " + brief(a.Due, a.Zone)}
		if a.Withdrawn {
			group.Note = "withdrawn"
		}
		if chosen < 0 {
			group.Path = chosenPath(base, a.ID)
		} else {
			view.Chosen = a.Title
			for _, e := range w.Exercises {
				group.Columns = append(group.Columns, e.Title)
			}
		}
		group.Columns = append(group.Columns, "Points", "Share")
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
	s.sendClass(w, r, http.StatusOK, "class-marks", view)
}

// markPath is the address of one student's marks in an assignment.
func markPath(a *class.Assignment, person string) string {
	return "/class/" + a.Class + "/marks/" + a.ID + "/" + person
}

// marksCells are the cells of one student in one assignment: those of its
// exercises if they are asked for, then the sum and the share.
func marksCells(w *gradebook.Work, s *gradebook.Standing, p *class.Person, exercises bool) []page.MarksCell {
	path := markPath(&w.Assignment, p.ID)
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
		sum.Signs = append(sum.Signs, "own time")
	}
	if late && !exercises {
		sum.Signs = append(sum.Signs, "late")
	}
	if byHand && !exercises {
		sum.Signs = append(sum.Signs, "by hand")
	}
	return append(cells, sum, page.MarksCell{Share: shareWords(&w.Assignment, s), Soft: sum.Soft})
}

// shareWords says what share of an assignment a student has, or why none is
// said.
func shareWords(a *class.Assignment, s *gradebook.Standing) string {
	switch {
	case a.Withdrawn:
		return "withdrawn"
	case !s.Sum.Counts:
		return "not due"
	case !s.Begun():
		return "nothing"
	case s.Sum.Full == 0:
		return "no points to get"
	}
	return percent(100 * s.Sum.Points / s.Sum.Full)
}

// percent writes a share in percent for display, to one place.
//
// A mean of points such as 28.75 may be a last bit below itself.
func percent(v float64) string {
	v = math.Round(v*10+1e-9) / 10
	return strconv.FormatFloat(v, 'f', 1, 64) + "\u00a0%"
}
