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
func (h *assignments) fillExtensions(r *http.Request, a *class.Assignment, view *page.AssignmentPage) error {
	extensions, err := h.Store.Extensions(r.Context(), a.ID)
	if err != nil {
		return err
	}
	people, members, err := h.Store.Members(r.Context(), a.Class)
	if err != nil {
		return err
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
		view.Extensions = append(view.Extensions, page.AssignExtension{
			Student: names[x.Person], Due: page.Zoned(t.Due, a.Zone), Closes: page.Zoned(t.Closes, a.Zone), Reason: x.Reason, By: names[x.By],
			End: view.Base + "/times/" + x.Person + "/end",
		})
	}
	slices.SortFunc(view.Extensions, func(x, y page.AssignExtension) int { return strings.Compare(x.Student, y.Student) })
	return nil
}

// extend gives one student other times.
func (h *assignments) extend(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	fields := assignment.ExtensionFields(func(name string) string { return request.Line(r, name) })
	x := class.Extension{Assignment: a.ID, Person: r.PostFormValue("person"), Reason: fields[2].Value, By: request.VisitorFrom(r).Person.ID, At: h.Now()}
	who, studentWrong, err := h.extended(r, x.Person)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	hears := assignment.ReadExtension(fields, &a, &x)
	wrong := studentWrong != "" || slices.ContainsFunc(fields, func(f page.ClassField) bool { return f.Wrong != "" })
	if wrong || hears != r.PostFormValue("heard") {
		status, look := http.StatusUnprocessableEntity, "Nothing was kept yet: see what is said at the fields."
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
	t := a.TermsFor(&x)
	detail := who.Name + " has until " + page.Zoned(t.Due, a.Zone) + ", taken late until " + page.Zoned(t.Closes, a.Zone) + ", because: " + x.Reason
	h.setExtension(w, r, &a, x, detail, "extended")
}

// extended returns the student of a form who is to have other times, or what is
// wrong with the choice.
func (h *assignments) extended(r *http.Request, id string) (p class.Person, wrong string, err error) {
	const choose = "Choose a student of the class."
	m, err := h.Store.Member(r.Context(), request.VisitorFrom(r).Class.ID, id)
	if errors.Is(err, class.ErrNone) || err == nil && (m.Role != class.Student || m.Left) {
		return p, choose, nil
	}
	if err == nil {
		p, err = h.Store.Person(r.Context(), id)
	}
	return p, "", err
}

// endExtension lets the class's times hold for a student again.
func (h *assignments) endExtension(w http.ResponseWriter, r *http.Request) {
	a, err := h.assignmentOf(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	who, _, err := h.memberOf(r, class.Student)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	x := class.Extension{Assignment: a.ID, Person: who.ID, By: request.VisitorFrom(r).Person.ID, At: h.Now()}
	h.setExtension(w, r, &a, x, "the times of the class hold for "+who.Name+" again", "ended")
}

func (h *assignments) setExtension(w http.ResponseWriter, r *http.Request, a *class.Assignment, x class.Extension, detail, said string) {
	e := h.entry(r, "extension", x.Person, "“"+a.Title+"”: "+detail)
	e.Assignment = a.ID
	if err := h.Store.SetExtension(r.Context(), x, e); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.AssignmentPath(a), said)
}
