package classroom

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
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
	own, err := h.looksAfter(r, p)
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
		view.Marks = append(view.Marks, page.ClassMarkWay{Title: a.Title, Path: "/class/" + c.ID + "/marks/" + a.ID + "/" + p.ID})
	}
	if view.Others, view.Erasable, err = h.otherClasses(r, p); err != nil {
		h.FailClass(w, r, err)
		return
	}
	change(&view)
	h.SendPage(w, r, status, "class-student", view)
}

// otherClasses names the classes of a student beside that of the address, and
// reports whether whoever asks is an instructor of all of them.
func (h *rosters) otherClasses(r *http.Request, p class.Person) (names []string, own bool, err error) {
	v := request.VisitorFrom(r)
	theirs, _, err := h.Store.ClassesOf(r.Context(), p.ID)
	if err != nil {
		return nil, false, err
	}
	mine, as, err := h.Store.ClassesOf(r.Context(), v.Person.ID)
	if err != nil {
		return nil, false, err
	}
	own = !p.Instructor
	for _, c := range theirs {
		i := slices.IndexFunc(mine, func(o class.Class) bool { return o.ID == c.ID })
		if i < 0 || as[i].Role != class.Staff || as[i].Left {
			own = false
			continue // whose class it is stays unsaid
		}
		if c.ID != v.Class.ID {
			names = append(names, c.Name)
		}
	}
	return names, own, nil
}

// student returns the student of the address whose account is changed. That of
// somebody who is an instructor elsewhere is not a class's to change.
func (h *rosters) student(r *http.Request) (class.Person, class.Member, error) {
	p, m, err := h.memberOf(r, class.Student)
	if err == nil && p.Instructor {
		err = class.ErrStaff
	}
	return p, m, err
}

// present is student for what needs a student who has not left: whose account
// it is elsewhere is no longer this class's to look after.
func (h *rosters) present(r *http.Request) (class.Person, class.Member, error) {
	p, m, err := h.student(r)
	if err == nil && m.Left {
		err = errHasLeft
	}
	return p, m, err
}

// looksAfter reports whether whoever asks looks after a student's account. Of
// somebody who is in no class any more that is whose classes they all were.
func (h *rosters) looksAfter(r *http.Request, p class.Person) (bool, error) {
	home, err := h.Store.Home(r.Context(), p.ID)
	if err != nil {
		return false, err
	}
	if home == "" {
		_, own, err := h.otherClasses(r, p)
		return own, err
	}
	return h.isStaffOf(r.Context(), home, request.VisitorFrom(r).Person.ID)
}

// mustLookAfter refuses what only who looks after a student's account may do.
func (h *rosters) mustLookAfter(r *http.Request, p class.Person) error {
	own, err := h.looksAfter(r, p)
	if err == nil && !own {
		err = class.ErrElsewhere
	}
	return err
}

// isStaffOf reports whether a person is staff of a class.
func (h *rosters) isStaffOf(ctx context.Context, in, person string) (bool, error) {
	m, err := h.Store.Member(ctx, in, person)
	if errors.Is(err, class.ErrNone) {
		return false, nil
	}
	return err == nil && m.Role == class.Staff && !m.Left, err
}

// changeStudent changes the particulars of a student.
func (h *rosters) changeStudent(w http.ResponseWriter, r *http.Request) {
	was, wasIn, err := h.present(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	own, err := h.looksAfter(r, was)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	p, m, wrong := readStudent(r, was, wasIn)
	if !own {
		p, m, wrong = readSection(r, was, wasIn)
	}
	if wrong == nil {
		words := changedWords(was, p, wasIn, m)
		if words == "" {
			request.SeeOther(w, r, page.StudentPath(m), "kept")
			return
		}
		err := h.Store.Enrol(r.Context(), nil, []class.Person{p}, []class.Member{m}, h.entry(r, "roster", p.ID, words))
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

// changedWords say what changes of a student, old and new, or nothing.
func changedWords(was, p class.Person, wasIn, m class.Member) string {
	var words []string
	for _, f := range []struct{ what, old, to string }{
		{"name", was.Name, p.Name}, {"sign-in name", was.SignIn, p.SignIn}, {"e-mail", was.Email, p.Email},
		{"identifier", was.SourcedID, p.SourcedID}, {"section", wasIn.Section, m.Section},
	} {
		if f.old != f.to {
			words = append(words, f.what+" from “"+f.old+"” to “"+f.to+"”")
		}
	}
	return strings.Join(words, ", ")
}

// linkStudent makes an entry link for a student and shows it once.
func (h *rosters) linkStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.present(r)
	var link string
	if err == nil {
		link, err = h.newLink(r, class.ForEntry, p.ID, entryLinkFor)
	}
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "link", p.ID, "made an entry link"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendStudent(w, r, http.StatusOK, p, m, func(v *page.ClassStudent) {
		v.Link, v.LinkEnds = link, page.Zoned(h.Now().Add(entryLinkFor), request.VisitorFrom(r).Class.Zone)
	})
}

var errHasLeft = request.NewRefusal(http.StatusConflict, "left", "The student has left the class", "Bring the student back into the class first.")

// signOutStudent ends all sessions of a student.
func (h *rosters) signOutStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.present(r)
	if err == nil {
		err = h.Store.EndSessions(r.Context(), p.ID)
	}
	if err == nil {
		h.Recheck(p.ID)
		err = h.Store.Note(r.Context(), h.entry(r, "sessions", p.ID, "signed out on every device"))
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
	if m.Left != left {
		words := "brought " + p.Name + " back"
		if left {
			words = "took " + p.Name + " out"
		}
		m.Left, m.Since = left, h.Now()
		if err := h.Store.Enrol(r.Context(), nil, nil, []class.Member{m}, h.entry(r, "roster", p.ID, words)); err != nil {
			h.FailClass(w, r, err)
			return
		}
		h.Recheck(p.ID)
	}
	request.SeeOther(w, r, page.StudentPath(m), said)
}

// sendStudentData sends everything that is kept about a student.
func (h *rosters) sendStudentData(w http.ResponseWriter, r *http.Request) {
	p, _, err := h.student(r)
	if err == nil {
		err = h.mustLookAfter(r, p)
	}
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

// eraseStudent deletes a student's account and work for good.
func (h *rosters) eraseStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := h.student(r)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	_, own, err := h.otherClasses(r, p)
	if err == nil && !own {
		err = request.ErrNotAllowed
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if request.Line(r, "name") != p.Name {
		h.sendStudent(w, r, http.StatusUnprocessableEntity, p, m, func(v *page.ClassStudent) {
			v.EraseWrong = "This is not the name. Nothing was deleted."
		})
		return
	}
	// The line of the log names nobody: it is there to outlast the name.
	if err := h.Store.Erase(r.Context(), p.ID, h.entry(r, "erase", "", "deleted a student’s account and work for good")); err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.Recheck(p.ID)
	request.SeeOther(w, r, "/class/"+m.Class+"/roster", "erased")
}
