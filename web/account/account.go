package account

import (
	"crypto/rand"
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// Routes are the routes of coming in and of one's own account. Those
// for anyone are how a visitor without a session gets one; signing out is
// among them because a session may have ended by itself.
func (h *Handlers) Routes() []request.Route {
	return []request.Route{
		{Pattern: "GET /sign-in", Handle: h.showSignIn},
		{Pattern: "POST /sign-in", Handle: h.takeSignIn},
		{Pattern: "POST /sign-out", Handle: h.signOut},
		{Pattern: "GET /join", Handle: h.showJoin},
		{Pattern: "POST /join", Handle: h.takeJoin},
		{Pattern: "GET /link/{token}", Handle: h.showLink},
		{Pattern: "POST /link/{token}", Handle: h.takeLink},
		{Pattern: "GET /account", Handle: h.showAccount},
		{Pattern: "POST /account", Handle: h.changeAccount},
		{Pattern: "POST /account/password", Handle: h.changePassword},
		{Pattern: "POST /account/calendar", Handle: h.changeCalendar},
		{Pattern: "POST /account/sessions", Handle: h.signOutEverywhere},
		{Pattern: "GET /account/data", Handle: h.sendOwnData},
	}
}

// accountSaid are the sentences that the page of an account shows after
// something was done.
var accountSaid = map[string]string{
	"kept":        "Saved.",
	"password":    "Password changed. All other devices are signed out.",
	"calendar":    "Calendar address created. An earlier address no longer works.",
	"no-calendar": "Calendar address deleted. It no longer works.",
}

// showAccount shows who is signed in.
func (h *Handlers) showAccount(w http.ResponseWriter, r *http.Request) {
	h.sendAccount(w, r, http.StatusOK, particularsForm(request.VisitorFrom(r).Person), passwordForm())
}

func particularsForm(p class.Person) []page.ClassField {
	return []page.ClassField{
		{Name: "name", Label: "Name", Type: "text", Value: p.Name, Fill: "name"},
		signInField(p.SignIn),
	}
}

// signInField is the field of a name to sign in with that is chosen.
func signInField(value string) page.ClassField {
	return page.ClassField{Name: "signin", Label: "Username", Type: "text", Value: value, Fill: "username", Help: "Your e-mail address, or a short name that nobody else uses here."}
}

func passwordForm() []page.ClassField {
	return []page.ClassField{
		{Name: "old", Label: "Current password", Type: "password", Fill: "current-password"},
		newPasswordField("New password"),
	}
}

func newPasswordField(label string) page.ClassField {
	return page.ClassField{Name: "password", Label: label, Type: "password", Fill: "new-password", Help: password.Help}
}

func (h *Handlers) sendAccount(w http.ResponseWriter, r *http.Request, status int, particulars, change []page.ClassField) {
	p := request.VisitorFrom(r).Person
	view := page.Account{
		Frame: h.ClassFrame("Account"), Name: p.Name, SignIn: p.SignIn, Instructor: p.Instructor,
		Said: accountSaid[r.URL.Query().Get("said")], Particulars: particulars, Password: change,
	}
	classes, members, err := h.Store.ClassesOf(r.Context(), p.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if p.Feed != "" {
		view.Calendar = h.OriginFor(r) + "/calendar/" + p.Feed
	}
	for i, c := range classes {
		m := members[i]
		if m.Left {
			continue
		}
		line := page.ClassLine{Name: c.Name, Term: c.Term, Path: page.MinePath(c.ID)}
		if m.Role == class.Staff {
			line.Path, line.Role = "/class/"+c.ID, "instructor"
		}
		view.Classes = append(view.Classes, line)
	}
	h.SendPage(w, r, status, "account", view)
}

// changeAccount changes the name and sign-in name of an instructor. Those of a
// student are the roster's: a list that is brought in again finds the student by
// them.
func (h *Handlers) changeAccount(w http.ResponseWriter, r *http.Request) {
	p := request.VisitorFrom(r).Person
	p.Name, p.SignIn = request.Line(r, "name"), request.Line(r, "signin")
	form := particularsForm(p)
	if missing(form) {
		h.sendAccount(w, r, http.StatusUnprocessableEntity, form, passwordForm())
		return
	}
	switch err := h.Store.UpdatePerson(r.Context(), p); {
	case errors.Is(err, class.ErrTaken):
		form[1].Wrong = takenName
		h.sendAccount(w, r, http.StatusUnprocessableEntity, form, passwordForm())
	case err != nil:
		h.FailClass(w, r, err)
	default:
		request.SeeOther(w, r, "/account", "kept")
	}
}

const takenName = "This username is taken. Choose another."

// missing marks each empty field of a form that must be filled in, and each that is
// too long.
func missing(form []page.ClassField) bool {
	wrong := page.RefuseLong(form)
	for i := range form {
		if f := &form[i]; f.Value == "" && !f.Optional && f.Type != "password" {
			f.Wrong, wrong = "Fill in this field.", true
		}
	}
	return wrong
}

// changePassword changes the password of a person who knows the present one. Every
// other session ends; this browser gets a new one.
func (h *Handlers) changePassword(w http.ResponseWriter, r *http.Request) {
	v, form := request.VisitorFrom(r), passwordForm()
	refuse := func(status int) { h.sendAccount(w, r, status, particularsForm(v.Person), form) }
	k, wait, err := h.attempt(r, "change", v.Person.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if wait > 0 {
		form[0].Wrong = tooSoon(w, wait)
		refuse(http.StatusTooManyRequests)
		return
	}
	right, _, err := h.passwords.Verify(r.Context(), v.Person.Password, r.PostFormValue("old"))
	if err != nil {
		k.undo()
		h.failPassword(w, r, err)
		return
	}
	if right {
		k.succeed()
	} else {
		form[0].Wrong = "This is not your current password."
		refuse(http.StatusUnprocessableEntity)
		return
	}
	chosen := r.PostFormValue("password")
	if form[1].Wrong = password.Wrong(chosen, v.Person.SignIn, v.Person.Name); form[1].Wrong != "" {
		refuse(http.StatusUnprocessableEntity)
		return
	}
	encoded, err := h.passwords.Hash(r.Context(), chosen)
	if err != nil {
		h.failPassword(w, r, err)
		return
	}
	session, _, err := h.Store.SessionOf(r.Context(), v.Session, h.Now())
	if err == nil {
		err = h.Store.SetPassword(r.Context(), v.Person.ID, encoded)
	}
	if err == nil {
		h.Recheck(v.Person.ID)
		err = h.Sessions.Open(w, r, v.Person.ID, isOwnDevice(session))
	}
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/account", "password")
}

// isOwnDevice reports whether a session was opened on a device of the person's
// own.
func isOwnDevice(s class.Session) bool { return !s.EndsAt.Before(s.MadeAt.Add(ownSessionFor)) }

// changeCalendar gives the visitor's calendar another address, or none.
func (h *Handlers) changeCalendar(w http.ResponseWriter, r *http.Request) {
	p, said := request.VisitorFrom(r).Person, "calendar"
	p.Feed = rand.Text()
	if r.PostFormValue("do") == "stop" {
		p.Feed, said = "", "no-calendar"
	}
	if err := h.Store.UpdatePerson(r.Context(), p); err != nil {
		h.FailClass(w, r, err)
		return
	}
	request.SeeOther(w, r, "/account", said)
}

// signOutEverywhere ends all sessions of the visitor.
func (h *Handlers) signOutEverywhere(w http.ResponseWriter, r *http.Request) {
	if err := h.Store.EndSessions(r.Context(), request.VisitorFrom(r).Person.ID); err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.Recheck(request.VisitorFrom(r).Person.ID)
	h.Sessions.forget(w, r)
	request.SeeOther(w, r, "/sign-in", "everywhere")
}

// sendOwnData sends everything that is kept about the visitor.
func (h *Handlers) sendOwnData(w http.ResponseWriter, r *http.Request) {
	d, err := h.Store.Dossier(r.Context(), request.VisitorFrom(r).Person.ID)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	body, err := d.Export()
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	request.SendFile(w, "my-data.json", body)
}

var errManySignIns = request.NewRefusal(http.StatusServiceUnavailable, "busy", "Too many people are signing in right now", "Nothing was changed. Go back and try again in a few seconds.")

// failPassword answers a request whose password could not be looked at.
func (h *Handlers) failPassword(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, password.ErrBusy) {
		w.Header().Set("Retry-After", "3")
		err = errManySignIns
	}
	h.Fail(w, r, err)
}
