package classroom

import (
	"crypto/rand"
	"errors"
	"net/http"
	"slices"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/exercises/roster"
	"shaftbook/kernel/words"
	"shaftbook/web/app/enrolment"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// rosters are the handlers of rosters and of the students on them.
type rosters struct{ *Handlers }

func (h *rosters) routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /class/{class}/roster", Handle: h.showRoster},
		{Pattern: "POST /class/{class}/roster", Handle: h.addStudent},
		{Pattern: "POST /class/{class}/roster/preview", Handle: h.previewRoster},
		{Pattern: "POST /class/{class}/roster/apply", Handle: h.applyRoster},
		{Pattern: "POST /class/{class}/roster.csv", Handle: h.sendRoster},
		{Pattern: "GET /class/{class}/student/{person}", Handle: h.showStudent},
		{Pattern: "POST /class/{class}/student/{person}", Handle: h.changeStudent},
		{Pattern: "POST /class/{class}/student/{person}/link", Handle: h.linkStudent},
		{Pattern: "POST /class/{class}/student/{person}/sessions", Handle: h.signOutStudent},
		{Pattern: "POST /class/{class}/student/{person}/leave", Handle: h.leaveStudent},
		{Pattern: "POST /class/{class}/student/{person}/rejoin", Handle: h.rejoinStudent},
		{Pattern: "POST /class/{class}/student/{person}/erase", Handle: h.eraseStudent},
		{Pattern: "GET /class/{class}/student/{person}/data", Handle: h.sendStudentData},
	}
}

// showRoster shows the people of a class.
func (h *rosters) showRoster(w http.ResponseWriter, r *http.Request) {
	h.sendRosterPage(w, r, http.StatusOK, studentForm(class.Person{}, class.Member{}), page.ClassImport{})
}

// studentForm are the fields of a student's particulars.
func studentForm(p class.Person, m class.Member) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: p.Name},
		{Name: "signin", Label: "Username", Type: "text", Value: p.SignIn, Help: "An e-mail address or a short name that nobody else has. Capitals make no difference."},
		{Name: "email", Label: "E-mail address", Type: "text", Value: p.Email, Optional: true},
		{Name: "sourced", Label: "Student number", Type: "text", Value: p.SourcedID, Optional: true},
		{Name: "section", Label: "Group", Type: "text", Value: m.Section, Optional: true},
	}
}

// readStudent puts what a form says into a person and a member, and says at the
// fields what is wrong.
func readStudent(r *http.Request, p class.Person, m class.Member) (class.Person, class.Member, []page.ClassField) {
	l := roster.Clean(roster.Line{Name: request.Line(r, "name"), SignIn: request.Line(r, "signin"), Email: request.Line(r, "email"), SourcedID: request.Line(r, "sourced"), Section: request.Line(r, "section")})
	p.Name, p.SignIn, p.Email, p.SourcedID, m.Section = l.Name, l.SignIn, l.Email, l.SourcedID, l.Section
	at, why := roster.Check(l)
	switch {
	case p.Name == "":
		at, why = roster.Name, "Enter a name."
	case p.SignIn == "":
		at, why = roster.SignIn, "Enter a username."
	case why == "":
		return p, m, nil
	}
	return p, m, wrongAt(studentForm(p, m), at, why)
}

// wrongAt reports at a field of studentForm why it is not taken.
func wrongAt(form []page.ClassField, at roster.Field, why string) []page.ClassField {
	order := []roster.Field{roster.Name, roster.SignIn, roster.Email, roster.SourcedID, roster.Section}
	form[slices.Index(order, at)].Wrong = why
	return form
}

// sectionForm is what of studentForm is for every class of the student to change.
func sectionForm(m class.Member) []page.ClassField {
	form := studentForm(class.Person{}, m)
	return form[len(form)-1:]
}

// readSection is readStudent for sectionForm.
func readSection(r *http.Request, p class.Person, m class.Member) (class.Person, class.Member, []page.ClassField) {
	m.Section = roster.Clean(roster.Line{Section: request.Line(r, "section")}).Section
	at, why := roster.Check(roster.Line{SignIn: p.SignIn, Section: m.Section})
	if at != roster.Section {
		return p, m, nil
	}
	form := sectionForm(m)
	form[0].Wrong = why
	return p, m, form
}

const takenWords = "Someone else has this username or student number. If it is the same person, in another class, import a list instead: it recognises existing accounts."

func (h *rosters) sendRosterPage(w http.ResponseWriter, r *http.Request, status int, add []page.ClassField, in page.ClassImport) {
	v := request.VisitorFrom(r)
	people, members, err := h.Store.Members(r.Context(), v.Class.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	view := page.ClassRoster{ClassFrame: h.classFrame(r, "Roster", "Roster"), Add: add, Import: in}
	view.Import.Limit = strconv.Itoa(roster.MaxBytes>>20) + " MB"
	for i, m := range members {
		if m.Role != class.Student {
			continue
		}
		p := people[i]
		if enrolment.IsWaiting(p, m) {
			view.Waiting++
		}
		view.Students = append(view.Students, page.ClassStudentLine{
			Name: p.Name, Section: m.Section, SignIn: p.SignIn, State: stateOf(p, m, v.Class.Zone),
			Path: "/class/" + v.Class.ID + "/student/" + p.ID, Left: m.Left,
		})
	}
	h.SendPage(w, r, status, "class-roster", view)
}

// stateOf returns the state of a student in words.
func stateOf(p class.Person, m class.Member, zone string) string {
	switch {
	case m.Left:
		return "left on " + page.Dated(m.Since, zone)
	case p.Password == "":
		return "not yet joined"
	}
	return "joined; in the class since " + page.Dated(m.Since, zone)
}

// addStudent adds one student by hand.
func (h *rosters) addStudent(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	now := h.Now()
	p, m, wrong := readStudent(r, class.Person{ID: rand.Text(), MadeAt: now}, class.Member{Class: c.ID, Role: class.Student, Since: now})
	m.Person = p.ID
	if wrong == nil {
		err := h.roster(r).Add(r.Context(), p, m)
		if err == nil {
			request.SeeOther(w, r, "/class/"+c.ID+"/roster", "added")
			return
		}
		if !errors.Is(err, class.ErrTaken) {
			h.FailClass(w, r, err)
			return
		}
		wrong = wrongAt(studentForm(p, m), roster.SignIn, takenWords)
	}
	h.sendRosterPage(w, r, http.StatusUnprocessableEntity, wrong, page.ClassImport{})
}

// sendRoster sends the roster as a file. With links=new it holds a new sign-up link
// for each student who has not joined yet, which ends that student's earlier ones;
// without, nothing changes.
func (h *rosters) sendRoster(w http.ResponseWriter, r *http.Request) {
	c := request.VisitorFrom(r).Class
	people, members, err := h.Store.Members(r.Context(), c.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	renew := r.PostFormValue("links") == "new"
	rows := [][]string{{"name", "username", "group", "e-mail", "student number"}}
	if renew {
		rows[0] = append(rows[0], "sign-up link")
	}
	links := 0
	for i, m := range members {
		p := people[i]
		if m.Role != class.Student || m.Left {
			continue
		}
		row := []string{p.Name, p.SignIn, m.Section, p.Email, p.SourcedID}
		if !renew {
			rows = append(rows, row)
			continue
		}
		link := ""
		if enrolment.IsWaiting(p, m) {
			link, err = h.newLink(r, class.ForEntry, p.ID, entryLinkFor)
			if errors.Is(err, class.ErrElsewhere) {
				err = nil // has come in meanwhile, by another class
			}
			if err != nil {
				h.FailClass(w, r, err)
				return
			}
			links++
		}
		rows = append(rows, append(row, link))
	}
	done := "exported the roster (CSV)"
	if renew {
		done += " with " + words.CountOf(links, "new sign-up link", "new sign-up links")
	}
	if err := h.Store.Note(r.Context(), h.entry(r, "roster", "", done)); err != nil {
		h.FailClass(w, r, err)
		return
	}
	sendCSV(w, "roster", c, rows)
}
