package canvas

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// Point is a point of a figure: units of the view box, y down.
type Point struct{ X, Y float64 }

// PointAt returns the point (x, y).
func PointAt(x, y float64) Point { return Point{X: x, Y: y} }

// A Pen draws on a canvas in the figure's own coordinates.
type Pen struct {
	c         vg.Canvas
	svg       *SVG // c, if it writes SVG
	height    float64
	path      vg.Path
	TextBoxes []TextBox // of every text written, for the layout tests
}

// A TextBox is the rectangle that a text covers.
type TextBox struct {
	X0, Y0, X1, Y1 float64
	Text           string
}

// Line widths after ISO 128-2: wide lines are twice as wide as narrow ones.
const (
	Wide   = 2.0
	Narrow = 1.0
)

// Line types after ISO 128-2, in units of the view box.
var (
	DashDot = []vg.Length{16, 3, 2, 3} // 04.1, centre line
	Dashed  = []vg.Length{7, 4}        // 02, hidden or model outline
)

// NewPen returns a pen on a canvas of the given height, in units of the figure.
func NewPen(c vg.Canvas, height float64) *Pen {
	svg, _ := c.(*SVG)
	return &Pen{c: c, svg: svg, height: height}
}

func (p *Pen) canvasPoint(q Point) vg.Point {
	return vg.Point{X: vg.Length(q.X), Y: vg.Length(p.height - float64(q.Y))}
}

func (p *Pen) trace(pts []Point, closed bool) {
	p.path = p.path[:0]
	for i, q := range pts {
		if i == 0 {
			p.path.Move(p.canvasPoint(q))
			continue
		}
		p.path.Line(p.canvasPoint(q))
	}
	if closed {
		p.path.Close()
	}
}

// Line strokes an open polyline.
func (p *Pen) Line(i Ink, width float64, dash []vg.Length, pts ...Point) {
	if len(pts) < 2 {
		return
	}
	p.SetLine(i, width, dash)
	if p.svg != nil {
		p.svg.polygon(pts, false, false)
		return
	}
	p.trace(pts, false)
	p.c.Stroke(p.path)
}

// Outline strokes a closed polygon.
func (p *Pen) Outline(i Ink, width float64, pts ...Point) {
	p.SetLine(i, width, nil)
	if p.svg != nil {
		p.svg.polygon(pts, true, false)
		return
	}
	p.trace(pts, true)
	p.c.Stroke(p.path)
}

// Area fills a polygon.
func (p *Pen) Area(i Ink, pts ...Point) {
	p.c.SetColor(i)
	if p.svg != nil {
		p.svg.polygon(pts, true, true)
		return
	}
	p.trace(pts, true)
	p.c.Fill(p.path)
}

func (p *Pen) SetLine(i Ink, width float64, dash []vg.Length) {
	p.c.SetColor(i)
	p.c.SetLineWidth(vg.Length(width))
	p.c.SetLineDash(dash, 0)
}

// Stroke strokes a path in the canvas's coordinates.
func (p *Pen) Stroke(path vg.Path) { p.c.Stroke(path) }

// Disc fills a circle.
func (p *Pen) Disc(i Ink, c Point, r float64) {
	p.path = p.path[:0]
	q := p.canvasPoint(c)
	p.path.Move(vg.Point{X: q.X + vg.Length(r), Y: q.Y})
	p.path.Arc(q, vg.Length(r), 0, 2*math.Pi)
	p.path.Close()
	p.c.SetColor(i)
	p.c.Fill(p.path)
}

// Ring strokes a circle.
func (p *Pen) Ring(i Ink, c Point, r, width float64) {
	p.path = p.path[:0]
	q := p.canvasPoint(c)
	p.path.Move(vg.Point{X: q.X + vg.Length(r), Y: q.Y})
	p.path.Arc(q, vg.Length(r), 0, 2*math.Pi)
	p.path.Close()
	p.SetLine(i, width, nil)
	p.c.Stroke(p.path)
}

// Text writes a line of text whose baseline is at y.
func (p *Pen) Text(i Ink, x, y float64, a Anchor, s string) {
	w := TextWidth(s, TextSize)
	x0 := x - float64(float64(a)*w)
	p.TextBoxes = append(p.TextBoxes, TextBox{x0, y - Ascent*TextSize, x0 + w, y + Descent*TextSize, s})
	PlaceText(p.c, i, TextSize, x, p.height-y, a, s)
}

// Group runs draw inside a group of the given class where the format has such.
func (p *Pen) Group(class string, draw func()) {
	if p.svg == nil {
		draw()
		return
	}
	p.svg.Group(class)
	draw()
	p.svg.EndGroup()
}

// CurveWidth is the width of the line of a curve, in units of the figure.
const CurveWidth = 2.25
