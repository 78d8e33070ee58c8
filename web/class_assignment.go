package web

import (
	"context"
	"net/http"
	"strings"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// assignmentOf returns the assignment of the address, which has to be one of the
// class of the address.
func (s *Server) assignmentOf(r *http.Request) (class.Assignment, error) {
	a, err := s.Class.Assignment(r.Context(), r.PathValue("assignment"))
	if err == nil && a.Class != of(r).class.ID {
		err = class.ErrNone
	}
	return a, err
}

// showAssignment shows an assignment to the staff of its class.
func (s *Server) showAssignment(w http.ResponseWriter, r *http.Request) {
	a, err := s.assignmentOf(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendAssignment(w, r, http.StatusOK, &a, nil)
}

// sendAssignment sends the page of an assignment, changed by what a form has to
// say.
func (s *Server) sendAssignment(w http.ResponseWriter, r *http.Request, status int, a *class.Assignment, change func(*page.AssignmentPage)) {
	view, err := s.assignmentView(r, a)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if change != nil {
		change(&view)
	}
	s.sendClass(w, r, status, "class-assignment", view)
}

func (s *Server) assignmentView(r *http.Request, a *class.Assignment) (page.AssignmentPage, error) {
	view := page.AssignmentPage{
		ClassFrame: s.assignFrame(r, a.Title), Heading: a.Title, State: assignmentState(a, s.now()),
		Base: assignmentPath(a), Withdrawn: a.Withdrawn,
	}
	view.Wide = true
	cells, list, err := s.givenExercises(r.Context(), a)
	if err != nil {
		return view, err
	}
	view.Leads = assignmentLeads(a, len(cells) > 0)
	view.Form = termsOf(a, cells).view(cells, list)
	view.Form.Action, view.Form.Button = view.Base, "Keep these terms"
	view.Extend = extensionFields(func(string) string { return "" })
	if err := s.fillExtensions(r, a, &view); err != nil {
		return view, err
	}
	view.Text, err = s.textOf(r, a)
	return view, err
}

// assignmentLeads are the links to what there is of an assignment. Of one to read
// there are no marks and nothing to print.
func assignmentLeads(a *class.Assignment, exercises bool) []page.ClassWay {
	list := []page.ClassWay{
		{Label: "the lesson as the class has it", Path: lessons.Path(a.Key())},
		{Label: "board view", Path: lessons.Path(a.Key()) + "/board"},
		{Label: "live room", Path: roomPath(a, "", "", false)},
	}
	if !exercises {
		return list
	}
	return append(list,
		page.ClassWay{Label: "marks", Path: chosenPath("/class/"+a.Class+"/marks", a.ID)},
		page.ClassWay{Label: "what went wrong", Path: chosenPath("/class/"+a.Class+"/items", a.ID)},
		page.ClassWay{Label: "problem sheets to print", Path: sheetsPath(a, "sheets", "")},
		page.ClassWay{Label: "answers to print", Path: sheetsPath(a, "answers", "")},
	)
}

// givenExercises are the exercises of the text that a class has.
func (s *Server) givenExercises(ctx context.Context, a *class.Assignment) ([]lessons.Cell, []*exercises.Exercise, error) {
	p, err := s.book.assigned(ctx, *a)
	if err != nil {
		return nil, nil, err
	}
	cells := p.lesson.CellsOf(lessons.Exercise)
	list := make([]*exercises.Exercise, len(cells))
	for i, c := range cells {
		list[i], _ = exercises.Parse(c.Name, c.Text) // what is wrong with it was told when it was assigned
	}
	return cells, list, nil
}

// changeAssignment keeps other terms.
func (s *Server) changeAssignment(w http.ResponseWriter, r *http.Request) {
	was, err := s.assignmentOf(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	cells, list, err := s.givenExercises(r.Context(), &was)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	form, to := readTerms(r, cells, s.now())
	if !form.taken() {
		s.sendAssignment(w, r, form.status(), &was, func(v *page.AssignmentPage) {
			view := form.view(cells, list)
			view.Action, view.Button = v.Form.Action, v.Form.Button
			v.Form = view
		})
		return
	}
	a := was
	a.Title, a.Opens, a.Due, a.Closes, a.Zone, a.Exercises = to.Title, to.Opens, to.Due, to.Closes, to.Zone, to.Exercises
	a.LateOff, a.Tries, a.TryOff, a.Weight, a.ChangedAt = to.LateOff, to.Tries, to.TryOff, to.Weight, s.now()
	words := changedTerms(&was, &a, titlesOf(cells, list))
	if words == "" {
		done(w, r, assignmentPath(&a), "kept")
		return
	}
	s.updateAssignment(w, r, a, "terms", "“"+was.Title+"”: "+words, "kept")
}

// updateAssignment keeps a changed assignment and says so.
func (s *Server) updateAssignment(w http.ResponseWriter, r *http.Request, a class.Assignment, action, detail, said string) {
	e := s.entry(r, action, "", detail)
	e.Assignment = a.ID
	if err := s.Class.UpdateAssignment(r.Context(), a, e); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, assignmentPath(&a), said)
}

// changedTerms say what changes of an assignment, old and new, or nothing.
func changedTerms(was, a *class.Assignment, t titles) string {
	var words []string
	for _, f := range []struct{ what, old, to string }{
		{"title", was.Title, a.Title},
		{"opens", zoned(was.Opens, was.Zone), zoned(a.Opens, a.Zone)},
		{"due", zoned(was.Due, was.Zone), zoned(a.Due, a.Zone)},
		{"taken late until", zoned(was.Closes, was.Zone), zoned(a.Closes, a.Zone)},
		{"time zone", was.Zone, a.Zone},
		{"percent off a day late", number(was.LateOff), number(a.LateOff)},
		{"tries", triesOf(was), triesOf(a)},
		{"percent off a wrong try", number(was.TryOff), number(a.TryOff)},
		{"weight", number(was.Weight), number(a.Weight)},
		{"counting", countingWords(was, t), countingWords(a, t)},
	} {
		if f.old != f.to {
			words = append(words, f.what+" from “"+f.old+"” to “"+f.to+"”")
		}
	}
	return strings.Join(words, ", ")
}

// withdrawAssignment takes an assignment back or gives it again.
func (s *Server) withdrawAssignment(w http.ResponseWriter, r *http.Request) {
	a, err := s.assignmentOf(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	said, detail := "withdrawn", "withdrew “"+a.Title+"”"
	a.Withdrawn, a.ChangedAt = true, s.now()
	if r.PostFormValue("do") == "give" {
		a.Withdrawn, said, detail = false, "again", "gave “"+a.Title+"” again"
	}
	s.updateAssignment(w, r, a, "withdraw", detail, said)
}
