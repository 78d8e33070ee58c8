package classroom

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/assignment"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// How long one-time links work.
const (
	entryLinkFor     = 14 * 24 * time.Hour
	colleagueLinkFor = 3 * 24 * time.Hour
)

// showClass shows the first page of a class.
func (h *classes) showClass(w http.ResponseWriter, r *http.Request) {
	h.sendOverview(w, r, http.StatusOK, func(*page.ClassOverview) {})
}

// sendOverview sends the first page of a class, changed by what a form has to
// say.
func (h *classes) sendOverview(w http.ResponseWriter, r *http.Request, status int, change func(*page.ClassOverview)) {
	v := request.VisitorFrom(r)
	people, members, err := h.Store.Members(r.Context(), v.Class.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassOverview{
		ClassFrame: h.classFrame(r, "Overview", "Overview"),
		Students:   countStudents(members), JoinCode: v.Class.JoinCode, JoinAt: h.OriginFor(r) + "/join", Zone: v.Class.Zone,
		Form: newClassForm(v.Class.Name, v.Class.Term, v.Class.Zone),
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
			c := page.ClassColleague{Name: people[i].Name, Self: m.Person == v.Person.ID}
			if colleagues > 1 {
				c.Out = "/class/" + v.Class.ID + "/staff/" + m.Person + "/out"
			}
			view.Staff = append(view.Staff, c)
		}
	}
	assigned, err := h.Store.Assignments(r.Context(), v.Class.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	for _, a := range assigned {
		entry, err := h.assignmentLine(r.Context(), &a, v.Class.Zone, active)
		if err != nil {
			h.FailClass(w, r, err)
			return
		}
		view.Assignments = append(view.Assignments, entry)
	}
	if err := h.addShown(r, &view, people); err != nil {
		h.FailClass(w, r, err)
		return
	}
	change(&view)
	h.SendPage(w, r, status, "class-overview", view)
}

// mostShownLines is how many pages that students show the first page of a class lists.
const mostShownLines = 10

// addShown lists the pages that students show to the class of the address.
func (h *classes) addShown(r *http.Request, view *page.ClassOverview, people []class.Person) error {
	c := request.VisitorFrom(r).Class
	shown, err := h.Store.ShownIn(r.Context(), c.ID, "")
	if err != nil {
		return err
	}
	view.MoreShown = max(0, len(shown)-mostShownLines)
	for _, s := range shown[:len(shown)-view.MoreShown] {
		line := shownLine(s, c)
		if i := slices.IndexFunc(people, func(p class.Person) bool { return p.ID == s.Person }); i >= 0 {
			line.Student = people[i].Name
		}
		view.Shown = append(view.Shown, line)
	}
	return nil
}

// assignmentLine is an assignment with how far the students are; zone is that of the
// class.
func (h *classes) assignmentLine(ctx context.Context, a *class.Assignment, zone string, active map[string]bool) (page.ClassAssignment, error) {
	entry := page.ClassAssignment{
		Title: a.Title, Path: page.AssignmentPath(a), Room: liveViewPath(a, h.Now()),
		Due: page.Short(a.Due, a.Zone, zone, h.Now()), State: assignment.ShortState(a, zone, h.Now()), Withdrawn: a.Withdrawn, Changed: h.Files.Changed(ctx, a),
	}
	var err error
	entry.Begun, entry.Finished, err = h.gradebook().Progress(ctx, *a, active)
	return entry, err
}

// changeClass changes the name, the term and the time zone of a class.
func (h *classes) changeClass(w http.ResponseWriter, r *http.Request) {
	was := request.VisitorFrom(r).Class
	form := newClassForm(request.Line(r, "name"), request.Line(r, "term"), request.Line(r, "zone"))
	if wrongClass(form) {
		h.sendOverview(w, r, http.StatusUnprocessableEntity, func(view *page.ClassOverview) { view.Form, view.FormOpen = form, true })
		return
	}
	c := was
	c.Name, c.Term, c.Zone = form[0].Value, form[1].Value, form[2].Value
	if c == was {
		request.SeeOther(w, r, "/class/"+c.ID, "kept")
		return
	}
	detail := fmt.Sprintf("changed the class details from “%s”, “%s”, %s to “%s”, “%s”, %s", was.Name, was.Term, was.Zone, c.Name, c.Term, c.Zone)
	if err := h.Store.UpdateClass(r.Context(), c, h.entry(r, "class", "", detail)); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/class/"+c.ID, "kept")
}

// changeCode makes another join code, or closes joining.
func (h *classes) changeCode(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	said, detail := "code", "created a new join code"
	c.JoinCode = enrolment.NewJoinCode()
	if r.PostFormValue("do") == "close" {
		c.JoinCode, said, detail = "", "closed", "turned off joining by code"
	}
	if err := h.Store.UpdateClass(r.Context(), c, h.entry(r, "class", "", detail)); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/class/"+c.ID, said)
}

// inviteColleague makes a link for a further instructor and shows it once.
func (h *classes) inviteColleague(w http.ResponseWriter, r *http.Request) {
	link, err := h.newLink(r, class.ForColleague, "", colleagueLinkFor)
	if err == nil {
		err = h.Store.Note(r.Context(), h.entry(r, "staff", "", "created an invitation link for a colleague"))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.sendOverview(w, r, http.StatusOK, func(view *page.ClassOverview) {
		view.Link, view.LinkEnds = link, page.Zoned(h.Now().Add(colleagueLinkFor), request.VisitorFrom(r).Class.Zone)
	})
}

// takeOutColleague takes an instructor out of the class.
func (h *classes) takeOutColleague(w http.ResponseWriter, r *http.Request) {
	v := request.VisitorFrom(r)
	who, m, err := h.memberOf(r, class.Staff)
	if err == nil {
		err = h.roster(r).RemoveColleague(r.Context(), who, m)
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.Recheck(who.ID)
	if who.ID == v.Person.ID {
		request.SeeOther(w, r, "/classes", "")
		return
	}
	request.SeeOther(w, r, "/class/"+v.Class.ID, "out")
}
