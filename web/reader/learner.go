package reader

import (
	"crypto/rand"
	"net/http"
	"strings"
	"time"

	"shaftbook/web/request"
)

const (
	learnerCookie = "shaftbook_learner"
	learnerFor    = 400 * 24 * time.Hour // the longest that browsers keep a cookie
)

// learnerFrom returns who is asking: the person who is signed in or, on an open
// server, a random name in a cookie with no account behind it. It is empty where
// the browser has none.
func learnerFrom(r *http.Request) string {
	if id := request.VisitorFrom(r).Person.ID; id != "" {
		return id
	}
	c, err := r.Cookie(learnerCookie)
	if err != nil || !isLearner(c.Value) {
		return ""
	}
	return c.Value
}

// LearnerOf returns the name under which the work of a visitor is kept, or "" if
// the browser has none.
func LearnerOf(r *http.Request) string { return learnerFrom(r) }

// isLearner tells names that this server makes from anything else.
func isLearner(s string) bool {
	return len(s) == 26 && !strings.ContainsFunc(s, func(c rune) bool {
		return (c < 'A' || c > 'Z') && (c < '2' || c > '7')
	})
}

// namedLearner is learnerFrom for someone who is about to have something kept. A
// browser without a name gets one; a name is kept for as long again.
func (h *Handlers) namedLearner(w http.ResponseWriter, r *http.Request) string {
	name := learnerFrom(r)
	if h.Classes != nil {
		return name
	}
	if name == "" {
		name = rand.Text()
	}
	http.SetCookie(w, &http.Cookie{
		Name: learnerCookie, Value: name, Path: "/", MaxAge: int(learnerFor / time.Second),
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: h.IsSecure(r),
	})
	return name
}
