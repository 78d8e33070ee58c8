package web

import (
	"errors"
	"net/http"
	"slices"

	"shaftbook/exercises/class"
	"shaftbook/web/account"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/static"
)

// access is who may use a route.
type access int

const (
	nobody      access = iota // the rule of a route without a rule
	staticFile                // anybody; the visitor is not looked up
	machines                  // the same, for those who ask how the server is
	anybody                   // signed in or not
	readers                   // anybody; on a server with classes, people who are signed in
	signedIn                  // people who are signed in
	instructors               // people who may make classes
	writers                   // the same; on an open server, whoever is at its machine
	members                   // people who are in the class of the address, and have not left
	staff                     // the instructors of that class
)

// rules lists who may use each route. A route that is not here is refused to
// everybody.
var rules = map[string]access{
	// Lessons.
	"GET /derivation":                                    readers,
	"POST /derivation":                                   readers,
	"GET /figures":                                       readers,
	"GET /figures/states":                                readers,
	"GET /glossary":                                      readers,
	"GET /symbols":                                       readers,
	"GET /lesson/{slug}":                                 readers,
	"GET /lesson/{slug}/board":                           readers,
	"GET /lesson/{slug}/exercise/{cell}":                 readers,
	"POST /lesson/{slug}/exercise/{cell}":                readers,
	"POST /lesson/{slug}/exercise/{cell}/guess":          readers,
	"POST /lesson/{slug}/exercise/{cell}/hint":           readers,
	"GET /lesson/{slug}/exercise/{cell}/practise":        readers,
	"POST /lesson/{slug}/exercise/{cell}/practise":       readers,
	"POST /lesson/{slug}/guess/{cell}":                   readers,
	"GET /lesson/{slug}/figure/{cell}/{index}/{format}":  readers,
	"POST /lesson/{slug}/figure/{cell}/{index}/{format}": readers,
	"GET /lesson/{slug}/kept":                            readers,
	"POST /lesson/{slug}/kept":                           readers,
	"GET /lesson/{slug}/sheet":                           readers,
	"GET /lesson/{slug}/working/{format}":                readers,
	"POST /lesson/{slug}/working/{format}":               readers,
	"GET /lesson/{slug}/{file}":                          readers,
	"GET /live":                                          readers,
	"GET /practice":                                      readers,
	"GET /practice/next":                                 readers,
	"GET /practice/{slug}/{cell}":                        readers,
	"POST /practice/{slug}/{cell}":                       readers,
	"GET /pages":                                         readers,
	"POST /pages":                                        readers,
	"GET /page/{page}":                                   readers,
	"POST /page/{page}":                                  readers,
	"POST /page/{page}/delete":                           readers,
	"GET /page/{page}/file/{format}":                     readers,
	"GET /page/{page}/kept":                              readers,
	"POST /page/{page}/kept":                             readers,
	"POST /page/{page}/name":                             readers,
	"POST /page/{page}/remove":                           readers,
	"POST /page/{page}/undelete":                         readers,
	"POST /page/{page}/version":                          readers,
	"GET /page/{page}/figure/{cell}/{index}/{format}":    readers,
	"POST /page/{page}/figure/{cell}/{index}/{format}":   readers,
	"GET /page/{page}/working/{format}":                  readers,
	"POST /page/{page}/working/{format}":                 readers,
	"POST /page/{page}/guess/{cell}":                     readers,
	"GET /page/{page}/exercise/{cell}/practise":          readers,
	"POST /page/{page}/exercise/{cell}/practise":         readers,
	"GET /page/{page}/share":                             readers,
	"POST /page/{page}/share":                            readers,
	"POST /page/{page}/share/{link}/withdraw":            readers,
	"POST /page/{page}/show":                             signedIn,
	"POST /page/{page}/hide":                             signedIn,
	"GET /{$}":                                           readers,

	// A page that is seen with a link: what lets a visitor in is the secret in the address.
	"GET /shared/{token}":                                 anybody,
	"GET /shared/{token}/figure/{cell}/{index}/{format}":  anybody,
	"POST /shared/{token}/figure/{cell}/{index}/{format}": anybody,
	"GET /shared/{token}/live":                            anybody,
	"GET /shared/{token}/working/{format}":                anybody,
	"POST /shared/{token}/working/{format}":               anybody,

	// Lessons that are written here.
	"GET /write":                       writers,
	"GET /write/{slug}":                writers,
	"GET /write/{slug}/board":          writers,
	"GET /write/{slug}/found":          writers,
	"GET /write/{slug}/numbers/{cell}": writers,

	// Accounts. Those for everyone are how a visitor without a session gets one; signing
	// out is among them because a session may have ended by itself.
	"GET /account":           signedIn,
	"POST /account":          instructors,
	"POST /account/calendar": signedIn,
	"GET /account/data":      signedIn,
	"POST /account/password": signedIn,
	"POST /account/sessions": signedIn,
	"GET /join":              anybody,
	"POST /join":             anybody,
	"GET /link/{token}":      anybody,
	"POST /link/{token}":     anybody,
	"GET /sign-in":           anybody,
	"POST /sign-in":          anybody,
	"POST /sign-out":         anybody,

	// Classes.
	"GET /class/{class}":                                                              staff,
	"POST /class/{class}":                                                             staff,
	"GET /class/{class}/answers/{assignment}":                                         staff,
	"GET /class/{class}/assign":                                                       staff,
	"POST /class/{class}/assign":                                                      staff,
	"GET /class/{class}/assignment/{assignment}":                                      staff,
	"POST /class/{class}/assignment/{assignment}":                                     staff,
	"GET /class/{class}/assignment/{assignment}/recompute":                            staff,
	"POST /class/{class}/assignment/{assignment}/recompute":                           staff,
	"POST /class/{class}/assignment/{assignment}/times":                               staff,
	"POST /class/{class}/assignment/{assignment}/times/{person}/end":                  staff,
	"POST /class/{class}/assignment/{assignment}/withdraw":                            staff,
	"POST /class/{class}/attempts.csv":                                                staff,
	"POST /class/{class}/code":                                                        staff,
	"GET /class/{class}/copy":                                                         staff,
	"POST /class/{class}/copy":                                                        staff,
	"GET /class/{class}/items":                                                        staff,
	"GET /class/{class}/log":                                                          staff,
	"GET /class/{class}/marks":                                                        staff,
	"POST /class/{class}/marks.csv":                                                   staff,
	"GET /class/{class}/marks/{assignment}/{person}":                                  staff,
	"POST /class/{class}/marks/{assignment}/{person}":                                 staff,
	"GET /class/{class}/room/{assignment}":                                            staff,
	"GET /class/{class}/room/{assignment}/live":                                       staff,
	"GET /class/{class}/roster":                                                       staff,
	"POST /class/{class}/roster":                                                      staff,
	"POST /class/{class}/roster.csv":                                                  staff,
	"POST /class/{class}/roster/apply":                                                staff,
	"POST /class/{class}/roster/preview":                                              staff,
	"GET /class/{class}/sheets/{assignment}":                                          staff,
	"POST /class/{class}/staff":                                                       staff,
	"POST /class/{class}/staff/{person}/out":                                          staff,
	"GET /class/{class}/student/{person}":                                             staff,
	"POST /class/{class}/student/{person}":                                            staff,
	"GET /class/{class}/student/{person}/data":                                        staff,
	"POST /class/{class}/student/{person}/erase":                                      staff,
	"POST /class/{class}/student/{person}/leave":                                      staff,
	"POST /class/{class}/student/{person}/link":                                       staff,
	"GET /class/{class}/student/{person}/page/{page}":                                 staff,
	"POST /class/{class}/student/{person}/page/{page}/answer":                         staff,
	"POST /class/{class}/student/{person}/page/{page}/answer/{answer}/remove":         staff,
	"GET /class/{class}/student/{person}/page/{page}/figure/{cell}/{index}/{format}":  staff,
	"POST /class/{class}/student/{person}/page/{page}/figure/{cell}/{index}/{format}": staff,
	"GET /class/{class}/student/{person}/page/{page}/working/{format}":                staff,
	"POST /class/{class}/student/{person}/page/{page}/working/{format}":               staff,
	"POST /class/{class}/student/{person}/rejoin":                                     staff,
	"POST /class/{class}/student/{person}/sessions":                                   staff,
	"GET /classes":  signedIn,
	"POST /classes": instructors,

	// Lessons that are written on the server. They are everybody's, and no class's, so
	// every instructor may.
	"GET /drafts":                            instructors,
	"POST /drafts":                           instructors,
	"GET /drafts/{lesson}":                   instructors,
	"POST /drafts/{lesson}":                  instructors,
	"GET /drafts/{lesson}/compare":           instructors,
	"POST /drafts/{lesson}/discard":          instructors,
	"GET /drafts/{lesson}/faults":            instructors,
	"GET /drafts/{lesson}/file/{file}":       instructors,
	"POST /drafts/{lesson}/image":            instructors,
	"POST /drafts/{lesson}/kept":             instructors,
	"POST /drafts/{lesson}/publish":          instructors,
	"POST /drafts/{lesson}/version":          instructors,
	"GET /drafts/{lesson}/versions":          instructors,
	"GET /drafts/{lesson}/versions/{number}": instructors,

	// A person's own work. The program that fetches a calendar cannot sign in: what
	// lets it in is the secret in the address.
	"GET /calendar/{feed}": anybody,
	"GET /mine":            signedIn,

	// How the server is, for machines.
	"GET " + livePath:  machines,
	"GET " + readyPath: machines,

	// What belongs to no page, and what is not there.
	"/":                    anybody,
	"GET " + static.Prefix: staticFile,
}

// routes are the addresses of everything that the server answers.
func (s *Server) routes() []request.Route {
	list := slices.Concat(s.fileRoutes(), s.healthRoutes(), s.reader.Routes())
	if s.Classes != nil {
		list = slices.Concat(list, s.account.Routes(), s.classroom.Routes())
	}
	return list
}

var errSignIn = request.NewRefusal(http.StatusUnauthorized, request.KindSignIn, "You are not signed in",
	"Nothing was saved. Sign in in a new tab, then come back to this one and send it again.")

// guarded lets the visitors through to a route whom its rule allows.
func (s *Server) guarded(rt request.Route) http.HandlerFunc {
	handle := s.sharing(rt.Handle)
	if rules[rt.Pattern] == writers {
		handle = framed(handle)
	}
	return s.guard(rules[rt.Pattern], handle)
}

func (s *Server) guard(rule access, handle http.HandlerFunc) http.HandlerFunc {
	switch {
	case rule == nobody:
		return func(w http.ResponseWriter, r *http.Request) { s.site.Fail(w, r, request.ErrNotFound) }
	case s.Classes == nil && rule == writers:
		return func(w http.ResponseWriter, r *http.Request) {
			if !s.isWriter(r) {
				s.site.Fail(w, r, errNotWriter)
				return
			}
			handle(w, r)
		}
	case s.Classes == nil, rule == staticFile, rule == machines:
		return handle
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if !account.Admit(w, s.account.Limits.PerAddress, s.site.ClientOf(r)) {
			s.site.Fail(w, r, account.ErrTooMany)
			return
		}
		v, err := s.account.Sessions.Visitor(r)
		if err != nil {
			s.site.FailStore(w, r, err)
			return
		}
		if v.Person.ID != "" && !account.Admit(w, s.account.Limits.PerPerson, v.Person.ID) {
			s.site.Fail(w, r, account.ErrTooMany)
			return
		}
		if err := s.allowed(r, rule, v); err != nil {
			if err == errSignIn && r.Method == http.MethodGet && !request.WantsProblem(r) {
				http.Redirect(w, r, page.SignInPath(r.URL.RequestURI()), http.StatusSeeOther)
				return
			}
			s.site.FailStore(w, r, err)
			return
		}
		handle(w, request.WithVisitor(r, v))
	}
}

// allowed returns nil if a visitor may use a route. A class that is not the
// visitor's is answered like one that does not exist, so that visitors do not learn
// which there are.
func (s *Server) allowed(r *http.Request, a access, v *request.Visitor) error {
	switch a {
	case staticFile, machines, anybody:
		return nil
	case readers, signedIn, instructors, writers, members, staff:
	default:
		return request.ErrNotFound
	}
	if v.Person.ID == "" {
		return errSignIn
	}
	switch a {
	case instructors, writers:
		if !v.Person.Instructor {
			return request.ErrNotAllowed
		}
	case members, staff:
		m, err := s.Classes.Member(r.Context(), r.PathValue("class"), v.Person.ID)
		if errors.Is(err, class.ErrNone) || err == nil && m.Left {
			return request.ErrNotFound
		}
		if err != nil {
			return err
		}
		if v.Member = m; a == staff && !v.IsStaff() {
			return request.ErrNotFound
		}
		if v.Class, err = s.Classes.Class(r.Context(), m.Class); err != nil {
			return err
		}
	}
	return nil
}
