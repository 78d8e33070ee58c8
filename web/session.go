package web

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"net/http"
	"time"

	"shaftbook/exercises/class"
	"shaftbook/web/live"
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

	tokenBytes = 32
)

// hashToken is how a token of a session or a link is kept: whoever reads the
// store cannot sign in with what stands there.
func hashToken(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// sessionCookie is the name of the cookie that holds a session's token. Under
// TLS the prefix makes browsers hold it to this host alone.
func (s *Server) sessionCookie(r *http.Request) string {
	if s.isSecure(r) {
		return "__Host-shaftbook"
	}
	return "shaftbook"
}

// signIn opens a session for a person and ends the one that this browser had:
// the token is new, so that nobody can have put it there.
func (s *Server) signIn(w http.ResponseWriter, r *http.Request, person string, ownDevice bool) error {
	before := of(r).session
	token, now := newToken(), s.now()
	lasts := sessionFor
	if ownDevice {
		lasts = ownSessionFor
	}
	n := class.Session{Hash: hashToken(token), Person: person, MadeAt: now, SeenAt: now, EndsAt: now.Add(lasts)}
	if err := s.Class.OpenSession(r.Context(), n); err != nil {
		return err
	}
	s.setSession(w, r, token, person, ownDevice)
	if before == "" {
		return nil
	}
	err := s.Class.EndSession(r.Context(), before)
	s.recheck(of(r).person.ID)
	return err
}

func newToken() string {
	b := make([]byte, tokenBytes)
	_, _ = rand.Read(b) // never fails: see crypto/rand
	return base64.RawURLEncoding.EncodeToString(b)
}

// whoseCookie tells the scripts of pages that another person has signed in, so
// that what the browser keeps of one is not sent as another's. It opens nothing.
const whoseCookie = "shaftbook_whose"

// setSession gives the browser the token of a person's session, or takes it away
// if it is empty. Without ownDevice the browser forgets it when it is closed.
func (s *Server) setSession(w http.ResponseWriter, r *http.Request, token, person string, ownDevice bool) {
	whose := ""
	if token != "" {
		whose = hashToken("whose " + person)[:16]
	}
	for _, c := range []*http.Cookie{{Name: s.sessionCookie(r), Value: token, HttpOnly: true}, {Name: whoseCookie, Value: whose}} {
		c.Path, c.SameSite, c.Secure = "/", http.SameSiteLaxMode, s.isSecure(r)
		switch {
		case token == "":
			c.MaxAge = -1
		case ownDevice:
			c.MaxAge = int(ownSessionFor / time.Second)
		}
		http.SetCookie(w, c)
	}
}

// signedOut reports whether a session has ended. While the store cannot say, it
// has not. A session whose lesson or room is open is made to last on.
func (s *Server) signedOut(ctx context.Context, hash string) bool {
	now := s.now()
	session, _, err := s.Class.SessionOf(ctx, hash, now)
	if err != nil {
		return errors.Is(err, class.ErrNone)
	}
	ends := now.Add(sessionFor)
	if last := session.MadeAt.Add(ownSessionFor); ends.After(last) {
		ends = last
	}
	if ends.Sub(session.EndsAt) < touchAfter {
		return false
	}
	if err := s.Class.TouchSession(ctx, hash, now, ends); err != nil && !errors.Is(err, class.ErrNone) {
		s.Log.Warn("a session was not made longer", "error", err)
	}
	return false
}

// visitor finds out who asks.
func (s *Server) visitor(r *http.Request) (*visitor, error) {
	c, err := r.Cookie(s.sessionCookie(r))
	if err != nil || c.Value == "" {
		return &visitor{}, nil
	}
	session, person, err := s.Class.SessionOf(r.Context(), hashToken(c.Value), s.now())
	switch {
	case errors.Is(err, class.ErrNone):
		return &visitor{}, nil
	case err != nil:
		return nil, err
	}
	return &visitor{person: person, session: session.Hash}, nil
}

// holder says whose a live connection is.
func (s *Server) holder(r *http.Request) live.Holder {
	v := of(r)
	return live.Holder{Person: v.person.ID, Session: v.session, Address: s.clientOf(r)}
}

// mayStill reports whether whoever holds a live connection is still signed in,
// and may still see its lesson. A fault of the store is no reason to close it.
func (s *Server) mayStill(ctx context.Context, who live.Holder, lesson string) bool {
	if s.Class == nil {
		return true
	}
	if s.signedOut(ctx, who.Session) {
		return false
	}
	if _, assignment := class.SplitKey(lesson); assignment == "" {
		return true
	}
	_, err := s.book.page(ctx, who.Person, lesson)
	var told *refusal
	return !errors.As(err, &told)
}

// recheck closes the live connections of a person who has just lost them.
func (s *Server) recheck(person string) { s.hub.Recheck(person) }
