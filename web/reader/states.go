package reader

import (
	"bytes"
	_ "embed"
	"net/http"

	"shaftbook/lessons"
	"shaftbook/web/compress"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

// states is a lesson with one of each part. states.js shows copies of them in every
// state. Like the figures it is not listed, and is there where the gallery is served.
//
//go:embed states.md
var states []byte

// askedAbove puts the guesses of a lesson into its page, as nobody has made them.
func askedAbove(text []byte, lesson *lessons.Lesson, c *covers) ([]byte, error) {
	for _, g := range lesson.Guesses {
		truth, ok := c.truth(g.ID)
		if !ok {
			continue
		}
		view := page.NewGuess(g, truth)
		view.Action = "#" + g.ID // it is only looked at
		body, err := page.Render("ask-guess", view)
		if err != nil {
			return nil, err
		}
		text = bytes.Replace(text, []byte(guessGap(g.ID)), body, 1)
	}
	return text, nil
}

const statesSlug = "states-gallery"

func (h *Handlers) statesRoutes() []request.Route {
	lesson, _ := lessons.Parse(statesSlug+".md", states)
	h.Pages.add(lesson)
	script := []byte(`<script type="module" src="` + h.StatesScript + `"></script></head>`)
	return []request.Route{{Pattern: "GET /figures/states", Handle: func(w http.ResponseWriter, r *http.Request) {
		text, err := h.Pages.unlisted[statesSlug].text.get(r.Context())
		body := bytes.Replace(text, []byte("</head>"), script, 1)
		if made, failed := h.Pages.unlisted[statesSlug].prose.get(r.Context()); err == nil {
			if err = failed; err == nil {
				body, err = askedAbove(made.covers.withoutCovers(body), lesson, made.covers)
			}
			if err == nil {
				body, err = h.withParts(r.Context(), body, lesson, made.covers)
			}
		}
		h.SendShared(w, r, compress.New(request.HTMLType, body), err)
	}}}
}
