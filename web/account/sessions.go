package account

import (
	"context"
	"errors"
	"net/http"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/app/token"
	"shaftbook/web/request"
)

// How long a session lasts. On a device that others use too it ends twelve hours
// after the sign-in or, if that is later, after a lesson or a room was last open:
// long enough for a day's work, and over by the next morning. On a device of
// one's own it lasts the 30 days after which NIST SP 800-63B, section 4.1.3 (from
// memory), has everybody sign in again, whatever they do; so does the longest of
// the others.
const (
	sessionFor    = 12 * time.Hour
	ownSessionFor = 30 * 24 * time.Hour
	touchAfter    = time.Hour // a session is made longer by no less than this, so that it is seldom written
)

// A SessionStore keeps sessions; contract.School has it.
type SessionStore interface {
	OpenSession(ctx context.Context, s class.Session) error
	// SessionOf returns a session that has not ended at a time, with its person.
	SessionOf(ctx context.Context, hash string, now time.Time) (class.Session, class.Person, error)
	TouchSession(ctx context.Context, hash string, seen, ends time.Time) error
	EndSession(ctx context.Context, hash string) error
}

// Sessions open, find and end the sessions of browsers.
type Sessions struct {
	Site    *request.Site
	Store   SessionStore
	Recheck func(person string) // closes what a person may no longer see
}

// Names of the cookie that holds a session's token. Under TLS the prefix makes
// browsers hold it to this host alone.
const (
	secureCookie = "__Host-shaftbook"
	plainCookie  = "shaftbook"
)

func (s *Sessions) sessionCookie(r *http.Request) string {
	if s.Site.IsSecure(r) {
		return secureCookie
	}
	return plainCookie
}

// Open opens a session for a person and ends the one that this browser had:
// the token is new, so that it cannot have been put there by another site.
func (s *Sessions) Open(w http.ResponseWriter, r *http.Request, person string, ownDevice bool) error {
	before := request.VisitorFrom(r).Session
	secret, now := token.NewSession(), s.Site.Now()
	lasts := sessionFor
	if ownDevice {
		lasts = ownSessionFor
	}
	n := class.Session{Hash: token.Hash(secret), Person: person, MadeAt: now, SeenAt: now, EndsAt: now.Add(lasts)}
	if err := s.Store.OpenSession(r.Context(), n); err != nil {
		return err
	}
	s.setSession(w, r, secret, person, ownDevice)
	var err error
	if before != "" {
		err = s.Store.EndSession(r.Context(), before)
		s.Recheck(request.VisitorFrom(r).Person.ID)
	}
	return errors.Join(err, s.endOther(w, r))
}

// endOther ends the session that this browser has from when it came by the other of
// http and https, if it sends its token, and takes the token away. A browser that
// comes by http does not send the one for https.
func (s *Sessions) endOther(w http.ResponseWriter, r *http.Request) error {
	name := secureCookie
	if s.sessionCookie(r) == secureCookie {
		name = plainCookie
	}
	c, err := r.Cookie(name)
	if err != nil || c.Value == "" {
		return nil
	}
	other, person, err := s.Store.SessionOf(r.Context(), token.Hash(c.Value), s.Site.Now())
	switch {
	case errors.Is(err, class.ErrNone):
		return nil // perhaps it is of another server on this machine
	case err != nil:
		return err
	}
	if err := s.Store.EndSession(r.Context(), other.Hash); err != nil {
		return err
	}
	s.Recheck(person.ID)
	http.SetCookie(w, &http.Cookie{Name: name, Path: "/", MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: name == secureCookie})
	return nil
}

// whoseCookie tells the scripts of pages that another person has signed in, so
// that what the browser keeps of one is not sent as another's. It opens nothing.
const whoseCookie = "shaftbook_whose"

// setSession gives the browser the token of a person's session, or takes it away
// if it is empty. Without ownDevice the browser forgets it when it is closed.
func (s *Sessions) setSession(w http.ResponseWriter, r *http.Request, secret, person string, ownDevice bool) {
	whose := ""
	if secret != "" {
		whose = token.Hash("whose " + person)[:16]
	}
	for _, c := range []*http.Cookie{{Name: s.sessionCookie(r), Value: secret, HttpOnly: true}, {Name: whoseCookie, Value: whose}} {
		c.Path, c.SameSite, c.Secure = "/", http.SameSiteLaxMode, s.Site.IsSecure(r)
		switch {
		case secret == "":
			c.MaxAge = -1
		case ownDevice:
			c.MaxAge = int(ownSessionFor / time.Second)
		}
		http.SetCookie(w, c)
	}
}

// Visitor finds the visitor who sent a request by the cookie of the session.
func (s *Sessions) Visitor(r *http.Request) (*request.Visitor, error) {
	c, err := r.Cookie(s.sessionCookie(r))
	if err != nil || c.Value == "" {
		return &request.Visitor{}, nil
	}
	session, person, err := s.Store.SessionOf(r.Context(), token.Hash(c.Value), s.Site.Now())
	switch {
	case errors.Is(err, class.ErrNone):
		return &request.Visitor{}, nil
	case err != nil:
		return nil, err
	}
	return &request.Visitor{Person: person, Session: session.Hash}, nil
}

// Refresh reports whether a session is still open, and makes one whose lesson or
// room is open last on. While the store cannot say, it is open.
func (s *Sessions) Refresh(ctx context.Context, hash string) (open bool) {
	now := s.Site.Now()
	session, _, err := s.Store.SessionOf(ctx, hash, now)
	if err != nil {
		return !errors.Is(err, class.ErrNone)
	}
	ends := now.Add(sessionFor)
	if last := session.MadeAt.Add(ownSessionFor); ends.After(last) {
		ends = last
	}
	if ends.Sub(session.EndsAt) < touchAfter {
		return true
	}
	if err := s.Store.TouchSession(ctx, hash, now, ends); err != nil && !errors.Is(err, class.ErrNone) {
		s.Site.Log.Warn("a session was not made longer", "error", err)
	}
	return true
}

// forget takes the session's token from the browser.
func (s *Sessions) forget(w http.ResponseWriter, r *http.Request) { s.setSession(w, r, "", "", false) }
