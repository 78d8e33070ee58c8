package web

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/shaft"
	"shaftbook/web/page"
)

const (
	figureDPI  = 192
	figureWait = time.Minute
)

// changes is what a page has changed in its lesson; state.js sends it.
type changes struct {
	Edits  map[string]string  `json:"edits"`
	Varied map[string]float64 `json:"varied"`
}

func (s *Server) figureRoutes() []route {
	const path = "/lesson/{slug}/figure/{cell}/{index}/{format}"
	return []route{{reader, "GET " + path, s.figure}, {reader, "POST " + path, s.figure}}
}

// figure sends one figure of a lesson, as the lesson has it or, when it is asked
// with changes, as the reader sees it: to take away, or what moves in it with
// the load.
func (s *Server) figure(w http.ResponseWriter, r *http.Request) {
	picture, index, err := s.findFigure(r)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var out bytes.Buffer
	contentType, take := "application/json", true
	format := r.PathValue("format")
	switch format {
	case "png":
		contentType = "image/png"
		err = picture.PNG(&out, figureDPI)
	case "pdf":
		contentType = "application/pdf"
		err = picture.PDF(&out)
	case "frames":
		take = false
		err = writeFrames(&out, picture, r.URL.Query().Get("width"))
	default:
		err = errNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	h := w.Header()
	h.Set("Content-Type", contentType)
	if take {
		name := page.FigureName(r.PathValue("slug"), r.PathValue("cell"), index, format)
		h.Set("Content-Disposition", "attachment; filename="+strconv.Quote(name))
	}
	h.Set("Content-Length", strconv.Itoa(out.Len()))
	h.Set("Cache-Control", "no-cache")
	_, _ = out.WriteTo(w) // a reader that has gone away is no fault of ours
}

// frames is what moves in a twisted shaft: for each share of the load, from
// none to all of it, the path data of the elements in the group fig-moving.
type frames struct {
	Frames [][]string `json:"frames"`
}

func writeFrames(out *bytes.Buffer, p figure.Picture, width string) error {
	drawing, ok := p.(*shaft.Drawing)
	if !ok || drawing.Twist == nil {
		return errNotFound
	}
	room, err := strconv.ParseFloat(width, 64)
	if err != nil || !(room > 0) {
		return errNotFound
	}
	var f frames
	for i := range page.LoadFrames {
		paths, err := drawing.Frame(figure.Options{Width: room}, float64(i)/(page.LoadFrames-1))
		if err != nil {
			return err
		}
		f.Frames = append(f.Frames, paths)
	}
	return json.NewEncoder(out).Encode(f)
}

func (s *Server) findFigure(r *http.Request) (figure.Picture, int, error) {
	p, err := s.lessonPage(r)
	if err != nil {
		return nil, 0, err
	}
	working := kernel.NewWorking(kernel.Limits{})
	working.SetCells(p.cells)
	if r.Method == http.MethodPost {
		c, err := readChanges(r)
		if err == nil {
			err = c.apply(working)
		}
		if err != nil {
			return nil, 0, err
		}
	}
	ctx, cancel := context.WithTimeout(r.Context(), figureWait)
	defer cancel()
	if err := working.Evaluate(ctx, nil); err != nil {
		return nil, 0, err
	}
	results := working.Results(r.PathValue("cell"))
	i, err := strconv.Atoi(r.PathValue("index"))
	if err != nil || i < 0 || i >= len(results) || results[i].Figure == nil {
		return nil, 0, errNotFound
	}
	return results[i].Figure, i, nil
}
