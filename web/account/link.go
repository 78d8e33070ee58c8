package account

import (
	"context"
	"crypto/rand"
	"errors"
	"net/http"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/app/token"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

var errSpentLink = request.NewRefusal(http.StatusGone, "spent", "This link no longer works",
	"It has been used, has expired, or has been replaced by a newer one. If you have already chosen a password, sign in; otherwise ask the person who sent it for a new one.")

// showLink shows what a one-time link is for. It uses nothing up: programs that
// look at links before their readers do must not spend them.
func (h *Handlers) showLink(w http.ResponseWriter, r *http.Request) {
	l, form, err := h.linkForm(w, r)
	if err != nil {
		h.failLink(w, r, err)
		return
	}
	if p := request.VisitorFrom(r).Person; l.Purpose == class.ForColleague && p.Instructor {
		form.Text = append(form.Text, "You are signed in as "+p.Name+". This account will join the class.")
		form.Fields, form.Button = nil, "Join as an instructor"
	}
	h.sendEntry(w, r, http.StatusOK, form)
}

// findLink returns the link of the address. Who asks for links that are not there
// has to wait like who guesses passwords.
func (h *Handlers) findLink(w http.ResponseWriter, r *http.Request) (l class.Link, err error) {
	k, wait, err := h.attempt(r, "link", "")
	if err != nil {
		return l, err
	}
	if wait > 0 {
		return l, request.NewRefusal(http.StatusTooManyRequests, "too-fast", "This cannot be opened right now", tooSoon(w, wait))
	}
	l, err = h.Store.LinkOf(r.Context(), token.Hash(r.PathValue("token")), h.Now())
	if !errors.Is(err, class.ErrSpent) {
		k.undo()
	}
	return l, err
}

// linkForm is the form of the link of the address, before anything
// is typed.
func (h *Handlers) linkForm(w http.ResponseWriter, r *http.Request) (class.Link, page.EntryForm, error) {
	form := page.EntryForm{Action: r.URL.EscapedPath()}
	l, err := h.findLink(w, r)
	if err != nil {
		return l, form, err
	}
	switch l.Purpose {
	case class.ForSetUp:
		form.Heading, form.Button = "Create the first instructor’s account", "Create account"
		form.Text = []string{"This server has no instructor yet. The first instructor can create classes and invite colleagues."}
	case class.ForColleague:
		form.Heading, form.Button = "Create an instructor’s account", "Create account"
		form.Text = []string{"A colleague has invited you. Choose how you will sign in. You can also create classes of your own."}
		if l.Class != "" {
			c, err := h.Store.Class(r.Context(), l.Class)
			if err != nil {
				return l, form, err
			}
			form.Text[0] = "A colleague has invited you to the class “" + c.Name + "”. Choose how you will sign in. You can also create classes of your own."
		}
		form.Ways = []page.EntryWay{{Before: "Do you already have an instructor’s account here?", Label: "Sign in", Path: page.SignInPath(form.Action), After: " first, then this link adds it to the class."}}
	case class.ForEntry:
		p, err := h.Store.Person(r.Context(), l.Person)
		if err != nil {
			return l, form, err
		}
		form.Heading, form.Button = "Choose a password", "Save and sign in"
		form.Text = []string{"This link is for " + p.Name + "."}
		name := page.ClassField{Name: "signin", Label: "Username", Type: "text", Value: p.SignIn, Fill: "username", Help: "You will sign in with this username and your password.", Fixed: true}
		form.Fields = []page.ClassField{name, newPasswordField("Choose a password")}
		return l, form, nil
	}
	form.Fields = append(particularsForm(class.Person{}), newPasswordField("Choose a password"))
	return l, form, nil
}

// takeLink uses a link up, and signs in whom it is for.
func (h *Handlers) takeLink(w http.ResponseWriter, r *http.Request) {
	l, form, err := h.linkForm(w, r)
	if err != nil {
		h.failLink(w, r, err)
		return
	}
	if v := request.VisitorFrom(r); l.Purpose == class.ForColleague && v.Person.Instructor {
		if _, err := h.Store.Redeem(r.Context(), l.Hash, v.Person, h.Now()); err != nil {
			h.failLink(w, r, err)
			return
		}
		h.noteEntry(r, l.Class, v.Person, "by a colleague’s invitation")
		http.Redirect(w, r, afterLink(l, v.Person), http.StatusSeeOther)
		return
	}
	p := class.Person{ID: rand.Text(), Name: request.Line(r, "name"), SignIn: request.Line(r, "signin"), MadeAt: h.Now()}
	secret := &form.Fields[len(form.Fields)-1]
	if l.Purpose == class.ForEntry {
		if p, err = h.Store.Person(r.Context(), l.Person); err != nil {
			h.failLink(w, r, err)
			return
		}
	} else {
		form.Fields[0].Value, form.Fields[1].Value = p.Name, p.SignIn
	}
	form.Own = r.PostFormValue("own") != ""
	refuse := func() { h.sendEntry(w, r, http.StatusUnprocessableEntity, form) }
	chosen := r.PostFormValue("password")
	secret.Wrong = password.Wrong(chosen, p.SignIn, p.Name)
	if missing(form.Fields) || secret.Wrong != "" {
		refuse()
		return
	}
	if p.Password, err = h.passwords.Hash(r.Context(), chosen); err != nil {
		h.failPassword(w, r, err)
		return
	}
	p, err = h.Store.Redeem(r.Context(), l.Hash, p, h.Now())
	if errors.Is(err, class.ErrTaken) && l.Purpose != class.ForEntry {
		form.Fields[1].Wrong = takenName
		refuse()
		return
	}
	if err == nil {
		h.Recheck(p.ID)
		err = h.Sessions.Open(w, r, p.ID, form.Own)
	}
	if err != nil {
		h.failLink(w, r, err)
		return
	}
	h.noteEntry(r, l.Class, p, "by a link")
	http.Redirect(w, r, afterLink(l, p), http.StatusSeeOther)
}

// noteEntry writes into the log of a class, if there is one, that a person came
// in. They have by then, so a fault does not keep them out.
func (h *Handlers) noteEntry(r *http.Request, in string, p class.Person, how string) {
	if in == "" {
		return
	}
	e := class.Entry{Class: in, By: p.ID, At: h.Now(), Action: "entry", About: p.ID, Detail: "joined " + how}
	if p.Instructor {
		e.About = "" // the log is about students
	}
	if err := h.Store.Note(r.Context(), e); err != nil {
		h.Log.Warn("an entry is not in the log", "class", in, "error", err)
	}
}

// afterLink is the page after a link was used.
func afterLink(l class.Link, p class.Person) string {
	if l.Purpose == class.ForColleague && l.Class != "" {
		return "/class/" + l.Class
	}
	return firstPage(p, "")
}

// failLink answers a request whose link does not work.
func (h *Handlers) failLink(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, class.ErrSpent) || errors.Is(err, class.ErrNone) {
		err = errSpentLink
	}
	h.FailClass(w, r, err)
}

// startLinkFor is how long a link works that is made on the command line.
const startLinkFor = 24 * time.Hour

// SetUpLink makes a one-time link for the first instructor of a server, which ends
// an earlier one, and returns its path. class.ErrTaken where there is an instructor.
func (h *Handlers) SetUpLink(ctx context.Context) (path string, err error) {
	return token.NewLink(ctx, h.Store, class.Link{Purpose: class.ForSetUp}, h.Now(), startLinkFor)
}

// EntryLink makes a one-time link with which a person chooses another password, and
// returns its path. class.ErrNone if no one has the sign-in name.
func (h *Handlers) EntryLink(ctx context.Context, signIn string) (path string, err error) {
	p, err := h.Store.PersonBySignIn(ctx, signIn)
	if err != nil {
		return "", err
	}
	return token.NewLink(ctx, h.Store, class.Link{Purpose: class.ForEntry, Person: p.ID}, h.Now(), startLinkFor)
}
