package classroom

import (
	"context"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// classes are the handlers of the list of classes and of a class's own pages.
type classes struct{ *Handlers }

func (h *classes) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /classes", Handle: h.showClasses},
		{Pattern: "POST /classes", Handle: h.makeClass},
		{Pattern: "GET /class/{class}", Handle: h.showClass},
		{Pattern: "POST /class/{class}", Handle: h.changeClass},
		{Pattern: "POST /class/{class}/code", Handle: h.changeCode},
		{Pattern: "POST /class/{class}/staff", Handle: h.inviteColleague},
		{Pattern: "POST /class/{class}/staff/{person}/out", Handle: h.takeOutColleague},
		{Pattern: "GET /class/{class}/copy", Handle: h.showCopy},
		{Pattern: "POST /class/{class}/copy", Handle: h.copyClass},
		{Pattern: "GET /class/{class}/log", Handle: h.showLog},
	}
}

// showClasses lists the classes of the visitor.
func (h *classes) showClasses(w http.ResponseWriter, r *http.Request) {
	h.sendClasses(w, r, http.StatusOK, newClassForm("", "", ""))
}

func newClassForm(name, term, zone string) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: name},
		{Name: "term", Label: "Term", Type: "text", Value: term, Optional: true},
		{Name: "zone", Label: "Time zone", Type: "text", Value: zone, Help: "Time zone of all dates in this class: a name from the time zone database, for example Europe/Oslo."},
	}
}

func (h *classes) sendClasses(w http.ResponseWriter, r *http.Request, status int, form []page.ClassField) {
	v := request.VisitorFrom(r)
	classes, members, err := h.Store.ClassesOf(r.Context(), v.Person.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassList{Frame: h.ClassFrame("Classes")}
	if v.Person.Instructor {
		view.Form = form
	}
	for i, c := range classes {
		if members[i].Left {
			continue
		}
		line, err := h.classLine(r.Context(), c, members[i])
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		view.Classes = append(view.Classes, line)
	}
	h.SendPage(w, r, status, "class-list", view)
}

func (h *classes) classLine(ctx context.Context, c class.Class, m class.Member) (page.ClassLine, error) {
	line := page.ClassLine{Name: c.Name, Term: c.Term, Path: "/class/" + c.ID}
	if m.Role != class.Staff {
		line.Path, line.Role = page.MinePath(c.ID), "student"
	}
	_, members, err := h.Store.Members(ctx, c.ID)
	if err != nil {
		return line, err
	}
	line.Students = countStudents(members)
	assigned, err := h.Store.Assignments(ctx, c.ID)
	for _, a := range assigned {
		if !a.Withdrawn && a.Due.After(h.Now()) {
			line.NextDue = a.Title + ", " + page.Zoned(a.Due, a.Zone)
			break
		}
	}
	return line, err
}

func countStudents(members []class.Member) int {
	n := 0
	for _, m := range members {
		if m.Role == class.Student && !m.Left {
			n++
		}
	}
	return n
}

// makeClass makes a class of the visitor.
func (h *classes) makeClass(w http.ResponseWriter, r *http.Request) {
	v := request.VisitorFrom(r)
	form := newClassForm(request.Line(r, "name"), request.Line(r, "term"), request.Line(r, "zone"))
	if wrongClass(form) {
		h.sendClasses(w, r, http.StatusUnprocessableEntity, form)
		return
	}
	c := class.Class{ID: class.NewID(), Name: form[0].Value, Term: form[1].Value, Zone: form[2].Value, JoinCode: enrolment.NewJoinCode(), MadeAt: h.Now()}
	e := class.Entry{Class: c.ID, By: v.Person.ID, At: h.Now(), Action: "class", Detail: "created the class " + c.Name}
	if err := h.Store.AddClass(r.Context(), c, []string{v.Person.ID}, nil, e); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/class/"+c.ID, "made")
}

// wrongClass reports at the fields of newClassForm what is wrong with them.
func wrongClass(form []page.ClassField) bool {
	wrong := page.RefuseLong(form)
	for i := range form {
		f := &form[i]
		if f.Wrong != "" {
			continue
		}
		switch f.Name {
		case "name":
			if f.Value == "" {
				f.Wrong = "Enter a name for the class."
			}
		case "zone":
			if _, err := assignment.LoadZone(f.Value); err != nil {
				f.Wrong = assignment.NoZone
			}
		}
		wrong = wrong || f.Wrong != ""
	}
	return wrong
}
