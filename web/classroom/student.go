package classroom

import (
	"context"
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
	"shaftbook/lessons"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// showStudent shows one student of a class.
func (h *rosters) showStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.memberOf(r, class.Student)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendStudent(w, r, http.StatusOK, p, m, func(*page.ClassStudent) {})
}

// sendStudent sends the page of a student, changed by what a form has to say.
func (h *rosters) sendStudent(w http.ResponseWriter, r *http.Request, status int, p class.Person, m class.Member, change func(*page.ClassStudent)) {
	c := request.VisitorFrom(r).Class
	view := page.ClassStudent{
		ClassFrame: h.classFrame(r, p.Name, "Roster"), Student: p.ID, Name: p.Name, State: stateOf(p, m, c.Zone),
		Left: m.Left, HasPassword: p.Password != "", Base: "/class/" + c.ID + "/student/" + p.ID, Form: studentForm(p, m),
	}
	own, err := h.roster(r).LooksAfter(r.Context(), p)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if !own {
		view.Elsewhere, view.Form = true, sectionForm(m)
	}
	assigned, err := h.Store.Assignments(r.Context(), c.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for _, a := range assigned {
		way, err := h.markWay(r.Context(), a, c.Zone, p.ID)
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		view.Marks = append(view.Marks, way)
	}
	shown, err := h.Store.ShownIn(r.Context(), c.ID, p.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for _, s := range shown {
		view.Shown = append(view.Shown, shownLine(s, c))
	}
	if view.Others, view.Erasable, err = h.roster(r).OtherClasses(r.Context(), p); err != nil {
		h.FailClass(w, r, err)
		return
	}
	change(&view)
	h.SendPage(w, r, status, "class-student", view)
}

// shownLine is a page that a student of a class shows.
func shownLine(s class.ShownPage, c class.Class) page.ShownLine {
	return page.ShownLine{
		Name: s.Name, Path: lessons.Path(page.ShownKey(c.ID, s.Person, s.Page)),
		Since: page.Brief(s.At, c.Zone), Changed: page.Brief(s.ChangedAt, c.Zone), Answers: s.Notes,
	}
}

// markWay returns what a student has in an assignment, in the times of a zone.
func (h *rosters) markWay(ctx context.Context, a class.Assignment, zone, person string) (page.ClassMarkWay, error) {
	_, st, err := h.gradebook().Student(ctx, person, a, h.Now())
	if err != nil {
		return page.ClassMarkWay{}, err
	}
	way := page.ClassMarkWay{
		Title: a.Title, Path: page.MarkPath(&a, person), Due: page.Short(st.Terms.Due, a.Zone, zone, h.Now()),
		Share: shareWords(&a, st, h.Now()), Extension: st.Extension != nil, Withdrawn: a.Withdrawn,
	}
	if st.Terms.Opened(h.Now()) || st.Answered() {
		way.Points, way.Full = class.Shown(st.Sum.Points), class.Shown(st.Sum.Full)
	}
	return way, nil
}

// changeStudent changes the particulars of a student.
func (h *rosters) changeStudent(w http.ResponseWriter, r *http.Request) {
	was, wasIn, err := h.roster(r).Present(r.Context(), r.PathValue("person"))
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	own, err := h.roster(r).LooksAfter(r.Context(), was)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	p, m, wrong := readStudent(r, was, wasIn)
	if !own {
		p, m, wrong = readSection(r, was, wasIn)
	}
	if wrong == nil {
		err := h.roster(r).Change(r.Context(), was, p, wasIn, m)
		if err == nil {
			request.SeeOther(w, r, page.StudentPath(m), "kept")
			return
		}
		if !errors.Is(err, class.ErrTaken) {
			h.FailClass(w, r, err)
			return
		}
		wrong = wrongAt(studentForm(p, m), roster.SignIn, takenWords)
	}
	h.sendStudent(w, r, http.StatusUnprocessableEntity, was, wasIn, func(v *page.ClassStudent) { v.Form = wrong })
}

// linkStudent makes an entry link for a student and shows it once.
func (h *rosters) linkStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.roster(r).Present(r.Context(), r.PathValue("person"))
	var link string
	if err == nil {
		link, err = h.newLink(r, class.ForEntry, p.ID, entryLinkFor)
	}
	if err == nil {
		detail := "created a sign-up link"
		if p.Password != "" {
			detail = "created a password-reset link"
		}
		err = h.Store.Note(r.Context(), h.entry(r, "link", p.ID, detail))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendStudent(w, r, http.StatusOK, p, m, func(v *page.ClassStudent) {
		v.Link, v.LinkEnds = link, page.Zoned(h.Now().Add(entryLinkFor), request.VisitorFrom(r).Class.Zone)
	})
}

// signOutStudent ends all sessions of a student.
func (h *rosters) signOutStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.roster(r).Present(r.Context(), r.PathValue("person"))
	if err == nil {
		err = h.Store.EndSessions(r.Context(), p.ID)
	}
	if err == nil {
		h.Recheck(p.ID)
		err = h.Store.Note(r.Context(), h.entry(r, "sessions", p.ID, "signed out on all devices"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, page.StudentPath(m), "sessions")
}

// leaveStudent takes a student out of the class; the work stays.
func (h *rosters) leaveStudent(w http.ResponseWriter, r *http.Request) { h.setLeft(w, r, true, "left") }

// rejoinStudent brings a student back.
func (h *rosters) rejoinStudent(w http.ResponseWriter, r *http.Request) {
	h.setLeft(w, r, false, "back")
}

func (h *rosters) setLeft(w http.ResponseWriter, r *http.Request, left bool, said string) {
	p, m, err := h.memberOf(r, class.Student)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	changed, err := h.roster(r).SetLeft(r.Context(), p, m, left)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if changed {
		h.Recheck(p.ID)
	}
	request.SeeOther(w, r, page.StudentPath(m), said)
}

// sendStudentData sends everything that is kept about a student.
func (h *rosters) sendStudentData(w http.ResponseWriter, r *http.Request) {
	p, _, err := h.roster(r).Accessible(r.Context(), r.PathValue("person"))
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	d, err := h.Store.Dossier(r.Context(), p.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	body, err := d.Export()
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	request.SendFile(w, "student.json", body)
}

// eraseStudent deletes a student's account and work permanently.
func (h *rosters) eraseStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.roster(r).Erasable(r.Context(), r.PathValue("person"))
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if request.Line(r, "name") != p.Name {
		h.sendStudent(w, r, http.StatusUnprocessableEntity, p, m, func(v *page.ClassStudent) {
			v.EraseWrong = "The name does not match. Nothing was deleted."
		})
		return
	}
	if err := h.roster(r).Erase(r.Context(), p); err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.Recheck(p.ID)
	request.SeeOther(w, r, "/class/"+m.Class+"/roster", "erased")
}
