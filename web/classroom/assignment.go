package classroom

import (
	"context"
	"net/http"

	"shaftbook/exercises"
	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showAssignment shows an assignment to the staff of its class.
func (h *assignments) showAssignment(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendAssignment(w, r, http.StatusOK, &a, nil)
}

// sendAssignment sends the page of an assignment, changed by what a form has to
// say.
func (h *assignments) sendAssignment(w http.ResponseWriter, r *http.Request, status int, a *class.Assignment, change func(*page.AssignmentPage)) {
	view, err := h.assignmentView(r, a)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if change != nil {
		change(&view)
	}
	h.SendPage(w, r, status, "class-assignment", view)
}

func (h *assignments) assignmentView(r *http.Request, a *class.Assignment) (page.AssignmentPage, error) {
	view := page.AssignmentPage{
		ClassFrame: h.assignFrame(r, a.Title), Heading: a.Title, State: assignment.State(a, h.Now()),
		Base: page.AssignmentPath(a), Withdrawn: a.Withdrawn,
	}
	cells, list, err := h.givenExercises(r.Context(), a)
	if err != nil {
		return view, err
	}
	view.Form = assignment.FormOf(a, cells).View(cells, list)
	view.Form.Action, view.Form.Button = view.Base, "Save"
	view.Extend = assignment.ExtensionFields(func(string) string { return "" })
	working, err := h.fillExtensions(r, a, &view)
	if err != nil {
		return view, err
	}
	view.Leads = assignmentLeads(a, working || assignment.IsOpen(a, h.Now()), len(cells) > 0)
	view.Text, err = h.textOf(r, a)
	return view, err
}

// assignmentLeads are the links to what there is of an assignment. Of one to read
// there are no marks and nothing to print, and where nobody can work nothing to follow.
func assignmentLeads(a *class.Assignment, working, exercises bool) []page.ClassWay {
	list := []page.ClassWay{
		{Label: "Lesson as the class sees it", Path: lessons.Path(a.Key())},
		{Label: "Board view", Path: lessons.Path(a.Key()) + "/board"},
	}
	if working {
		list = append(list, page.ClassWay{Label: "Live view", Path: page.RoomPath(a, "", "", false)})
	}
	if !exercises {
		return list
	}
	return append(list,
		page.ClassWay{Label: "Marks", Path: page.ChosenPath("/class/"+a.Class+"/marks", a.ID)},
		page.ClassWay{Label: "Question analysis", Path: page.ChosenPath("/class/"+a.Class+"/items", a.ID)},
		page.ClassWay{Label: "Problem sheets to print", Path: page.HandoutsPath(a, "sheets", "")},
		page.ClassWay{Label: "Answers to print", Path: page.HandoutsPath(a, "answers", "")},
	)
}

// givenExercises are the exercises of the text that a class has.
func (h *assignments) givenExercises(ctx context.Context, a *class.Assignment) ([]lessons.Cell, []*exercises.Exercise, error) {
	p, err := h.Given(ctx, *a)
	if err != nil {
		return nil, nil, err
	}
	cells := p.CellsOf(lessons.Exercise)
	list := make([]*exercises.Exercise, len(cells))
	for i, c := range cells {
		list[i], _ = exercises.Parse(c.Name, c.Text) // what is wrong with it was told when it was assigned
	}
	return cells, list, nil
}

// changeAssignment keeps other terms.
func (h *assignments) changeAssignment(w http.ResponseWriter, r *http.Request) {
	was, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	cells, list, err := h.givenExercises(r.Context(), &was)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	form, to := assignment.ReadForm(request.Form(r), cells, h.Now())
	if !form.IsTaken() {
		h.sendAssignment(w, r, formStatus(form), &was, func(v *page.AssignmentPage) {
			view := form.View(cells, list)
			view.Action, view.Button = v.Form.Action, v.Form.Button
			v.Form = view
		})
		return
	}
	if err := h.editor(r).ChangeTerms(r.Context(), was, to, assignment.TitlesOf(cells, list)); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.AssignmentPath(&was), "kept")
}

// withdrawAssignment takes an assignment back or gives it again.
func (h *assignments) withdrawAssignment(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	said := "withdrawn"
	switch {
	case err != nil:
	case r.PostFormValue("do") == "give":
		said, err = "again", h.editor(r).GiveAgain(r.Context(), a)
	default:
		err = h.editor(r).Withdraw(r.Context(), a)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.AssignmentPath(&a), said)
}
