package reader

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"net/http"
	"strconv"

	"shaftbook/exercises/class"
	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/shaft"
	"shaftbook/web/page"
	"shaftbook/web/request"
	"shaftbook/web/turns"
)

const figureDPI = 192

func (h *Handlers) figureRoutes() []request.Route {
	const path = "/lesson/{slug}/figure/{cell}/{index}/{format}"
	return []request.Route{{Pattern: "GET " + path, Handle: h.figure}, {Pattern: "POST " + path, Handle: h.figure}}
}

// figure sends one figure of a lesson, or the numbers of a table, as the lesson has it or, when it is asked
// with changes, as the reader sees it: to take away, or what moves in it with
// the load.
func (h *Handlers) figure(w http.ResponseWriter, r *http.Request) {
	working, err := h.changedWorking(r)
	if err != nil {
		h.FailStore(w, r, err)
		return
	}
	var out bytes.Buffer
	var index int
	format := r.PathValue("format")
	if err := turns.Do(r.Context(), turns.Page, func(ctx context.Context) error {
		if err := working.Evaluate(ctx, nil); err != nil {
			return err
		}
		if format == "csv" {
			index, err = writeTable(&out, r, working)
			return err
		}
		var picture figure.Picture
		if picture, index, err = findFigure(r, working); err != nil {
			return err
		}
		return writeFigure(&out, picture, format, r.URL.Query().Get("width"))
	}); err != nil {
		h.Fail(w, r, err)
		return
	}
	header := w.Header()
	header.Set("Content-Type", figureTypes[format])
	if format != "frames" {
		name := page.FigureName(namedFile(r.PathValue("slug")), r.PathValue("cell"), index, format)
		header.Set("Content-Disposition", "attachment; filename="+strconv.Quote(name))
	}
	header.Set("Content-Length", strconv.Itoa(out.Len()))
	header.Set("Cache-Control", "no-cache")
	_, _ = out.WriteTo(w) // a reader that has gone away is no fault of ours
}

var figureTypes = map[string]string{"png": "image/png", "pdf": "application/pdf", "frames": "application/json", "csv": "text/csv; charset=utf-8"}

func writeFigure(out *bytes.Buffer, p figure.Picture, format, width string) error {
	switch format {
	case "png":
		return p.PNG(out, figureDPI)
	case "pdf":
		return p.PDF(out)
	case "frames":
		return writeFrames(out, p, width)
	}
	return request.ErrNotFound
}

// writeTable writes the numbers of a table as a file of RFC 4180.
func writeTable(out *bytes.Buffer, r *http.Request, working *kernel.Working) (index int, err error) {
	results := working.Results(r.PathValue("cell"))
	i, err := strconv.Atoi(r.PathValue("index"))
	if err != nil || i < 0 || i >= len(results) || results[i].Table == nil {
		return 0, request.ErrNotFound
	}
	rows := results[i].Table.File()
	for k, head := range rows[0] {
		rows[0][k] = class.CSVCell(head)
	}
	file := csv.NewWriter(out)
	file.UseCRLF = true
	return i, file.WriteAll(rows)
}

// frames is what moves in a twisted shaft: for each share of the load, from
// none to all of it, the path data and the texts of the elements in the group
// fig-moving.
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

// changedWorking returns the working of a lesson, with the changes that a request
// brings, not evaluated yet.
func (h *Handlers) changedWorking(r *http.Request) (*kernel.Working, error) {
	p, err := h.lessonPage(r)
	if err != nil {
		return nil, err
	}
	working := p.lesson.NewWorking()
	if r.Method != http.MethodPost {
		return working, nil
	}
	c, err := readChanges(r)
	if err != nil {
		return nil, err
	}
	return working, applyChanges(c, working)
}

func findFigure(r *http.Request, working *kernel.Working) (figure.Picture, int, error) {
	results := working.Results(r.PathValue("cell"))
	i, err := strconv.Atoi(r.PathValue("index"))
	if err != nil || i < 0 || i >= len(results) || results[i].Figure == nil {
		return nil, 0, request.ErrNotFound
	}
	return results[i].Figure, i, nil
}
