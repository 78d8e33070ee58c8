package web

import (
	"crypto/rand"
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/account/password"
	"shaftbook/web/page"
)

var errSpentLink = &refusal{http.StatusGone, "spent", "This link no longer works",
	"It was used, has run out, or another was made after it. If you have chosen a password already, sign in; otherwise ask whoever gave it to you for a new one."}

// showLink shows what a one-time link is for. It uses nothing up: programs that
// look at links before their readers do must not spend them.
func (s *Server) showLink(w http.ResponseWriter, r *http.Request) {
	l, form, err := s.linkForm(w, r)
	if err != nil {
		s.failLink(w, r, err)
		return
	}
	if p := of(r).person; l.Purpose == class.ForColleague && p.Instructor {
		form.Text = append(form.Text, "You are signed in as "+p.Name+". This account joins the class.")
		form.Fields, form.Button = nil, "Join as an instructor"
	}
	s.sendEntry(w, r, http.StatusOK, form)
}

// findLink returns the link of the address. Who asks for links that are not there
// has to wait like who guesses passwords.
func (s *Server) findLink(w http.ResponseWriter, r *http.Request) (l class.Link, err error) {
	k, wait := s.knock(r, "link", "")
	if wait > 0 {
		return l, &refusal{http.StatusTooManyRequests, "too-fast", "This cannot be opened just now", tooSoon(w, wait)}
	}
	l, err = s.Class.LinkOf(r.Context(), hashToken(r.PathValue("token")), s.now())
	if !errors.Is(err, class.ErrSpent) {
		k.undone()
	}
	return l, err
}

// linkForm is the form of the link of the address, as it stands before anything
// is typed.
func (s *Server) linkForm(w http.ResponseWriter, r *http.Request) (class.Link, page.EntryForm, error) {
	form := page.EntryForm{Action: r.URL.EscapedPath()}
	l, err := s.findLink(w, r)
	if err != nil {
		return l, form, err
	}
	switch l.Purpose {
	case class.ForSetUp:
		form.Heading, form.Button = "The first instructor", "Make the account"
		form.Text = []string{"This server has no instructor yet. Whoever fills this in is the first one, and can make classes and invite colleagues."}
	case class.ForColleague:
		form.Heading, form.Button = "Come in as an instructor", "Make the account"
		form.Text = []string{"A colleague has invited you. Choose how you sign in; you can make classes of your own too."}
		if l.Class != "" {
			c, err := s.Class.Class(r.Context(), l.Class)
			if err != nil {
				return l, form, err
			}
			form.Text[0] = "A colleague has invited you to the class “" + c.Name + "”. Choose how you sign in; you can make classes of your own too."
		}
		form.Ways = []page.EntryWay{{Before: "Do you have an instructor’s account here?", Label: "Sign in", Path: signInPath(form.Action), After: " first, and this link takes it into the class."}}
	case class.ForEntry:
		p, err := s.Class.Person(r.Context(), l.Person)
		if err != nil {
			return l, form, err
		}
		form.Heading, form.Button = "Choose a password", "Keep it and come in"
		form.Text = []string{"This is for " + p.Name + "."}
		name := page.ClassField{Name: "signin", Label: "Sign-in name", Type: "text", Value: p.SignIn, Fill: "username", Help: "With this and the password you sign in the next time.", Fixed: true}
		form.Fields = []page.ClassField{name, newPasswordField("Choose a password")}
		return l, form, nil
	}
	form.Fields = append(particularsForm(class.Person{}), newPasswordField("Choose a password"))
	return l, form, nil
}

// takeLink uses a link up, and signs in whom it is for.
func (s *Server) takeLink(w http.ResponseWriter, r *http.Request) {
	l, form, err := s.linkForm(w, r)
	if err != nil {
		s.failLink(w, r, err)
		return
	}
	if v := of(r); l.Purpose == class.ForColleague && v.person.Instructor {
		if _, err := s.Class.Redeem(r.Context(), l.Hash, v.person, s.now()); err != nil {
			s.failLink(w, r, err)
			return
		}
		s.noteEntry(r, l.Class, v.person, "by a colleague’s link")
		http.Redirect(w, r, afterLink(l, v.person), http.StatusSeeOther)
		return
	}
	p := class.Person{ID: rand.Text(), Name: line(r, "name"), SignIn: line(r, "signin"), MadeAt: s.now()}
	secret := &form.Fields[len(form.Fields)-1]
	if l.Purpose == class.ForEntry {
		if p, err = s.Class.Person(r.Context(), l.Person); err != nil {
			s.failLink(w, r, err)
			return
		}
	} else {
		form.Fields[0].Value, form.Fields[1].Value = p.Name, p.SignIn
	}
	form.Own = r.PostFormValue("own") != ""
	refuse := func() { s.sendEntry(w, r, http.StatusUnprocessableEntity, form) }
	chosen := r.PostFormValue("password")
	secret.Wrong = password.Wrong(chosen, p.SignIn, p.Name)
	if missing(form.Fields) || secret.Wrong != "" {
		refuse()
		return
	}
	if p.Password, err = s.passwords.Hash(r.Context(), chosen); err != nil {
		s.failPassword(w, r, err)
		return
	}
	p, err = s.Class.Redeem(r.Context(), l.Hash, p, s.now())
	if errors.Is(err, class.ErrTaken) && l.Purpose != class.ForEntry {
		form.Fields[1].Wrong = takenName
		refuse()
		return
	}
	if err == nil {
		s.recheck(p.ID)
		err = s.signIn(w, r, p.ID, form.Own)
	}
	if err != nil {
		s.failLink(w, r, err)
		return
	}
	s.noteEntry(r, l.Class, p, "by a link")
	http.Redirect(w, r, afterLink(l, p), http.StatusSeeOther)
}

// noteEntry writes into the log of a class, if there is one, that somebody came
// in. They have by then, so a fault does not keep them out.
func (s *Server) noteEntry(r *http.Request, in string, p class.Person, how string) {
	if in == "" {
		return
	}
	e := class.Entry{Class: in, By: p.ID, At: s.now(), Action: "entry", About: p.ID, Detail: "came in " + how}
	if p.Instructor {
		e.About = "" // the log is about students
	}
	if err := s.Class.Note(r.Context(), e); err != nil {
		s.Log.Warn("an entry is not in the log", "class", in, "error", err)
	}
}

// afterLink is where somebody goes whom a link has let in.
func afterLink(l class.Link, p class.Person) string {
	if l.Purpose == class.ForColleague && l.Class != "" {
		return "/class/" + l.Class
	}
	return firstPage(p, "")
}

// failLink answers a request whose link does not work.
func (s *Server) failLink(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, class.ErrSpent) || errors.Is(err, class.ErrNone) {
		err = errSpentLink
	}
	s.failClass(w, r, err)
}
