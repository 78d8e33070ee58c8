package reader

import (
	"bytes"
	_ "embed"
	"net/http"

	"shaftbook/lessons"
	"shaftbook/web/compress"
	"shaftbook/web/request"
)

// states is a lesson with one of each part. states.js shows copies of them in every
// state. Like the figures it is not listed, and is there where the gallery is served.
//
//go:embed states.md
var states []byte

const statesSlug = "states-gallery"

func (h *Handlers) statesRoutes() []request.Route {
	lesson, _ := lessons.Parse(statesSlug+".md", states)
	h.Pages.add(lesson)
	script := []byte(`<script type="module" src="` + h.StatesScript + `"></script></head>`)
	return []request.Route{{Pattern: "GET /figures/states", Handle: func(w http.ResponseWriter, r *http.Request) {
		text, err := h.Pages.pages[statesSlug].text.get(r.Context())
		body := bytes.Replace(text, []byte("</head>"), script, 1)
		h.SendShared(w, r, compress.New(request.HTMLType, body), err)
	}}}
}
