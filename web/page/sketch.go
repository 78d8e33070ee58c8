package page

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/pattern"
	"shaftbook/lessons/guess"
)

// A Sketch is the field on which a curve is drawn by hand: ruled, with nothing on it. Its
// points are fields of the form; sketch.js lets them be dragged.
type Sketch struct {
	Field  template.HTML // the SVG
	Help   string
	Points []SketchPoint
	X, Y   template.HTML // what the columns of the values are headed with
}

// A SketchPoint is one place whose value is asked for.
type SketchPoint struct {
	Name  string // of its field
	At    string // "just before 400 mm"
	Label string // "T(x) at x = 400 mm, in N·m"
	Share string // of the axis, from 0 to 1
	Side  int    // −1 just before, 1 just after a station
	Typed string
}

// Where the field is in its SVG, in per cent: so it has the width of the page, and
// lettering keeps its size.
const (
	fieldLeft   = 14
	fieldWidth  = 82
	fieldBottom = 86
	fieldHeight = 76
)

// NewSketch returns the empty field of a sketch.
func NewSketch(f *guess.Field) *Sketch {
	value := f.Y.Label
	if value == "" {
		value = f.Curve.Label
	}
	xHead := shown(figure.ColumnHeader(f.X.Label, "x", f.X.Unit))
	yHead := shown(figure.ColumnHeader(value, "value", f.Y.Unit))
	s := &Sketch{
		X: template.HTML(lowered(xHead, "<sub>", "</sub>")), Y: template.HTML(lowered(yHead, "<sub>", "</sub>")),
		Help: "Points that you leave out are on the straight line between the others.",
	}
	unit := ""
	if f.Y.Unit != "" {
		unit = ", in " + shown(f.Y.Unit)
	}
	if f.ShapeOnly {
		s.Help += " Only the shape counts: 1 is the largest size, whatever it is, and −1 the same below zero."
	}
	for i, p := range f.Points {
		at := shown(f.Where(p))
		side := map[guess.Side]int{guess.Before: -1, guess.After: 1}[p.Side]
		s.Points = append(s.Points, SketchPoint{
			Name: "y-" + strconv.Itoa(i), At: at, Label: value + ", " + f.X.Label + " = " + at + unit,
			Share: strconv.FormatFloat((p.X-f.X.Min)/(f.X.Max-f.X.Min), 'g', 6, 64), Side: side,
		})
		if side != 0 {
			s.Points[i].Label = value + " " + at + unit
		}
	}
	s.Field = template.HTML(fieldSVG(f, value, xHead, yHead))
	return s
}

// fieldSVG rules the field: a line at each station and at round values.
func fieldSVG(f *guess.Field, value, xHead, yHead string) string {
	var b strings.Builder
	step := roundStep(f.Y.Max-f.Y.Min, 4)
	label := fmt.Sprintf("Field to draw on: %s from %s to %s, %s from %s to %s", f.X.Label, f.Where(guess.Point{X: f.X.Min}), f.Where(guess.Point{X: f.X.Max}),
		value, f.Value(f.Y.Min), f.Value(f.Y.Max))
	fmt.Fprintf(&b, `<svg class="js-field" role="img" aria-label="%s" width="100%%" height="280" overflow="visible" data-box="%d %d %d %d" data-low="%g" data-high="%g" data-step="%g" data-unit="%s">`,
		html.EscapeString(shown(label)), fieldLeft, fieldWidth, fieldBottom, fieldHeight, f.Y.Min, f.Y.Max, roundStep(step, 10), html.EscapeString(figure.UnitSymbol(f.Y.Unit)))
	b.WriteString(`<g aria-hidden="true" stroke="currentColor" fill="currentColor" font-size="14">`)
	line := func(x1, y1, x2, y2 float64, strong bool) {
		opacity := ".3"
		if strong {
			opacity = "1"
		}
		fmt.Fprintf(&b, `<line x1="%.4g%%" y1="%.4g%%" x2="%.4g%%" y2="%.4g%%" opacity="%s"/>`, x1, y1, x2, y2, opacity)
	}
	text := func(x, y float64, anchor, dy, words string) {
		fmt.Fprintf(&b, `<text stroke="none" x="%.4g%%" y="%.4g%%" text-anchor="%s" dy="%s">%s</text>`, x, y, anchor, dy,
			lowered(words, `<tspan dy=".25em" font-size="11">`, `</tspan><tspan dy="-.2em">&#8203;</tspan>`))
	}
	const right, top = fieldLeft + fieldWidth, fieldBottom - fieldHeight
	for k := math.Ceil(f.Y.Min/step - 1e-9); k*step <= f.Y.Max+step*1e-9; k++ {
		y := fieldBottom - fieldHeight*(k*step-f.Y.Min)/(f.Y.Max-f.Y.Min)
		line(fieldLeft, y, right, y, k == 0)
		text(fieldLeft-3, y, "end", ".35em", figure.FormatNumber(k*step, 3))
	}
	last := -1.0
	for i, p := range f.Points {
		share := (p.X - f.X.Min) / (f.X.Max - f.X.Min)
		if p.Side == guess.After {
			continue
		}
		x := fieldLeft + fieldWidth*share
		line(x, top, x, fieldBottom, i == 0)
		if share-last > 0.16 && (1-share > 0.16 || share == 1) { // about 40 px of a narrow window
			text(x, fieldBottom, "middle", "1.3em", figure.FormatNumber(p.X, 4))
			last = share
		}
	}
	text(0, 0, "start", "1em", yHead)
	text(right, 100, "end", "-.2em", xHead)
	b.WriteString("</g></svg>")
	return b.String()
}

var subscript = pattern.New(`_([\pL\d]+)`)

// lowered returns a label as HTML or SVG, with its subscripts between two marks.
func lowered(label, open, shut string) string {
	return subscript().ReplaceAllString(html.EscapeString(label), open+"$1"+shut)
}

// roundStep returns the largest of 1, 2 and 5 × 10ⁿ that cuts a span into at least n
// parts.
func roundStep(span float64, n int) float64 {
	most := span / float64(n)
	power := 1.0
	for power > most {
		power /= 10
	}
	for power*10 <= most*(1+1e-9) {
		power *= 10
	}
	for _, m := range []float64{5, 2} {
		if m*power <= most*(1+1e-9) {
			return m * power
		}
	}
	return power
}

// Picture returns a figure that is not of a row, in its two forms, with its numbers. id is
// unique on the page.
func (rows *Rows) Picture(p figure.Picture, id string) (template.HTML, error) {
	w := &rowWriter{r: new(kernel.Result), figures: rows.figures}
	w.put(`<div class="question"><figure class="picture">`)
	w.drawings(p, "at-wide", figure.Options{ID: id + "-figure"})
	w.drawings(p, "at-narrow", figure.Options{ID: id + "-figure-narrow", Width: narrowFigure})
	w.put(`<div class="picture-tools"><details><summary>Figure data</summary><div class="scroll" tabindex="0" role="group" aria-label="Figure data">`)
	w.data(p.Data(), p.Title())
	w.put(`</div></details></div><figcaption>`)
	w.text(shown(p.Caption()))
	w.put("</figcaption></figure></div>")
	return template.HTML(w.String()), w.err
}
