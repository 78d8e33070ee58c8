package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/compress"
	"shaftbook/web/page"
)

// classRoutes are the routes of classes and rosters.
func (s *Server) classRoutes() []route {
	return []route{
		{signedIn, "GET /classes", s.showClasses},
		{instructor, "POST /classes", s.makeClass},
		{staff, "GET /class/{class}", s.showClass},
		{staff, "POST /class/{class}", s.changeClass},
		{staff, "POST /class/{class}/code", s.changeCode},
		{staff, "POST /class/{class}/staff", s.inviteColleague},
		{staff, "POST /class/{class}/staff/{person}/out", s.takeOutColleague},
		{staff, "GET /class/{class}/roster", s.showRoster},
		{staff, "POST /class/{class}/roster", s.addStudent},
		{staff, "POST /class/{class}/roster/preview", s.previewRoster},
		{staff, "POST /class/{class}/roster/apply", s.applyRoster},
		{staff, "POST /class/{class}/roster.csv", s.sendRoster},
		{staff, "GET /class/{class}/student/{person}", s.showStudent},
		{staff, "POST /class/{class}/student/{person}", s.changeStudent},
		{staff, "POST /class/{class}/student/{person}/link", s.linkStudent},
		{staff, "POST /class/{class}/student/{person}/sessions", s.signOutStudent},
		{staff, "POST /class/{class}/student/{person}/leave", s.leaveStudent},
		{staff, "POST /class/{class}/student/{person}/rejoin", s.rejoinStudent},
		{staff, "POST /class/{class}/student/{person}/erase", s.eraseStudent},
		{staff, "GET /class/{class}/student/{person}/data", s.sendStudentData},
		{staff, "GET /class/{class}/copy", s.showCopy},
		{staff, "POST /class/{class}/copy", s.copyClass},
	}
}

// classSaid are the sentences that a page of a class shows after something was
// done. The address carries the key alone, so that nobody can put words there.
var classSaid = map[string]string{
	"made":     "The class is made. Bring in its roster, then assign a lesson.",
	"code":     "There is another join code; the old one no longer works.",
	"closed":   "Joining by code is closed.",
	"out":      "Taken out of the class.",
	"added":    "The student is on the roster.",
	"roster":   "The roster is as the list has it.",
	"kept":     "Kept.",
	"sessions": "Signed out on every device.",
	"left":     "Taken out of the class. All work is kept.",
	"back":     "Back in the class, with all work.",
	"erased":   "Deleted for good.",
	"copied":   "This is the new class. Bring in its roster.",
	"by-hand":  "The points are set. The student sees them with your reason.",
	"marking":  "The points are those of the marking.",
}

// classFrame is the frame of a page of the class of the address.
func (s *Server) classFrame(r *http.Request, title, here string) page.ClassFrame {
	c := of(r).class
	return page.ClassFrame{
		Frame: s.frame(title+" · "+c.Name, ""), Class: c.Name, ClassID: c.ID, Term: c.Term, Here: here,
		Said: classSaid[r.URL.Query().Get("said")],
	}
}

// sendClass sends a page that only its reader may see.
func (s *Server) sendClass(w http.ResponseWriter, r *http.Request, status int, name string, view any) {
	body, err := page.Render(name, view)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	compress.NewForOne(htmlType, body).Send(w, r, status)
}

// failClass answers a request with an error of the class store.
func (s *Server) failClass(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, class.ErrNone):
		err = errNotFound
	case errors.Is(err, class.ErrStaff):
		err = errIsStaff
	case errors.Is(err, class.ErrElsewhere):
		err = errElsewhere
	case errors.Is(err, class.ErrOwnOut):
		err = errLastOut
	case errors.Is(err, class.ErrTaken):
		err = errTakenNow
	}
	s.failStore(w, r, err)
}

var (
	errIsStaff   = &refusal{http.StatusConflict, "staff", "This is an instructor’s account", "An instructor looks after the own account, on the page Account."}
	errElsewhere = &refusal{http.StatusConflict, "elsewhere", "Another class looks after this account", "The student was in another class before this one; its instructors look after the account. The student knows which class it is."}
	errLastOut   = &refusal{http.StatusConflict, "last", "Somebody has to stay", "A class keeps at least one instructor. Invite a colleague first."}
	errTakenNow  = &refusal{http.StatusConflict, "taken", "Somebody else has that name or identifier", "It was taken while this page was open. Nothing was changed; open the roster again."}
)

// done sends the reader on to a page that says what was done.
func done(w http.ResponseWriter, r *http.Request, path, said string) {
	if said != "" {
		path += "?" + url.Values{"said": {said}}.Encode()
	}
	http.Redirect(w, r, path, http.StatusSeeOther)
}

// entry is a line of the log about the class of the address.
func (s *Server) entry(r *http.Request, action, about, detail string) class.Entry {
	v := of(r)
	return class.Entry{Class: v.class.ID, By: v.person.ID, At: s.now(), Action: action, About: about, Detail: detail}
}

// zoned writes a time in a zone, with the name of the zone's clock.
func zoned(t time.Time, zone string) string { return timeIn(t, zone, "2 January 2006, 15:04 MST") }

// brief is zoned for a table.
func brief(t time.Time, zone string) string { return timeIn(t, zone, "2 Jan 2006, 15:04 MST") }

// dated writes the day of a time in a zone.
func dated(t time.Time, zone string) string { return timeIn(t, zone, "2 January 2006") }

func timeIn(t time.Time, zone, layout string) string {
	if t.IsZero() {
		return ""
	}
	place, err := time.LoadLocation(zone)
	if err != nil {
		place = time.UTC
	}
	return t.In(place).Format(layout)
}

// showClasses lists the classes of whoever asks.
func (s *Server) showClasses(w http.ResponseWriter, r *http.Request) {
	s.sendClasses(w, r, http.StatusOK, newClassForm("", "", ""))
}

func newClassForm(name, term, zone string) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: name},
		{Name: "term", Label: "Term", Type: "text", Value: term, Optional: true},
		{Name: "zone", Label: "Time zone", Type: "text", Value: zone, Help: "By its name in the time zone database, such as Europe/Oslo. Dates of the class are said in it."},
	}
}

func (s *Server) sendClasses(w http.ResponseWriter, r *http.Request, status int, form []page.ClassField) {
	v := of(r)
	classes, members, err := s.Class.ClassesOf(r.Context(), v.person.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	view := page.ClassList{Frame: s.frame("Classes", "")}
	if v.person.Instructor {
		view.Form = form
	}
	for i, c := range classes {
		if members[i].Left {
			continue
		}
		line, err := s.classLine(r.Context(), c, members[i])
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		view.Classes = append(view.Classes, line)
	}
	s.sendClass(w, r, status, "class-list", view)
}

func (s *Server) classLine(ctx context.Context, c class.Class, m class.Member) (page.ClassLine, error) {
	line := page.ClassLine{Name: c.Name, Term: c.Term, Path: "/class/" + c.ID}
	if m.Role != class.Staff {
		line.Path, line.Role = minePath(c.ID), "as a student"
	}
	_, members, err := s.Class.Members(ctx, c.ID)
	if err != nil {
		return line, err
	}
	line.Students = countStudents(members)
	assigned, err := s.Class.Assignments(ctx, c.ID)
	for _, a := range assigned {
		if !a.Withdrawn && a.Due.After(s.now()) {
			line.NextDue = a.Title + ", " + zoned(a.Due, a.Zone)
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

// makeClass makes a class of whoever asks.
func (s *Server) makeClass(w http.ResponseWriter, r *http.Request) {
	v := of(r)
	form := newClassForm(line(r, "name"), line(r, "term"), line(r, "zone"))
	if wrongClass(form) {
		s.sendClasses(w, r, http.StatusUnprocessableEntity, form)
		return
	}
	c := class.Class{ID: class.NewID(), Name: form[0].Value, Term: form[1].Value, Zone: form[2].Value, JoinCode: newJoinCode(), MadeAt: s.now()}
	e := class.Entry{Class: c.ID, By: v.person.ID, At: s.now(), Action: "class", Detail: "made the class " + c.Name}
	if err := s.Class.AddClass(r.Context(), c, []string{v.person.ID}, nil, e); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/class/"+c.ID, "made")
}

// wrongClass says at the fields of newClassForm what is wrong with them.
func wrongClass(form []page.ClassField) bool {
	wrong := false
	for i := range form {
		f := &form[i]
		switch f.Name {
		case "name":
			if f.Value == "" {
				f.Wrong = "A class needs a name."
			}
		case "zone":
			if _, err := loadZone(f.Value); err != nil {
				f.Wrong = noZone
			}
		}
		wrong = wrong || f.Wrong != ""
	}
	return wrong
}

// lineLimit bounds a field of one line, in characters.
const lineLimit = 200

// line reads a field of one line from a form.
func line(r *http.Request, name string) string {
	text := []rune(strings.Join(strings.Fields(r.PostFormValue(name)), " "))
	if len(text) > lineLimit {
		text = text[:lineLimit]
	}
	return string(text)
}

// howMany writes a number with the word for it.
func howMany(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
