package plot

import (
	"math"
	"slices"
	"sort"
	"sync"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure/canvas"
)

// Dash patterns of successive curves: with the marker they tell curves apart
// without colour.
var curveDashes = [...][]vg.Length{nil, {9, 4}, {2, 3}, {12, 3, 2, 3}, {5, 3}, {12, 3, 2, 3, 2, 3}}

// drawCurves draws everything inside and beside the axes.
func (p *Plot) drawCurves(pen *canvas.Pen, l *plotPlan, f *plotFrame) {
	all := rooms.Get().(*room)
	defer rooms.Put(all)
	all.points = all.points[:0]
	curves := make([][]canvas.Point, len(p.Curves))
	for i := range p.Curves {
		from := len(all.points)
		all.points = p.place(all.points, l, f, &p.Curves[i])
		curves[i] = all.points[from:len(all.points):len(all.points)]
	}
	p.drawMarks(pen, l, f, curves)
	for i := range p.Curves {
		p.drawCurve(pen, f, i, curves[i], all)
	}
	p.drawEndLabels(pen, l, f)
	p.drawJumps(pen, f, curves)
	p.drawSlopes(pen, f, curves)
	p.drawChosen(pen, l, f, curves)
	for _, e := range l.legend {
		y := e.y - 5
		if !p.Curves[e.curve].Points {
			pen.Line(p.ink(e.curve), canvas.CurveWidth, curveDashes[e.curve%6], canvas.PointAt(e.x, y), canvas.PointAt(e.x+sampleLen, y))
		}
		if p.marked(e.curve) {
			pen.Marker(p.ink(e.curve), e.curve, canvas.PointAt(e.x+sampleLen/2, y))
		}
		pen.Text(canvas.InkMain, e.x+sampleLen+6, e.y, canvas.Left, l.labels[e.curve])
	}
}

// ink is the colour of a curve.
func (p *Plot) ink(i int) canvas.Ink { return canvas.CurveInk(p.Quantity, i) }

// marked reports whether a curve carries markers.
func (p *Plot) marked(i int) bool {
	return !p.Curves[i].Plain && (p.Curves[i].Points || len(p.Curves) > 1 || len(p.Curves[i].X) == 1)
}

// A room holds the points of a plot while it is drawn.
type room struct{ points, straight []canvas.Point }

var rooms = sync.Pool{New: func() any { return new(room) }}

// place appends the points of a curve, mapped to the figure.
func (p *Plot) place(to []canvas.Point, l *plotPlan, f *plotFrame, c *Curve) []canvas.Point {
	from := len(to)
	to = slices.Grow(to, len(c.X))[:from+len(c.X)]
	pts := to[from:]
	lo, k := l.x.Slope(p.X.Log, f.x1-f.x0)
	for i, v := range c.X {
		if p.X.Log {
			v = elementary.Ln(v)
		}
		pts[i].X = f.x0 + float64((v-lo)*k)
	}
	lo, k = l.y.Slope(p.Y.Log, f.y1-f.y0)
	for i, v := range c.Y {
		if p.Y.Log {
			v = elementary.Ln(v)
		}
		pts[i].Y = f.y1 - float64((v-lo)*k)
	}
	return to
}

func (p *Plot) drawCurve(pen *canvas.Pen, f *plotFrame, i int, pts []canvas.Point, in *room) {
	if !p.Curves[i].Points {
		run := 0
		for _, k := range append(p.jumps(f, i, pts), len(pts)) {
			in.straight = canvas.Straighten(in.straight[:0], pts[run:k])
			strokeClipped(pen, p.ink(i), curveDashes[i%6], in.straight, f)
			run = k
		}
	}
	if !p.marked(i) {
		return
	}
	if p.Curves[i].Points || len(pts) <= 12 {
		for _, q := range pts {
			if f.holds(q) {
				pen.Marker(p.ink(i), i, q)
			}
		}
		return
	}
	// A few markers along the curve, shifted from curve to curve so that
	// they do not hide each other.
	gap := (f.x1 - f.x0) / 5
	next := f.x0 + float64(gap*(0.3+float64(0.17*float64(i%5))))
	for _, q := range pts {
		if q.X >= next && f.holds(q) {
			pen.Marker(p.ink(i), i, q)
			next = q.X + gap
		}
	}
}

func (f *plotFrame) holds(q canvas.Point) bool {
	const slack = 0.01
	return q.X >= f.x0-slack && q.X <= f.x1+slack && q.Y >= f.y0-slack && q.Y <= f.y1+slack
}

// strokeClipped strokes a polyline, cut at the edges of the area where a fixed range
// leaves parts of the curve outside.
func strokeClipped(p *canvas.Pen, i canvas.Ink, dash []vg.Length, pts []canvas.Point, f *plotFrame) {
	run := 0 // where the current run of points inside begins
	for k := range pts {
		if f.holds(pts[k]) {
			continue
		}
		p.Line(i, canvas.CurveWidth, dash, pts[run:k]...)
		run = k + 1
		for _, other := range [...]int{k - 1, k + 1} {
			// A line between two points outside is drawn once, with the
			// earlier.
			if other < 0 || other >= len(pts) || other < k && !f.holds(pts[other]) {
				continue
			}
			if a, b, ok := clip(pts[k], pts[other], f); ok {
				p.Line(i, canvas.CurveWidth, dash, a, b)
			}
		}
	}
	p.Line(i, canvas.CurveWidth, dash, pts[run:]...)
}

// clip cuts a line to the area (Liang and Barsky's method).
func clip(a, b canvas.Point, f *plotFrame) (canvas.Point, canvas.Point, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := b.X-a.X, b.Y-a.Y
	for _, e := range [...][2]float64{
		{-dx, a.X - f.x0}, {dx, f.x1 - a.X}, {-dy, a.Y - f.y0}, {dy, f.y1 - a.Y},
	} {
		if e[0] == 0 {
			if e[1] < 0 {
				return a, b, false
			}
			continue
		}
		t := e[1] / e[0]
		if e[0] < 0 {
			t0 = math.Max(t0, t)
		} else {
			t1 = math.Min(t1, t)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	return canvas.PointAt(a.X+float64(t0*dx), a.Y+float64(t0*dy)), canvas.PointAt(a.X+float64(t1*dx), a.Y+float64(t1*dy)), true
}

// drawEndLabels names the curves at their right ends, moved apart where they
// would touch.
func (p *Plot) drawEndLabels(pen *canvas.Pen, l *plotPlan, f *plotFrame) {
	if !l.endLabels {
		return
	}
	type label struct {
		curve int
		end   canvas.Point
		y     float64
	}
	var ls []label
	for i := range p.Curves {
		c := &p.Curves[i]
		if c.Label == "" {
			continue
		}
		n := len(c.X) - 1
		end := p.place(nil, l, f, &Curve{X: c.X[n:], Y: c.Y[n:]})[0]
		end.Y = math.Max(f.y0, math.Min(f.y1, end.Y))
		ls = append(ls, label{i, end, end.Y})
	}
	sort.SliceStable(ls, func(a, b int) bool { return ls[a].y < ls[b].y })
	const gap = 19
	for k := 1; k < len(ls); k++ {
		ls[k].y = math.Max(ls[k].y, ls[k-1].y+gap)
	}
	bottom := f.y1
	for k := len(ls) - 1; k >= 0; k-- {
		ls[k].y = math.Min(ls[k].y, bottom)
		bottom = ls[k].y - gap
	}
	for _, b := range ls {
		pen.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(b.end.X+3, b.end.Y), canvas.PointAt(f.x1+10, b.y))
		if !p.Curves[b.curve].Plain {
			pen.Marker(p.ink(b.curve), b.curve, canvas.PointAt(f.x1+14, b.y))
		}
		pen.Text(canvas.InkMain, f.x1+labelGap-3, b.y+5, canvas.Left, l.labels[b.curve])
	}
}
