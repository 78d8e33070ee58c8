package web

import (
	"crypto/rand"
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/page"
)

// accountRoutes are the routes of coming in and of one's own account. Those
// for anybody are how somebody who has no session yet gets one; signing out is
// among them because a session may have ended by itself.
func (s *Server) accountRoutes() []route {
	return []route{
		{anybody, "GET /sign-in", s.showSignIn},
		{anybody, "POST /sign-in", s.takeSignIn},
		{anybody, "POST /sign-out", s.signOut},
		{anybody, "GET /join", s.showJoin},
		{anybody, "POST /join", s.takeJoin},
		{anybody, "GET /link/{token}", s.showLink},
		{anybody, "POST /link/{token}", s.takeLink},
		{signedIn, "GET /account", s.showAccount},
		{instructor, "POST /account", s.changeAccount},
		{signedIn, "POST /account/password", s.changePassword},
		{signedIn, "POST /account/calendar", s.changeCalendar},
		{signedIn, "POST /account/sessions", s.signOutEverywhere},
		{signedIn, "GET /account/data", s.sendOwnData},
	}
}

// accountSaid are the sentences that the page of an account shows after
// something was done.
var accountSaid = map[string]string{
	"kept":        "Kept.",
	"password":    "The password is changed. Every other device is signed out.",
	"calendar":    "Your calendar has an address; one from before no longer works.",
	"no-calendar": "The address of your calendar no longer works.",
}

// showAccount shows who is signed in.
func (s *Server) showAccount(w http.ResponseWriter, r *http.Request) {
	s.sendAccount(w, r, http.StatusOK, particularsForm(of(r).person), passwordForm())
}

func particularsForm(p class.Person) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: p.Name, Fill: "name"},
		signInField(p.SignIn),
	}
}

// signInField is the field of a name to sign in with that is chosen.
func signInField(value string) page.ClassField {
	return page.ClassField{Name: "signin", Label: "Sign-in name", Type: "text", Value: value, Fill: "username", Help: "Your e-mail address, or a short name that nobody else here has."}
}

func passwordForm() []page.ClassField {
	return []page.ClassField{
		{Name: "old", Label: "Present password", Type: "password", Fill: "current-password"},
		newPasswordField("New password"),
	}
}

func newPasswordField(label string) page.ClassField {
	return page.ClassField{Name: "password", Label: label, Type: "password", Fill: "new-password", Help: password.Help}
}

func (s *Server) sendAccount(w http.ResponseWriter, r *http.Request, status int, particulars, change []page.ClassField) {
	p := of(r).person
	view := page.Account{
		Frame: s.frame("Account", ""), Name: p.Name, SignIn: p.SignIn, Instructor: p.Instructor,
		Said: accountSaid[r.URL.Query().Get("said")], Particulars: particulars, Password: change,
	}
	classes, members, err := s.Class.ClassesOf(r.Context(), p.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	if p.Feed != "" {
		view.Calendar = s.originFor(r) + "/calendar/" + p.Feed
	}
	for i, c := range classes {
		m := members[i]
		if m.Left {
			continue
		}
		line := page.ClassLine{Name: c.Name, Term: c.Term, Path: minePath(c.ID)}
		if m.Role == class.Staff {
			line.Path, line.Role = "/class/"+c.ID, "as an instructor"
		}
		view.Classes = append(view.Classes, line)
	}
	s.sendClass(w, r, status, "account", view)
}

// changeAccount changes the name and sign-in name of an instructor. Those of a
// student are the roster's: a list that is brought in again finds the student by
// them.
func (s *Server) changeAccount(w http.ResponseWriter, r *http.Request) {
	p := of(r).person
	p.Name, p.SignIn = line(r, "name"), line(r, "signin")
	form := particularsForm(p)
	if missing(form) {
		s.sendAccount(w, r, http.StatusUnprocessableEntity, form, passwordForm())
		return
	}
	switch err := s.Class.UpdatePerson(r.Context(), p); {
	case errors.Is(err, class.ErrTaken):
		form[1].Wrong = takenName
		s.sendAccount(w, r, http.StatusUnprocessableEntity, form, passwordForm())
	case err != nil:
		s.failClass(w, r, err)
	default:
		done(w, r, "/account", "kept")
	}
}

const takenName = "Somebody else here has this sign-in name. Choose another."

// missing says at each field of a form that is empty that it may not be.
func missing(form []page.ClassField) bool {
	wrong := false
	for i := range form {
		if f := &form[i]; f.Value == "" && !f.Optional && f.Type != "password" {
			f.Wrong, wrong = "Please fill this in.", true
		}
	}
	return wrong
}

// changePassword changes the password of whoever knows the present one. Every
// other session ends; this browser gets a new one.
func (s *Server) changePassword(w http.ResponseWriter, r *http.Request) {
	v, form := of(r), passwordForm()
	refuse := func(status int) { s.sendAccount(w, r, status, particularsForm(v.person), form) }
	k, wait := s.knock(r, "change", v.person.ID)
	if wait > 0 {
		form[0].Wrong = tooSoon(w, wait)
		refuse(http.StatusTooManyRequests)
		return
	}
	right, _, err := s.passwords.Verify(r.Context(), v.person.Password, r.PostFormValue("old"))
	if err != nil {
		k.undone()
		s.failPassword(w, r, err)
		return
	}
	if right {
		k.right()
	} else {
		form[0].Wrong = "This is not your present password."
		refuse(http.StatusUnprocessableEntity)
		return
	}
	chosen := r.PostFormValue("password")
	if form[1].Wrong = password.Wrong(chosen, v.person.SignIn, v.person.Name); form[1].Wrong != "" {
		refuse(http.StatusUnprocessableEntity)
		return
	}
	encoded, err := s.passwords.Hash(r.Context(), chosen)
	if err != nil {
		s.failPassword(w, r, err)
		return
	}
	session, _, err := s.Class.SessionOf(r.Context(), v.session, s.now())
	if err == nil {
		err = s.Class.SetPassword(r.Context(), v.person.ID, encoded)
	}
	if err == nil {
		s.recheck(v.person.ID)
		err = s.signIn(w, r, v.person.ID, isOwnDevice(session))
	}
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/account", "password")
}

// isOwnDevice reports whether a session was opened on a device of the person's
// own.
func isOwnDevice(s class.Session) bool { return !s.EndsAt.Before(s.MadeAt.Add(ownSessionFor)) }

// changeCalendar gives the calendar of whoever asks another address, or none.
func (s *Server) changeCalendar(w http.ResponseWriter, r *http.Request) {
	p, said := of(r).person, "calendar"
	p.Feed = rand.Text()
	if r.PostFormValue("do") == "stop" {
		p.Feed, said = "", "no-calendar"
	}
	if err := s.Class.UpdatePerson(r.Context(), p); err != nil {
		s.failClass(w, r, err)
		return
	}
	done(w, r, "/account", said)
}

// signOutEverywhere ends all sessions of whoever asks.
func (s *Server) signOutEverywhere(w http.ResponseWriter, r *http.Request) {
	if err := s.Class.EndSessions(r.Context(), of(r).person.ID); err != nil {
		s.failClass(w, r, err)
		return
	}
	s.recheck(of(r).person.ID)
	s.setSession(w, r, "", "", false)
	done(w, r, "/sign-in", "everywhere")
}

// sendOwnData sends everything that is kept about whoever asks.
func (s *Server) sendOwnData(w http.ResponseWriter, r *http.Request) {
	s.sendDossier(w, r, of(r).person.ID, "my-data.json")
}

// sendDossier sends everything that is kept about a person as a file.
func (s *Server) sendDossier(w http.ResponseWriter, r *http.Request, person, file string) {
	d, err := s.Class.Dossier(r.Context(), person)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	body, err := studentData(d)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Type", "application/json")
	h.Set("Content-Disposition", `attachment; filename="`+file+`"`)
	_, _ = w.Write(body)
}

var errManySignIns = &refusal{http.StatusServiceUnavailable, "busy", "Many people are signing in at this moment", "Nothing was changed. Go back and try again in a few seconds."}

// failPassword answers a request whose password could not be looked at.
func (s *Server) failPassword(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, password.ErrBusy) {
		w.Header().Set("Retry-After", "3")
		err = errManySignIns
	}
	s.fail(w, r, err)
}
