package web

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"shaftbook/exercises/class"
)

// access says who may use a route.
type access int

const (
	file       access = iota // a static file, for anybody: who asks is not looked up
	anybody                  // anybody, signed in or not
	reader                   // anybody; on a server with classes, whoever is signed in
	signedIn                 // whoever is signed in
	instructor               // who may make classes
	member                   // who is in the class of the address, and has not left
	staff                    // the instructors of that class
)

// A route is one row of the table of everything that the server answers. The
// table is the only way to a handler, so that none can be without a rule.
type route struct {
	access  access
	pattern string
	handle  http.HandlerFunc
}

// routes is the table. Routes above reader are for a server with classes.
func (s *Server) routes() []route {
	all := slices.Concat(
		s.lessonRoutes(), s.figureRoutes(), s.galleryRoutes(), s.exerciseRoutes(), s.keptRoutes(),
		s.takeawayRoutes(), s.derivationRoutes(), s.sheetRoutes(), s.boardRoutes(), s.fileRoutes(),
	)
	if s.Class == nil {
		return all
	}
	return slices.Concat(
		all,
		s.accountRoutes(),
		s.classRoutes(),
		s.roomRoutes(),
		s.assignRoutes(), s.calendarRoutes(),
		s.classSheetRoutes(),
		s.markRoutes(),
		s.itemRoutes(),
		s.logRoutes(),
		s.mineRoutes(),
	)
}

// A visitor is who asks, and what they are in the class of the address. An
// open server knows nobody.
type visitor struct {
	person  class.Person // without an ID if nobody is signed in
	session string       // hash of the session's token
	class   class.Class  // of the address, if it names one
	member  class.Member // what the person is in it
}

type visitorKey struct{}

// of returns who asks.
func of(r *http.Request) *visitor {
	if v, ok := r.Context().Value(visitorKey{}).(*visitor); ok {
		return v
	}
	return &visitor{}
}

// isStaff reports whether the visitor is an instructor of the class of the
// address.
func (v *visitor) isStaff() bool { return v.member.Role == class.Staff && !v.member.Left }

var (
	errSignIn = &refusal{http.StatusUnauthorized, "sign-in", "You are not signed in",
		"Nothing was kept. Sign in in another window, then go back to what you wrote and send it again."}
	errNotYour = &refusal{http.StatusForbidden, "forbidden", "This is for instructors", "Your account does not allow it. Ask whoever runs this server if it should."}
)

// guarded lets through to a route who may use it.
func (s *Server) guarded(rt route) http.HandlerFunc {
	if s.Class == nil {
		return rt.handle
	}
	if rt.access == file {
		return rt.handle
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if !s.flows(w, s.doors.crowds, s.clientOf(r)) {
			s.fail(w, r, errTooMany)
			return
		}
		v, err := s.visitor(r)
		if err != nil {
			s.failStore(w, r, err)
			return
		}
		if v.person.ID != "" && !s.flows(w, s.doors.people, v.person.ID) {
			s.fail(w, r, errTooMany)
			return
		}
		if err := s.allowed(r, rt.access, v); err != nil {
			if err == errSignIn && r.Method == http.MethodGet && !wantsProblem(r) {
				http.Redirect(w, r, signInPath(r.URL.RequestURI()), http.StatusSeeOther)
				return
			}
			s.failStore(w, r, err)
			return
		}
		rt.handle(w, r.WithContext(context.WithValue(r.Context(), visitorKey{}, v)))
	}
}

// allowed returns nil if a visitor may use a route. A class that is not the
// visitor's is as good as none, so that nobody learns which there are.
func (s *Server) allowed(r *http.Request, a access, v *visitor) error {
	if a == file || a == anybody {
		return nil
	}
	if v.person.ID == "" {
		return errSignIn
	}
	switch a {
	case instructor:
		if !v.person.Instructor {
			return errNotYour
		}
	case member, staff:
		m, err := s.Class.Member(r.Context(), r.PathValue("class"), v.person.ID)
		if errors.Is(err, class.ErrNone) || err == nil && m.Left {
			return errNotFound
		}
		if err != nil {
			return err
		}
		if v.member = m; a == staff && !v.isStaff() {
			return errNotFound
		}
		if v.class, err = s.Class.Class(r.Context(), m.Class); err != nil {
			return err
		}
	}
	return nil
}
