package page

import (
	"strconv"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/shaft"
	"shaftbook/lessons"
)

const (
	narrowFigure = 340 // CSS pixels; the room on a telephone
	loadStep     = 5   // per cent, of the slider of a load

	// LoadFrames is how many drawings a load slider goes through, from no load
	// to the full one.
	LoadFrames = 100/loadStep + 1
)

// figure writes two drawings, of which the style sheet shows the one that fits:
// so text in them keeps its size on a telephone, also without a script and when
// a telephone is turned. Diagrams are a picture of their own under the drawing,
// which the board sets beside it.
func (w *rowWriter) figure(p figure.Picture) {
	w.put(`<figure class="block picture">`)
	w.drawings(p, "at-wide", figure.Options{ID: RowID(w.r.Cell, w.r.Index) + "-figure"})
	w.drawings(p, "at-narrow", figure.Options{ID: RowID(w.r.Cell, w.r.Index) + "-figure-narrow", Width: narrowFigure})
	if movable(p) {
		w.load()
	}
	w.put(`<div class="picture-tools"><details><summary>Figure data</summary>`)
	w.put(`<div class="scroll" tabindex="0" role="group" aria-label="Figure data" data-part="data">`)
	w.data(p.Data(), p.Title())
	w.put("</div></details>")
	for _, format := range []string{"PNG", "PDF"} {
		file := strings.ToLower(format)
		w.put(`<a class="js-download"`)
		w.attr("href", FigurePath(w.lesson, w.r.Cell, w.r.Index, file))
		w.attr("download", FigureName(w.lesson, w.r.Cell, w.r.Index, file))
		w.put(">", format, `<span class="sr"> of this figure</span></a>`)
	}
	w.put(`</div><figcaption data-part="caption">`)
	w.text(shown(p.Caption()))
	w.put("</figcaption></figure>")
}

// drawings writes one form of a figure.
func (w *rowWriter) drawings(p figure.Picture, form string, o figure.Options) {
	w.put(`<div class="`, form, `" data-part="figure">`)
	parts := []figure.Part{figure.Whole}
	if d, ok := p.(*shaft.Drawing); ok && len(d.Diagrams) > 0 {
		parts = []figure.Part{figure.DrawingPart, figure.DiagramPart}
	}
	for _, part := range parts {
		o.Part = part
		if part == figure.DiagramPart {
			o.ID += "-diagrams"
		}
		svg, err := w.figures.SVG(p, o)
		if err != nil {
			w.err = err // the kernel leaves out figures that cannot be drawn
			return
		}
		w.Write(svg)
	}
	w.put(`</div>`)
}

// movable reports whether a figure shows something that moves with the load.
func movable(p figure.Picture) bool {
	d, ok := p.(*shaft.Drawing)
	return ok && d.Twist != nil
}

// load is the slider that takes a share of the load away and puts it back. What
// is drawn for each share comes from the server; see load.js.
func (w *rowWriter) load() {
	id := RowID(w.r.Cell, w.r.Index) + "-load"
	w.put(`<div class="load js-load needs-js"`)
	w.attr("data-frames", FigurePath(w.lesson, w.r.Cell, w.r.Index, "frames"))
	w.put(`><label for="`, id, `">Load applied</label> <input type="range" id="`, id, `" min="0" max="100" step="`, strconv.Itoa(loadStep),
		`" value="100" autocomplete="off" aria-valuetext="100 % of the load"> <span class="share" aria-hidden="true">100 %</span>`,
		` <button type="button" class="plain js-play">Apply gradually</button></div>`)
}

// data writes the table of a figure and those that belong to it.
func (w *rowWriter) data(d *figure.Data, title string) {
	if d.Caption != "" {
		title += ": " + d.Caption
	}
	w.put("<table><caption>")
	w.text(shown(title))
	w.put("</caption><thead><tr>")
	rows := withOnePower(d.Rows)
	widest := fractions(rows, len(d.Headers))
	for i, h := range d.Headers {
		w.put(`<th scope="col"`, headClass(rows, widest[i]), `>`)
		w.text(shown(h))
		w.put("</th>")
	}
	w.put("</tr></thead><tbody>")
	w.cells(rows, widest, func(int64) {})
	w.put("</tbody></table>")
	for _, further := range d.Further {
		w.data(&figure.Data{Headers: further.Headers, Rows: further.Rows, Further: further.Further}, further.Caption)
	}
}

// FigurePath is where a figure is fetched; format is png, pdf or frames.
func FigurePath(lesson, cell string, index int, format string) string {
	return lessons.Path(lesson) + "/figure/" + cell + "/" + strconv.Itoa(index) + "/" + format
}

// FigureName is the name of the file that a figure is saved under. The number
// in it is the one of the statement in its cell, as in the address of its row.
func FigureName(lesson, cell string, index int, format string) string {
	name, _, _ := strings.Cut(lesson, "/")
	return name + "-" + RowID(cell, index) + "." + format
}
