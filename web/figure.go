package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
)

const (
	figureDPI  = 192
	figureWait = 20 * time.Second
)

// changes is what a page has changed in its lesson; state.js sends it.
type changes struct {
	Edits  map[string]string  `json:"edits"`
	Varied map[string]float64 `json:"varied"`
}

func (s *Server) figureRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /lesson/{slug}/figure/{cell}/{index}/{format}", s.figure)
	mux.HandleFunc("POST /lesson/{slug}/figure/{cell}/{index}/{format}", s.figure)
}

// figure sends one figure of a lesson to take away: as the lesson has it, or,
// when it is asked with changes, as the reader sees it.
func (s *Server) figure(w http.ResponseWriter, r *http.Request) {
	picture, err := s.findFigure(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var out bytes.Buffer
	contentType := "image/png"
	switch format := r.PathValue("format"); format {
	case "png":
		err = picture.PNG(&out, figureDPI)
	case "pdf":
		contentType = "application/pdf"
		err = picture.PDF(&out)
	default:
		err = errNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	name := fmt.Sprintf("%s-%s-%s.%s", r.PathValue("slug"), r.PathValue("cell"), r.PathValue("index"), r.PathValue("format"))
	h := w.Header()
	h.Set("Content-Type", contentType)
	h.Set("Content-Disposition", "attachment; filename="+strconv.Quote(name))
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	h.Set("Cache-Control", "no-cache")
	_, _ = out.WriteTo(w) // a reader that has gone away is no fault of ours
}

func (s *Server) findFigure(r *http.Request) (figure.Picture, error) {
	cells, ok := s.book.cells(r.PathValue("slug"))
	if !ok {
		return nil, errNotFound
	}
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(cells)
	if r.Method == http.MethodPost {
		if err := applyChanges(working, r); err != nil {
			return nil, err
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), figureWait)
	defer cancel()
	if err := working.Evaluate(ctx, nil); err != nil {
		return nil, err
	}
	results := working.Results(r.PathValue("cell"))
	i, err := strconv.Atoi(r.PathValue("index"))
	if err != nil || i < 0 || i >= len(results) || results[i].Figure == nil {
		return nil, errNotFound
	}
	return results[i].Figure, nil
}

func applyChanges(w *kernel.Working, r *http.Request) error {
	var c changes
	decoder := json.NewDecoder(r.Body)
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&c); err != nil {
		return unreadableBody(err)
	}
	for cell, text := range c.Edits {
		if err := w.Edit(cell, text); err != nil {
			return errNotFound
		}
	}
	for name, value := range c.Varied {
		_ = w.Vary(name, value) // a name that an edit has taken away is no news
	}
	return nil
}
