package classroom

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// fillExtensions shows who has other times, and of whom there is to choose.
func (h *assignments) fillExtensions(r *http.Request, a *class.Assignment, view *page.AssignmentPage) (working bool, err error) {
	extensions, err := h.Store.Extensions(r.Context(), a.ID)
	if err != nil {
		return false, err
	}
	people, members, err := h.Store.Members(r.Context(), a.Class)
	if err != nil {
		return false, err
	}
	names := map[string]string{}
	for i, m := range members {
		names[m.Person] = people[i].Name
		if m.Role == class.Student && !m.Left {
			view.Students = append(view.Students, page.AssignStudent{ID: m.Person, Name: people[i].Name})
		}
	}
	for _, x := range extensions {
		t := a.TermsFor(&x)
		if _, closed := t.Late(h.Now()); t.Opened(h.Now()) && !closed && !a.Withdrawn {
			working = true
		}
		view.Extensions = append(view.Extensions, page.AssignExtension{
			Student: names[x.Person], Due: page.Zoned(t.Due, a.Zone), Closes: page.Zoned(t.Closes, a.Zone), Reason: x.Reason, By: names[x.By],
			End: view.Base + "/times/" + x.Person + "/end",
		})
	}
	slices.SortFunc(view.Extensions, func(x, y page.AssignExtension) int { return strings.Compare(x.Student, y.Student) })
	return working, nil
}

// extend gives one student other times.
func (h *assignments) extend(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	fields := assignment.ExtensionFields(func(name string) string { return request.Line(r, name) })
	x := class.Extension{Person: r.PostFormValue("person"), Reason: fields[2].Value}
	studentWrong := ""
	who, err := h.editor(r).Student(r.Context(), x.Person)
	switch {
	case errors.Is(err, class.ErrNone):
		studentWrong = "Choose a student in the class."
	case err != nil:
		h.FailClass(w, r, err)
		return
	}
	hears := assignment.ReadExtension(fields, &a, &x)
	wrong := studentWrong != "" || slices.ContainsFunc(fields, func(f page.ClassField) bool { return f.Wrong != "" })
	if wrong || hears != r.PostFormValue("heard") {
		status, look := http.StatusUnprocessableEntity, "Nothing has been saved yet: see the messages next to the fields."
		if !wrong {
			status, look = http.StatusOK, assignment.TwiceWords
		}
		h.sendAssignment(w, r, status, &a, func(v *page.AssignmentPage) {
			v.Extend, v.StudentWrong, v.ExtendHeard, v.ExtendLook = fields, studentWrong, hears, look
			for i := range v.Students {
				v.Students[i].Chosen = v.Students[i].ID == x.Person
			}
		})
		return
	}
	if err := h.editor(r).Extend(r.Context(), &a, who, x); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.AssignmentPath(&a), "extended")
}

// endExtension lets the class's times hold for a student again.
func (h *assignments) endExtension(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	var who class.Person
	if err == nil {
		who, _, err = h.memberOf(r, class.Student)
	}
	if err == nil {
		err = h.editor(r).EndExtension(r.Context(), &a, who)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.AssignmentPath(&a), "ended")
}
