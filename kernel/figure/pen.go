package figure

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// xy is a point of a figure: units of the view box, y down.
type xy struct{ x, y float64 }

// A pen draws on a canvas in the figure's own coordinates.
type pen struct {
	c      vg.Canvas
	svg    *svgCanvas // c, if it writes SVG
	height float64
	path   vg.Path
	boxes  []box // of every text written, for the layout tests
}

// A box is the rectangle that a text covers.
type box struct {
	x0, y0, x1, y1 float64
	text           string
}

// Line widths after ISO 128-2: wide lines are twice as wide as narrow ones.
const (
	wide   = 2.0
	narrow = 1.0
)

// Line types after ISO 128-2, in units of the view box.
var (
	dashDot = []vg.Length{16, 3, 2, 3} // 04.1, centre line
	dashes  = []vg.Length{7, 4}        // 02, hidden or model outline
)

func newPen(c vg.Canvas, height float64) *pen {
	svg, _ := c.(*svgCanvas)
	return &pen{c: c, svg: svg, height: height}
}

func (p *pen) at(q xy) vg.Point {
	return vg.Point{X: vg.Length(q.x), Y: vg.Length(p.height - q.y)}
}

func (p *pen) trace(pts []xy, closed bool) {
	p.path = p.path[:0]
	for i, q := range pts {
		if i == 0 {
			p.path.Move(p.at(q))
			continue
		}
		p.path.Line(p.at(q))
	}
	if closed {
		p.path.Close()
	}
}

// line strokes an open polyline.
func (p *pen) line(i ink, width float64, dash []vg.Length, pts ...xy) {
	if len(pts) < 2 {
		return
	}
	p.set(i, width, dash)
	if p.svg != nil {
		p.svg.polygon(pts, false, false)
		return
	}
	p.trace(pts, false)
	p.c.Stroke(p.path)
}

// outline strokes a closed polygon.
func (p *pen) outline(i ink, width float64, pts ...xy) {
	p.set(i, width, nil)
	if p.svg != nil {
		p.svg.polygon(pts, true, false)
		return
	}
	p.trace(pts, true)
	p.c.Stroke(p.path)
}

// area fills a polygon.
func (p *pen) area(i ink, pts ...xy) {
	p.c.SetColor(i)
	if p.svg != nil {
		p.svg.polygon(pts, true, true)
		return
	}
	p.trace(pts, true)
	p.c.Fill(p.path)
}

func (p *pen) set(i ink, width float64, dash []vg.Length) {
	p.c.SetColor(i)
	p.c.SetLineWidth(vg.Length(width))
	p.c.SetLineDash(dash, 0)
}

// disc fills a circle.
func (p *pen) disc(i ink, c xy, r float64) {
	p.path = p.path[:0]
	q := p.at(c)
	p.path.Move(vg.Point{X: q.X + vg.Length(r), Y: q.Y})
	p.path.Arc(q, vg.Length(r), 0, 2*math.Pi)
	p.path.Close()
	p.c.SetColor(i)
	p.c.Fill(p.path)
}

// text writes a line of text whose baseline is at y.
func (p *pen) text(i ink, x, y float64, a anchor, s string) {
	w := measure(s, textSize)
	x0 := x - float64(a)*w
	p.boxes = append(p.boxes, box{x0, y - ascent*textSize, x0 + w, y + descent*textSize, s})
	placeText(p.c, i, textSize, x, p.height-y, a, s)
}

// group runs draw inside a group of the given class where the format has such.
func (p *pen) group(class string, draw func()) {
	if p.svg == nil {
		draw()
		return
	}
	p.svg.group(class)
	draw()
	p.svg.endGroup()
}

// arrow fills an arrowhead with its tip at the given point, pointing in the
// direction (dx, dy): filled, 3:1, as ISO 129-1 allows.
func (p *pen) arrow(i ink, tip xy, dx, dy, length float64) {
	p.wedge(i, tip, dx, dy, length, length/6)
}

// head fills the broader arrowhead of a load.
func (p *pen) head(i ink, tip xy, dx, dy, length float64) {
	p.wedge(i, tip, dx, dy, length, length/3.4)
}

func (p *pen) wedge(i ink, tip xy, dx, dy, length, half float64) {
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	ux, uy := dx/n*length, dy/n*length
	vx, vy := -dy/n*half, dx/n*half
	p.area(i, tip, xy{tip.x - ux + vx, tip.y - uy + vy}, xy{tip.x - ux - vx, tip.y - uy - vy})
}

// hatch draws parallel lines through a polygon at 45° (or −45° if falling),
// gap apart measured across them. The lines lie on one grid for the whole
// figure, so that the halves of one part match.
func (p *pen) hatch(i ink, gap float64, falling bool, poly []xy) {
	sign := 1.0
	if falling {
		sign = -1
	}
	// Along a line x + sign·y is constant: it rises to the right in a
	// picture whose y points down.
	key := func(q xy) float64 { return q.x + sign*q.y }
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range poly {
		lo, hi = math.Min(lo, key(q)), math.Max(hi, key(q))
	}
	step := gap * math.Sqrt2
	if !(hi > lo) || (hi-lo)/step > 2000 {
		return
	}
	p.set(i, 0.7, nil)
	var xs []float64
	for k := math.Ceil(lo / step); k*step < hi; k++ {
		c := k * step
		xs = xs[:0]
		for j, a := range poly {
			b := poly[(j+1)%len(poly)]
			ka, kb := key(a), key(b)
			if (ka <= c) == (kb <= c) {
				continue
			}
			t := (c - ka) / (kb - ka)
			xs = append(xs, a.x+t*(b.x-a.x))
		}
		sortFloats(xs)
		p.path = p.path[:0]
		for j := 0; j+1 < len(xs); j += 2 {
			if xs[j+1]-xs[j] < 0.5 {
				continue
			}
			p.path.Move(p.at(xy{xs[j], sign * (c - xs[j])}))
			p.path.Line(p.at(xy{xs[j+1], sign * (c - xs[j+1])}))
		}
		if len(p.path) > 0 {
			p.c.Stroke(p.path)
		}
	}
}

func sortFloats(xs []float64) {
	for i := 1; i < len(xs); i++ {
		for j := i; j > 0 && xs[j] < xs[j-1]; j-- {
			xs[j], xs[j-1] = xs[j-1], xs[j]
		}
	}
}
