package web

import (
	"net/http"

	"shaftbook/lessons"
)

// Replace serves another catalog in place of the one before: each request that comes
// from now on sees it whole, and those under way go on with the one before. Open pages
// of lessons that have changed go on with their text and are told. It is called after
// Open, by one goroutine at a time.
func (s *Server) Replace(next *lessons.Catalog) lessons.Change {
	change := s.catalog.Replace(next)
	versions := map[string]string{}
	for _, slug := range change.Lessons {
		versions[slug] = ""
		if l, ok := next.Lesson(slug); ok {
			versions[slug] = l.Version()
		}
	}
	s.hub.Changed(versions)
	return change
}

// holding has each request see one catalog throughout.
func (s *Server) holding(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) { next(w, r.WithContext(s.catalog.Hold(r.Context()))) }
}
