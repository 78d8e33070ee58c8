package reader

import (
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/web/app/download"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

func (h *Handlers) downloadRoutes() []request.Route {
	const path = "/lesson/{slug}/working/{format}"
	return []request.Route{{Pattern: "GET " + path, Handle: h.download}, {Pattern: "POST " + path, Handle: h.download}}
}

// download sends the working of a lesson, or of the one cell that is asked
// for, as text or TeX, or the whole lesson as Markdown: as the lesson has it
// or, when it is asked with changes, as the reader has it.
func (h *Handlers) download(w http.ResponseWriter, r *http.Request) {
	p, err := h.lessonPage(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	working := p.lesson.NewWorking()
	var c download.Changes
	if r.Method == http.MethodPost {
		var err error
		if c, err = readChanges(r); err == nil {
			err = applyChanges(c, working)
		}
		if err != nil {
			h.Fail(w, r, err)
			return
		}
	}
	only := r.URL.Query().Get("cell")
	if _, ok := working.Text(only); only != "" && !ok {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	covered, err := h.coveredFor(r, p)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	write := map[string]func() string{
		"text":     func() string { return download.Text(p.lesson, working, only, covered) },
		"tex":      func() string { return download.TeX(p.lesson, working, only, covered) },
		"markdown": func() string { return download.Markdown(p.lesson, working, c) },
	}[r.PathValue("format")]
	if write == nil {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	var body string
	if err := turns.Do(r.Context(), turns.Page, func(ctx context.Context) error {
		err := working.Evaluate(ctx, nil)
		if err == nil {
			body = write()
		}
		return err
	}); err != nil {
		h.Fail(w, r, err)
		return
	}
	header := w.Header()
	header.Set("Content-Type", "text/plain; charset=utf-8")
	if r.PathValue("format") == "markdown" {
		header.Set("Content-Type", "text/markdown; charset=utf-8")
		header.Set("Content-Disposition", "attachment; filename="+strconv.Quote(namedFile(p.lesson.Slug)+".md"))
	}
	header.Set("Cache-Control", "private, no-cache")
	header.Add("Vary", "Cookie")
	_, _ = w.Write([]byte(body)) // a reader that has gone away is no fault of ours
}

// namedFile returns the name of a file made from a lesson. A page of a learner's own is
// known by its address, which can hold a secret.
func namedFile(slug string) string {
	if slug == "" || strings.Contains(slug, "/") {
		return "page"
	}
	return slug
}

// coveredFor returns what is covered for whoever asks: as on the page.
func (h *Handlers) coveredFor(r *http.Request, p *lessonPage) (download.Covered, error) {
	if h.Attempts == nil || len(p.lesson.Guesses) == 0 {
		return func(*kernel.Result) bool { return false }, nil
	}
	made, err := p.prose.get(r.Context())
	if err != nil {
		return nil, err
	}
	at, err := h.guessesAt(r.Context(), p, learnerFrom(r), r.URL.Query())
	if err != nil {
		return nil, err
	}
	return func(result *kernel.Result) bool {
		return slices.ContainsFunc(made.covers.covering.Of(result), func(id string) bool {
			_, asked := made.covers.truth(id)
			return asked && !at.isMade(id)
		})
	}, nil
}

func readChanges(r *http.Request) (download.Changes, error) {
	var c download.Changes
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&c); err != nil {
		return c, request.Unreadable(err)
	}
	return c, nil
}

// applyChanges carries the changes into a working.
func applyChanges(c download.Changes, w *kernel.Working) error {
	if err := c.Apply(w); err != nil {
		return request.ErrNotFound
	}
	return nil
}
