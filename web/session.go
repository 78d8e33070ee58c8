package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/web/live"
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
	return live.Holder{Person: of(r).person.ID}
}
