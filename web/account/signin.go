package account

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"unicode"

	"shaftbook/exercises/class"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// signInSaid are the sentences above the form that say why it is shown.
var signInSaid = map[string]string{
	"out":        "You are signed out.",
	"everywhere": "You are signed out on all devices.",
}

// wrongSignIn does not say which of the two it is: a guesser would learn
// which names there are.
const wrongSignIn = "The username or the password is wrong. Passwords are case-sensitive."

// showSignIn shows the form.
func (h *Handlers) showSignIn(w http.ResponseWriter, r *http.Request) {
	form := signInForm("")
	form.Said = signInSaid[r.URL.Query().Get("said")]
	form.Next = localPath(r.URL.Query().Get("next"))
	there, err := h.Store.HasInstructor(r.Context())
	switch name := request.VisitorFrom(r).Person.Name; {
	case err != nil:
		h.FailClass(w, r, err)
		return
	case name != "":
		form.Text = []string{"You are signed in as " + name + ". Signing in here replaces that session."}
	case !there:
		form.Text = []string{"There are no accounts here yet. When this server was started, it printed an address; the person who opens it becomes the first instructor."}
	}
	h.sendEntry(w, r, http.StatusOK, form)
}

func signInForm(name string) page.EntryForm {
	return page.EntryForm{
		Heading: "Sign in", Action: "/sign-in", Button: "Sign in",
		Fields: []page.ClassField{
			{Name: "name", Label: "Username", Type: "text", Value: name, Fill: "username", Help: "As on your class’s roster; often an e-mail address."},
			{Name: "password", Label: "Password", Type: "password", Fill: "current-password"},
		},
		Ways: []page.EntryWay{
			{Before: "First time here, with a class code?", Label: "Join your class", Path: "/join", After: "."},
			{Before: "Forgot your password? Your instructor can send you a link to choose a new one."},
		},
	}
}

// sendEntry sends a page on which people sign in or join.
func (h *Handlers) sendEntry(w http.ResponseWriter, r *http.Request, status int, form page.EntryForm) {
	form.Frame = h.ClassFrame(form.Heading)
	form.Accounts = request.VisitorFrom(r).Person.ID != "" // the links at the top lead back here otherwise
	w.Header().Set("Referrer-Policy", "no-referrer")       // the address may hold a link's token
	h.SendPage(w, r, status, "entry-form", form)
}

// takeSignIn signs in a person who knows the password.
func (h *Handlers) takeSignIn(w http.ResponseWriter, r *http.Request) {
	name, next := request.Line(r, "name"), localPath(r.PostFormValue("next"))
	form := signInForm(name)
	form.Next, form.Own = next, r.PostFormValue("own") != ""
	if page.RefuseLong(form.Fields) {
		h.sendEntry(w, r, http.StatusUnprocessableEntity, form)
		return
	}
	k, wait, err := h.attempt(r, "sign-in", name)
	if err != nil {
		h.FailClass(w, r, err)
		return
	}
	if wait > 0 {
		form.Wrong = tooSoon(w, wait) + " If you have forgotten the password, ask your instructor for a link to choose a new one."
		h.sendEntry(w, r, http.StatusTooManyRequests, form)
		return
	}
	p, right, err := h.whoSignsIn(r, name, r.PostFormValue("password"))
	if err != nil {
		k.undo()
		h.failPassword(w, r, err)
		return
	}
	if !right {
		form.Wrong = wrongSignIn
		h.sendEntry(w, r, http.StatusUnprocessableEntity, form)
		return
	}
	k.succeed()
	if err := h.Sessions.Open(w, r, p.ID, form.Own); err != nil {
		h.FailClass(w, r, err)
		return
	}
	http.Redirect(w, r, firstPage(p, next), http.StatusSeeOther)
}

// whoSignsIn looks a name and a password up. A password under a hash that costs
// too little is hashed again.
func (h *Handlers) whoSignsIn(r *http.Request, name, given string) (p class.Person, right bool, err error) {
	p, err = h.Store.PersonBySignIn(r.Context(), name)
	if err != nil && !errors.Is(err, class.ErrNone) {
		return p, false, err
	}
	right, stale, err := h.passwords.Verify(r.Context(), p.Password, given)
	if err != nil || !right || !stale {
		return p, right, err
	}
	encoded, err := h.passwords.Hash(r.Context(), given)
	if err == nil {
		err = h.Store.Rehash(r.Context(), p.ID, p.Password, encoded)
	}
	if err != nil {
		h.Log.Warn("a password was not hashed again", "error", err)
	}
	return p, true, nil
}

// firstPage is the page after signing in.
func firstPage(p class.Person, next string) string {
	switch {
	case next != "":
		return next
	case p.Instructor:
		return "/classes"
	}
	return "/"
}

// localPath returns an address if it is a page of this server that a visitor may
// be sent to, or nothing. What a browser could take for another host (RFC 3986,
// section 4.2, and the backslashes and control characters that browsers mend) is
// refused, not mended.
func localPath(address string) string {
	strange := func(c rune) bool { return c == '\\' || unicode.IsControl(c) || unicode.IsSpace(c) }
	if !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || strings.ContainsFunc(address, strange) {
		return ""
	}
	u, err := url.Parse(address)
	if err != nil || u.IsAbs() || u.Host != "" {
		return ""
	}
	return address
}

// signOut ends the session of this browser.
func (h *Handlers) signOut(w http.ResponseWriter, r *http.Request) {
	if hash := request.VisitorFrom(r).Session; hash != "" {
		if err := h.Store.EndSession(r.Context(), hash); err != nil {
			h.FailClass(w, r, err)
			return
		}
	}
	if err := h.Sessions.endOther(w, r); err != nil {
		h.FailClass(w, r, err)
		return
	}
	h.Recheck(request.VisitorFrom(r).Person.ID)
	h.Sessions.forget(w, r)
	request.SeeOther(w, r, "/sign-in", "out")
}
