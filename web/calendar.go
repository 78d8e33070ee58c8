package web

import (
	"net/http"

	"shaftbook/exercises/class"
	"shaftbook/lessons"
	"shaftbook/web/compress"
)

// calendarRoutes are the routes of calendars. One is for anybody, because the
// program that fetches it cannot sign in: what lets it in is the secret in the
// address.
func (s *Server) calendarRoutes() []route {
	return []route{{anybody, "GET /calendar/{feed}", s.showCalendar}}
}

// showCalendar sends what is due for the person of the address, with the
// person's own times. Who has left a class does not hear of it.
func (s *Server) showCalendar(w http.ResponseWriter, r *http.Request) {
	person, err := s.Class.PersonByFeed(r.Context(), r.PathValue("feed"))
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	classes, members, err := s.Class.ClassesOf(r.Context(), person.ID)
	if err != nil {
		s.failClass(w, r, err)
		return
	}
	var list []class.Deadline
	for i, c := range classes {
		if members[i].Left {
			continue
		}
		assigned, err := s.Class.Assignments(r.Context(), c.ID)
		if err != nil {
			s.failClass(w, r, err)
			return
		}
		for _, a := range assigned {
			at, err := s.workOf(r.Context(), a, person.ID)
			if err != nil {
				s.failClass(w, r, err)
				return
			}
			list = append(list, class.Deadline{Assignment: a, Class: named(c), Extension: at.extension, Address: s.originFor(r) + lessons.Path(a.Key())})
		}
	}
	// The same for a browser in between is nobody's to keep.
	w.Header().Set("Cache-Control", "private, no-cache")
	compress.NewForOne("text/calendar; charset=utf-8", class.Calendar(siteTitle, list)).ServeHTTP(w, r)
}
