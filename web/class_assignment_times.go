package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
)

func extensionFields(value func(string) string) []page.ClassField {
	return []page.ClassField{
		{Name: "xdue", Label: "Due", Type: "datetime-local", Value: value("xdue")},
		{Name: "xcloses", Label: "Taken late until", Type: "datetime-local", Value: value("xcloses"), Optional: true, Help: "Left out, as for the class, or until it is due if that is later."},
		{Name: "xreason", Label: "Because", Type: "text", Value: value("xreason"), Help: "The student and your colleagues read it."},
	}
}

// fillExtensions shows who has other times, and of whom there is to choose.
func (s *Server) fillExtensions(r *http.Request, a *class.Assignment, view *page.AssignmentPage) error {
	extensions, err := s.Class.Extensions(r.Context(), a.ID)
	if err != nil {
		return err
	}
	people, members, err := s.Class.Members(r.Context(), a.Class)
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
			Student: names[x.Person], Due: zoned(t.Due, a.Zone), Closes: zoned(t.Closes, a.Zone), Reason: x.Reason, By: names[x.By],
			End: view.Base + "/times/" + x.Person + "/end",
		})
	}
	slices.SortFunc(view.Extensions, func(x, y page.AssignExtension) int { return strings.Compare(x.Student, y.Student) })
	return nil
}

// extend gives one student other times.
func (s *Server) extend(w http.ResponseWriter, r *http.Request) {
	a, err := s.assignmentOf(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	fields := extensionFields(func(name string) string { return line(r, name) })
	x := class.Extension{Assignment: a.ID, Person: r.PostFormValue("person"), Reason: fields[2].Value, By: of(r).person.ID, At: s.now()}
	who, studentWrong, err := s.extended(r, x.Person)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	hears := readExtension(fields, &a, &x)
	wrong := studentWrong != "" || slices.ContainsFunc(fields, func(f page.ClassField) bool { return f.Wrong != "" })
	if wrong || hears != r.PostFormValue("heard") {
		status, look := http.StatusUnprocessableEntity, "Nothing was kept yet: see what is said at the fields."
		if !wrong {
			status, look = http.StatusOK, twiceWords
		}
		s.sendAssignment(w, r, status, &a, func(v *page.AssignmentPage) {
			v.Extend, v.StudentWrong, v.ExtendHeard, v.ExtendLook = fields, studentWrong, hears, look
			for i := range v.Students {
				v.Students[i].Chosen = v.Students[i].ID == x.Person
			}
		})
		return
	}
	t := a.TermsFor(&x)
	detail := who.Name + " has until " + zoned(t.Due, a.Zone) + ", taken late until " + zoned(t.Closes, a.Zone) + ", because: " + x.Reason
	s.setExtension(w, r, &a, x, detail, "extended")
}

// extended returns the student of a form who is to have other times, or what is
// wrong with the choice.
func (s *Server) extended(r *http.Request, id string) (p class.Person, wrong string, err error) {
	const choose = "Choose a student of the class."
	m, err := s.Class.Member(r.Context(), of(r).class.ID, id)
	if errors.Is(err, class.ErrNone) || err == nil && (m.Role != class.Student || m.Left) {
		return p, choose, nil
	}
	if err == nil {
		p, err = s.Class.Person(r.Context(), id)
	}
	return p, "", err
}

// readExtension reads the times of a form. What is wrong is said at the fields;
// hears is as for readMoment.
func readExtension(fields []page.ClassField, a *class.Assignment, x *class.Extension) (hears string) {
	zone := a.TermsFor(nil).Due.Location()
	due, closes, reason := &fields[0], &fields[1], &fields[2]
	var more string
	x.Due, hears = readMoment(due, zone)
	x.Closes, more = readMoment(closes, zone)
	switch {
	case due.Value == "":
		due.Wrong = "Say until when it is due for this student."
	case due.Wrong == "" && !x.Due.After(a.Opens):
		due.Wrong = "This is not after it opens."
	case closes.Wrong == "" && due.Wrong == "" && !x.Closes.IsZero() && x.Closes.Before(x.Due):
		closes.Wrong = "This is before it is due."
	}
	if reason.Value == "" {
		reason.Wrong = "Say why."
	}
	return hears + more
}

// endExtension lets the class's times hold for a student again.
func (s *Server) endExtension(w http.ResponseWriter, r *http.Request) {
	a, err := s.assignmentOf(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	who, _, err := s.memberOf(r, class.Student)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	x := class.Extension{Assignment: a.ID, Person: who.ID, By: of(r).person.ID, At: s.now()}
	s.setExtension(w, r, &a, x, "the times of the class hold for "+who.Name+" again", "ended")
}

func (s *Server) setExtension(w http.ResponseWriter, r *http.Request, a *class.Assignment, x class.Extension, detail, said string) {
	e := s.entry(r, "extension", x.Person, "“"+a.Title+"”: "+detail)
	e.Assignment = a.ID
	if err := s.Class.SetExtension(r.Context(), x, e); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, assignmentPath(a), said)
}
