package web

import (
	_ "embed"
	"net/http"

	"shaftbook/lessons"
)

// gallery is a lesson that shows every kind of figure once. It stands on no
// shelf; whoever works on the drawings looks at it under /figures.
//
//go:embed gallery.md
var gallery []byte

const gallerySlug = "figure-gallery"

func (s *Server) galleryRoutes() []route {
	if !s.Gallery {
		return nil
	}
	lesson, _ := lessons.Parse(gallerySlug+".md", gallery)
	s.book.add(lesson)
	return []route{{reader, "GET /figures", func(w http.ResponseWriter, r *http.Request) {
		body, err := s.book.pages[gallerySlug].made()
		s.send(w, r, body, err)
	}}}
}
