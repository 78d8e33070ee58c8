package reader

import (
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/lessons/search"
	"shaftbook/web/request"
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
	var c changes
	if r.Method == http.MethodPost {
		var err error
		if c, err = readChanges(r); err == nil {
			err = c.apply(working)
		}
		if err != nil {
			h.Fail(w, r, err)
			return
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), figureWait)
	defer cancel()
	if err := working.Evaluate(ctx, nil); err != nil {
		h.Fail(w, r, err)
		return
	}
	only := r.URL.Query().Get("cell")
	if _, ok := working.Text(only); only != "" && !ok {
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	header := w.Header()
	var body string
	switch r.PathValue("format") {
	case "text":
		header.Set("Content-Type", "text/plain; charset=utf-8")
		body = p.workingAs(working, only, textForm)
	case "tex":
		header.Set("Content-Type", "text/plain; charset=utf-8")
		body = p.workingAs(working, only, texForm)
	case "markdown":
		header.Set("Content-Type", "text/markdown; charset=utf-8")
		header.Set("Content-Disposition", "attachment; filename="+strconv.Quote(p.lesson.Slug+".md"))
		body = p.markdown(working, c)
	default:
		h.Fail(w, r, request.ErrNotFound)
		return
	}
	header.Set("Cache-Control", "no-cache")
	_, _ = w.Write([]byte(body)) // a reader that has gone away is no fault of ours
}

// A form says how a working is written to be taken along.
type form struct {
	title, heading func(string) string
	cell           func([]kernel.Result) string
}

// workingAs writes the working of one cell, or of all under their headings.
func (p *lessonPage) workingAs(w *kernel.Working, only string, f form) string {
	if only != "" {
		return f.cell(w.Results(only))
	}
	var b strings.Builder
	b.WriteString(f.title(p.lesson.Title))
	cells := p.lesson.Cells
	sections := search.SectionsOf(p.lesson)
	for i, s := range sections {
		var text strings.Builder
		for len(cells) > 0 && (i+1 == len(sections) || cells[0].Line < sections[i+1].Line) {
			if results := w.Results(cells[0].ID); len(results) > 0 {
				text.WriteString("\n" + f.cell(results))
			}
			cells = cells[1:]
		}
		if text.Len() == 0 {
			continue
		}
		if s.ID != "" {
			b.WriteString("\n" + f.heading(s.Heading))
		}
		b.WriteString(text.String())
	}
	return b.String()
}

func readChanges(r *http.Request) (changes, error) {
	var c changes
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&c); err != nil {
		return c, request.Unreadable(err)
	}
	return c, nil
}

// apply carries the changes into a working. A name that an edit has taken
// away is no news; a cell that is not there is an error.
func (c changes) apply(w *kernel.Working) error {
	for cell, text := range c.Edits {
		if err := w.Edit(cell, text); err != nil {
			return request.ErrNotFound
		}
	}
	for name, value := range c.Varied {
		_ = w.Vary(name, value)
	}
	return nil
}
