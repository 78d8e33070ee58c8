package web

import (
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"shaftbook/kernel"
)

func (s *Server) takeawayRoutes() []route {
	const path = "/lesson/{slug}/working/{format}"
	return []route{{reader, "GET " + path, s.takeaway}, {reader, "POST " + path, s.takeaway}}
}

// takeaway sends the working of a lesson, or of the one cell that is asked
// for, as text or TeX, or the whole lesson as Markdown: as the lesson has it
// or, when it is asked with changes, as the reader has it.
func (s *Server) takeaway(w http.ResponseWriter, r *http.Request) {
	p, err := s.lessonPage(r)
	if err != nil {
		s.failStore(w, r, err)
		return
	}
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(p.cells)
	var c changes
	if r.Method == http.MethodPost {
		var err error
		if c, err = readChanges(r); err == nil {
			err = c.apply(working)
		}
		if err != nil {
			s.fail(w, r, err)
			return
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), figureWait)
	defer cancel()
	if err := working.Evaluate(ctx, nil); err != nil {
		s.fail(w, r, err)
		return
	}
	only := r.URL.Query().Get("cell")
	if _, ok := working.Text(only); only != "" && !ok {
		s.fail(w, r, errNotFound)
		return
	}
	h := w.Header()
	var body string
	switch r.PathValue("format") {
	case "text":
		h.Set("Content-Type", "text/plain; charset=utf-8")
		body = p.workingAs(working, only, textForm)
	case "tex":
		h.Set("Content-Type", "text/plain; charset=utf-8")
		body = p.workingAs(working, only, texForm)
	case "markdown":
		h.Set("Content-Type", "text/markdown; charset=utf-8")
		h.Set("Content-Disposition", "attachment; filename="+strconv.Quote(p.lesson.Slug+".md"))
		body = p.markdown(working, c)
	default:
		s.fail(w, r, errNotFound)
		return
	}
	h.Set("Cache-Control", "no-cache")
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
	sections := sectionsOf(p.lesson)
	for i, s := range sections {
		var text strings.Builder
		for len(cells) > 0 && (i+1 == len(sections) || cells[0].Line < sections[i+1].line) {
			if results := w.Results(cells[0].ID); len(results) > 0 {
				text.WriteString("\n" + f.cell(results))
			}
			cells = cells[1:]
		}
		if text.Len() == 0 {
			continue
		}
		if s.id != "" {
			b.WriteString("\n" + f.heading(s.heading))
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
		return c, unreadableBody(err)
	}
	return c, nil
}

// apply carries the changes into a working. A name that an edit has taken
// away is no news; a cell that is not there is an error.
func (c changes) apply(w *kernel.Working) error {
	for cell, text := range c.Edits {
		if err := w.Edit(cell, text); err != nil {
			return errNotFound
		}
	}
	for name, value := range c.Varied {
		_ = w.Vary(name, value)
	}
	return nil
}
