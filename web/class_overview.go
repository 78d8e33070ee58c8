package web

import (
	"context"
	"crypto/rand"
	"fmt"
	"net/http"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/page"
)

// How long one-time links work.
const (
	entryLinkFor     = 14 * 24 * time.Hour
	colleagueLinkFor = 3 * 24 * time.Hour
)

// newJoinCode returns a code that can be read out: eight letters and digits of
// base 32, which has neither 0 nor 1, in two groups. That is 40 bits, and tries
// are throttled.
func newJoinCode() string {
	c := rand.Text()[:8]
	return c[:4] + "-" + c[4:]
}

// showClass shows the first page of a class.
func (s *Server) showClass(w http.ResponseWriter, r *http.Request) {
	s.sendOverview(w, r, http.StatusOK, func(*page.ClassOverview) {})
}

// sendOverview sends the first page of a class, changed by what a form has to
// say.
func (s *Server) sendOverview(w http.ResponseWriter, r *http.Request, status int, change func(*page.ClassOverview)) {
	v := of(r)
	people, members, err := s.Class.Members(r.Context(), v.class.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	view := page.ClassOverview{
		ClassFrame: s.classFrame(r, "Overview", "Overview"),
		Students:   countStudents(members), JoinCode: v.class.JoinCode, JoinAt: s.originFor(r) + "/join", Zone: v.class.Zone,
		Form: newClassForm(v.class.Name, v.class.Term, v.class.Zone),
	}
	colleagues := 0
	for _, m := range members {
		if m.Role == class.Staff && !m.Left {
			colleagues++
		}
	}
	active := map[string]bool{}
	for i, m := range members {
		switch {
		case m.Left:
		case m.Role == class.Student:
			active[m.Person] = true
		default:
			c := page.ClassColleague{Name: people[i].Name, Self: m.Person == v.person.ID}
			if colleagues > 1 {
				c.Out = "/class/" + v.class.ID + "/staff/" + m.Person + "/out"
			}
			view.Staff = append(view.Staff, c)
		}
	}
	assigned, err := s.Class.Assignments(r.Context(), v.class.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	for _, a := range assigned {
		entry, err := s.assignmentLine(r.Context(), &a, active)
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		view.Assignments = append(view.Assignments, entry)
	}
	change(&view)
	s.sendClass(w, r, status, "class-overview", view)
}

// assignmentLine counts how many of the students have begun an assignment, and
// how many have answered every exercise of it that counts.
func (s *Server) assignmentLine(ctx context.Context, a *class.Assignment, active map[string]bool) (page.ClassAssignment, error) {
	entry := page.ClassAssignment{
		Title: a.Title, Path: "/class/" + a.Class + "/assignment/" + a.ID, Room: "/class/" + a.Class + "/room/" + a.ID,
		Due: zoned(a.Due, a.Zone), Withdrawn: a.Withdrawn, Changed: s.fileChanged(a),
	}
	given, err := s.book.assigned(ctx, *a)
	if err != nil {
		return entry, err
	}
	counting := map[string]bool{}
	for _, c := range given.lesson.CellsOf(lessons.Exercise) {
		if a.Counts(c.ID) {
			counting[c.ID] = true
		}
	}
	attempts, err := s.Class.AttemptsIn(ctx, a.Key())
	if err != nil {
		return entry, err
	}
	answered := map[string]map[string]bool{} // person → exercises
	for _, t := range attempts {
		if !active[t.Learner] || t.Series != 0 || !counting[t.Exercise] {
			continue
		}
		if answered[t.Learner] == nil {
			answered[t.Learner] = map[string]bool{}
		}
		answered[t.Learner][t.Exercise] = true
	}
	entry.Begun = len(answered)
	for _, exercises := range answered {
		if len(exercises) == len(counting) {
			entry.Finished++
		}
	}
	return entry, nil
}

// changeClass changes the name, the term and the time zone of a class.
func (s *Server) changeClass(w http.ResponseWriter, r *http.Request) {
	was := of(r).class
	form := newClassForm(line(r, "name"), line(r, "term"), line(r, "zone"))
	if wrongClass(form) {
		s.sendOverview(w, r, http.StatusUnprocessableEntity, func(view *page.ClassOverview) { view.Form, view.FormOpen = form, true })
		return
	}
	c := was
	c.Name, c.Term, c.Zone = form[0].Value, form[1].Value, form[2].Value
	if c == was {
		done(w, r, "/class/"+c.ID, "kept")
		return
	}
	detail := fmt.Sprintf("changed the class from “%s”, “%s”, %s to “%s”, “%s”, %s", was.Name, was.Term, was.Zone, c.Name, c.Term, c.Zone)
	if err := s.Class.UpdateClass(r.Context(), c, s.entry(r, "class", "", detail)); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/class/"+c.ID, "kept")
}

// changeCode makes another join code, or closes joining.
func (s *Server) changeCode(w http.ResponseWriter, r *http.Request) {
	c := of(r).class
	said, detail := "code", "made another join code"
	c.JoinCode = newJoinCode()
	if r.PostFormValue("do") == "close" {
		c.JoinCode, said, detail = "", "closed", "closed joining by code"
	}
	if err := s.Class.UpdateClass(r.Context(), c, s.entry(r, "class", "", detail)); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/class/"+c.ID, said)
}

// inviteColleague makes a link for a further instructor and shows it once.
func (s *Server) inviteColleague(w http.ResponseWriter, r *http.Request) {
	link, err := s.classLink(r, class.ForColleague, "", colleagueLinkFor)
	if err == nil {
		err = s.Class.Note(r.Context(), s.entry(r, "staff", "", "made a link for a colleague"))
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.sendOverview(w, r, http.StatusOK, func(view *page.ClassOverview) {
		view.Link, view.LinkEnds = link, zoned(s.now().Add(colleagueLinkFor), of(r).class.Zone)
	})
}

// takeOutColleague takes an instructor out of the class.
func (s *Server) takeOutColleague(w http.ResponseWriter, r *http.Request) {
	v := of(r)
	who, m, err := s.memberOf(r, class.Staff)
	if err == nil && !m.Left {
		m.Left, m.Since = true, s.now()
		err = s.Class.Enrol(r.Context(), nil, nil, []class.Member{m}, s.entry(r, "staff", "", "took "+who.Name+" out of the class’s instructors"))
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	s.recheck(who.ID)
	if who.ID == v.person.ID {
		done(w, r, "/classes", "")
		return
	}
	done(w, r, "/class/"+v.class.ID, "out")
}

// memberOf returns the person of the address, who has to be in the class of the
// address in that role.
func (s *Server) memberOf(r *http.Request, role class.Role) (class.Person, class.Member, error) {
	m, err := s.Class.Member(r.Context(), of(r).class.ID, strings.TrimSpace(r.PathValue("person")))
	if err != nil {
		return class.Person{}, m, err
	}
	if m.Role != role {
		return class.Person{}, m, class.ErrNone
	}
	p, err := s.Class.Person(r.Context(), m.Person)
	return p, m, err
}
