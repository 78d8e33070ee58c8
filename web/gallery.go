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

func (s *Server) galleryRoute(mux *http.ServeMux) {
	if !s.Gallery {
		return
	}
	lesson, _ := lessons.Parse(gallerySlug+".md", gallery)
	s.book.add(lesson)
	mux.HandleFunc("GET /figures", func(w http.ResponseWriter, r *http.Request) {
		body, err := s.book.pages[gallerySlug].made()
		s.send(w, r, body, err)
	})
}
