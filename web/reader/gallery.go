package reader

import (
	_ "embed"
	"net/http"

	"shaftbook/lessons"
	"shaftbook/web/request"
)

// gallery is a lesson that shows every kind of figure once. It is not
// listed; people who work on the drawings look at it under /figures.
//
//go:embed gallery.md
var gallery []byte

const gallerySlug = "figure-gallery"

func (h *Handlers) galleryRoutes() []request.Route {
	if !h.Gallery {
		return nil
	}
	lesson, _ := lessons.Parse(gallerySlug+".md", gallery)
	h.Pages.add(lesson)
	return append(h.statesRoutes(), request.Route{Pattern: "GET /figures", Handle: func(w http.ResponseWriter, r *http.Request) {
		body, err := h.Pages.unlisted[gallerySlug].made.get(r.Context())
		h.SendShared(w, r, body, err)
	}})
}
