package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
	"shaftbook/web/page"
)

// showStudent shows one student of a class.
func (s *Server) showStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := s.memberOf(r, class.Student)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendStudent(w, r, http.StatusOK, p, m, func(*page.ClassStudent) {})
}

// sendStudent sends the page of a student, changed by what a form has to say.
func (s *Server) sendStudent(w http.ResponseWriter, r *http.Request, status int, p class.Person, m class.Member, change func(*page.ClassStudent)) {
	c := of(r).class
	view := page.ClassStudent{
		ClassFrame: s.classFrame(r, p.Name, "Roster"), Student: p.ID, Name: p.Name, State: stateOf(p, m, c.Zone),
		Left: m.Left, HasPassword: p.Password != "", Base: "/class/" + c.ID + "/student/" + p.ID, Form: studentForm(p, m),
	}
	own, err := s.looksAfter(r, p)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if !own {
		view.Elsewhere, view.Form = true, sectionForm(m)
	}
	assigned, err := s.Class.Assignments(r.Context(), c.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	for _, a := range assigned {
		view.Marks = append(view.Marks, page.ClassMarkWay{Title: a.Title, Path: "/class/" + c.ID + "/marks/" + a.ID + "/" + p.ID})
	}
	if view.Others, view.Erasable, err = s.otherClasses(r, p); err != nil {
		s.failClass(w, r, err)
		return
	}
	change(&view)
	s.sendClass(w, r, status, "class-student", view)
}

// otherClasses names the classes of a student beside that of the address, and
// reports whether whoever asks is an instructor of all of them.
func (s *Server) otherClasses(r *http.Request, p class.Person) (names []string, own bool, err error) {
	v := of(r)
	theirs, _, err := s.Class.ClassesOf(r.Context(), p.ID)
	if err != nil {
		return nil, false, err
	}
	mine, as, err := s.Class.ClassesOf(r.Context(), v.person.ID)
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
		if c.ID != v.class.ID {
			names = append(names, c.Name)
		}
	}
	return names, own, nil
}

// student returns the student of the address whose account is changed. That of
// somebody who is an instructor elsewhere is not a class's to change.
func (s *Server) student(r *http.Request) (class.Person, class.Member, error) {
	p, m, err := s.memberOf(r, class.Student)
	if err == nil && p.Instructor {
		err = class.ErrStaff
	}
	return p, m, err
}

// present is student for what needs a student who has not left: whose account
// it is elsewhere is no longer this class's to look after.
func (s *Server) present(r *http.Request) (class.Person, class.Member, error) {
	p, m, err := s.student(r)
	if err == nil && m.Left {
		err = errHasLeft
	}
	return p, m, err
}

// looksAfter reports whether whoever asks looks after a student's account. Of
// somebody who is in no class any more that is whose classes they all were.
func (s *Server) looksAfter(r *http.Request, p class.Person) (bool, error) {
	home, err := s.Class.Home(r.Context(), p.ID)
	if err != nil {
		return false, err
	}
	if home == "" {
		_, own, err := s.otherClasses(r, p)
		return own, err
	}
	return s.isStaffOf(r.Context(), home, of(r).person.ID)
}

// mustLookAfter refuses what only who looks after a student's account may do.
func (s *Server) mustLookAfter(r *http.Request, p class.Person) error {
	own, err := s.looksAfter(r, p)
	if err == nil && !own {
		err = class.ErrElsewhere
	}
	return err
}

// isStaffOf reports whether a person is staff of a class.
func (s *Server) isStaffOf(ctx context.Context, in, person string) (bool, error) {
	m, err := s.Class.Member(ctx, in, person)
	if errors.Is(err, class.ErrNone) {
		return false, nil
	}
	return err == nil && m.Role == class.Staff && !m.Left, err
}

func studentPath(m class.Member) string { return "/class/" + m.Class + "/student/" + m.Person }

// changeStudent changes the particulars of a student.
func (s *Server) changeStudent(w http.ResponseWriter, r *http.Request) {
	was, wasIn, err := s.present(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	own, err := s.looksAfter(r, was)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	p, m, wrong := readStudent(r, was, wasIn)
	if !own {
		p, m, wrong = readSection(r, was, wasIn)
	}
	if wrong == nil {
		words := changedWords(was, p, wasIn, m)
		if words == "" {
			done(w, r, studentPath(m), "kept")
			return
		}
		err := s.Class.Enrol(r.Context(), nil, []class.Person{p}, []class.Member{m}, s.entry(r, "roster", p.ID, words))
		if err == nil {
			done(w, r, studentPath(m), "kept")
			return
		}
		if !errors.Is(err, class.ErrTaken) {
			s.failClass(w, r, err)
			return
		}
		wrong = wrongAt(studentForm(p, m), roster.SignIn, takenWords)
	}
	s.sendStudent(w, r, http.StatusUnprocessableEntity, was, wasIn, func(v *page.ClassStudent) { v.Form = wrong })
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
func (s *Server) linkStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := s.present(r)
	var link string
	if err == nil {
		link, err = s.classLink(r, class.ForEntry, p.ID, entryLinkFor)
	}
	if err == nil {
		err = s.Class.Note(r.Context(), s.entry(r, "link", p.ID, "made an entry link"))
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendStudent(w, r, http.StatusOK, p, m, func(v *page.ClassStudent) {
		v.Link, v.LinkEnds = link, zoned(s.now().Add(entryLinkFor), of(r).class.Zone)
	})
}

var errHasLeft = &refusal{http.StatusConflict, "left", "The student has left the class", "Bring the student back into the class first."}

// signOutStudent ends all sessions of a student.
func (s *Server) signOutStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := s.present(r)
	if err == nil {
		err = s.Class.EndSessions(r.Context(), p.ID)
	}
	if err == nil {
		s.recheck(p.ID)
		err = s.Class.Note(r.Context(), s.entry(r, "sessions", p.ID, "signed out on every device"))
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, studentPath(m), "sessions")
}

// leaveStudent takes a student out of the class; the work stays.
func (s *Server) leaveStudent(w http.ResponseWriter, r *http.Request) { s.setLeft(w, r, true, "left") }

// rejoinStudent brings a student back.
func (s *Server) rejoinStudent(w http.ResponseWriter, r *http.Request) {
	s.setLeft(w, r, false, "back")
}

func (s *Server) setLeft(w http.ResponseWriter, r *http.Request, left bool, said string) {
	p, m, err := s.memberOf(r, class.Student)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if m.Left != left {
		words := "brought " + p.Name + " back"
		if left {
			words = "took " + p.Name + " out"
		}
		m.Left, m.Since = left, s.now()
		if err := s.Class.Enrol(r.Context(), nil, nil, []class.Member{m}, s.entry(r, "roster", p.ID, words)); err != nil {
			s.failClass(w, r, err)
			return
		}
		s.recheck(p.ID)
	}
	done(w, r, studentPath(m), said)
}

// sendStudentData sends everything that is kept about a student.
func (s *Server) sendStudentData(w http.ResponseWriter, r *http.Request) {
	p, _, err := s.student(r)
	if err == nil {
		err = s.mustLookAfter(r, p)
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendDossier(w, r, p.ID, "student.json")
}

// eraseStudent deletes a student's account and work for good.
func (s *Server) eraseStudent(w http.ResponseWriter, r *http.Request) {
	p, m, err := s.student(r)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	_, own, err := s.otherClasses(r, p)
	if err == nil && !own {
		err = errNotYour
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if line(r, "name") != p.Name {
		s.sendStudent(w, r, http.StatusUnprocessableEntity, p, m, func(v *page.ClassStudent) {
			v.EraseWrong = "This is not the name. Nothing was deleted."
		})
		return
	}
	// The line of the log names nobody: it is there to outlast the name.
	if err := s.Class.Erase(r.Context(), p.ID, s.entry(r, "erase", "", "deleted a student’s account and work for good")); err != nil {
		s.failClass(w, r, err)
		return
	}
	s.recheck(p.ID)
	done(w, r, "/class/"+m.Class+"/roster", "erased")
}
