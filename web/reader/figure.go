package reader

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"time"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/shaft"
	"shaftbook/web/page"
	"shaftbook/web/request"
)

const (
	figureDPI  = 192
	figureWait = time.Minute
)

func (h *Handlers) figureRoutes() []request.Route {
	const path = "/lesson/{slug}/figure/{cell}/{index}/{format}"
	return []request.Route{{Pattern: "GET " + path, Handle: h.figure}, {Pattern: "POST " + path, Handle: h.figure}}
}

// figure sends one figure of a lesson, as the lesson has it or, when it is asked
// with changes, as the reader sees it: to take away, or what moves in it with
// the load.
func (h *Handlers) figure(w http.ResponseWriter, r *http.Request) {
	picture, index, err := h.findFigure(r)
	if err != nil {
		h.FailStore(w, r, err)
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
		err = request.ErrNotFound
	}
	if err != nil {
		h.Fail(w, r, err)
		return
	}
	header := w.Header()
	header.Set("Content-Type", contentType)
	if take {
		name := page.FigureName(r.PathValue("slug"), r.PathValue("cell"), index, format)
		header.Set("Content-Disposition", "attachment; filename="+strconv.Quote(name))
	}
	header.Set("Content-Length", strconv.Itoa(out.Len()))
	header.Set("Cache-Control", "no-cache")
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
		return request.ErrNotFound
	}
	room, err := strconv.ParseFloat(width, 64)
	if err != nil || !(room > 0) {
		return request.ErrNotFound
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

func (h *Handlers) findFigure(r *http.Request) (figure.Picture, int, error) {
	p, err := h.lessonPage(r)
	if err != nil {
		return nil, 0, err
	}
	working := p.lesson.NewWorking()
	if r.Method == http.MethodPost {
		c, err := readChanges(r)
		if err == nil {
			err = applyChanges(c, working)
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
		return nil, 0, request.ErrNotFound
	}
	return results[i].Figure, i, nil
}
