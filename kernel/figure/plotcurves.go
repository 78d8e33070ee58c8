package figure

import (
	"math"
	"sort"

	"gonum.org/v1/plot/vg"
)

// Dash patterns of successive curves: with the marker they tell curves apart
// without colour.
var curveDashes = [...][]vg.Length{nil, {9, 4}, {2, 3}, {12, 3, 2, 3}, {5, 3}, {12, 3, 2, 3, 2, 3}}

const curveWidth = 2.25

// drawCurves draws everything inside and beside the axes.
func (p *Plot) drawCurves(pen *pen, l *plotPlan, f *plotFrame) {
	curves := make([][]xy, len(p.Curves))
	for i := range p.Curves {
		curves[i] = p.place(l, f, &p.Curves[i])
	}
	p.drawMarks(pen, l, f, curves)
	for i := range p.Curves {
		p.drawCurve(pen, f, i, curves[i])
	}
	p.drawEndLabels(pen, l, f)
	for _, e := range l.legend {
		y := e.y - 5
		if !p.Curves[e.curve].Points {
			pen.line(curveInk(e.curve), curveWidth, curveDashes[e.curve%6], xy{e.x, y}, xy{e.x + sampleLen, y})
		}
		if p.marked(e.curve) {
			pen.marker(e.curve, xy{e.x + sampleLen/2, y})
		}
		pen.text(inkMain, e.x+sampleLen+6, e.y, left, quantity(p.Curves[e.curve].Label))
	}
}

// marked reports whether a curve carries markers.
func (p *Plot) marked(i int) bool {
	return p.Curves[i].Points || len(p.Curves) > 1 || len(p.Curves[i].X) == 1
}

// place maps the points of a curve to the figure.
func (p *Plot) place(l *plotPlan, f *plotFrame, c *Curve) []xy {
	pts := make([]xy, len(c.X))
	lo, k := l.x.slope(p.X.Log, f.x1-f.x0)
	for i, v := range c.X {
		if p.X.Log {
			v = math.Log(v)
		}
		pts[i].x = f.x0 + (v-lo)*k
	}
	lo, k = l.y.slope(p.Y.Log, f.y1-f.y0)
	for i, v := range c.Y {
		if p.Y.Log {
			v = math.Log(v)
		}
		pts[i].y = f.y1 - (v-lo)*k
	}
	return pts
}

// slope returns the value, or its logarithm, where an axis begins and the
// length drawn for one more.
func (s *scale) slope(log bool, length float64) (lo, k float64) {
	lo, hi := s.min, s.max
	if log {
		lo, hi = math.Log(lo), math.Log(hi)
	}
	return lo, length / (hi - lo)
}

func (p *Plot) drawCurve(pen *pen, f *plotFrame, i int, pts []xy) {
	if !p.Curves[i].Points {
		pen.clipped(curveInk(i), curveDashes[i%6], straighten(pts), f)
	}
	if !p.marked(i) {
		return
	}
	if p.Curves[i].Points || len(pts) <= 12 {
		for _, q := range pts {
			if f.holds(q) {
				pen.marker(i, q)
			}
		}
		return
	}
	// A few markers along the curve, shifted from curve to curve so that
	// they do not hide each other.
	gap := (f.x1 - f.x0) / 5
	next := f.x0 + gap*(0.3+0.17*float64(i%5))
	for _, q := range pts {
		if q.x >= next && f.holds(q) {
			pen.marker(i, q)
			next = q.x + gap
		}
	}
}

// straighten leaves out points that lie on a straight run, to within less than
// can be seen: 0.03 units.
func straighten(pts []xy) []xy {
	if len(pts) < 3 {
		return pts
	}
	out := append(make([]xy, 0, len(pts)), pts[0])
	var ux, uy float64 // direction of the run that the last point belongs to
	for k := 1; k < len(pts); k++ {
		from, q := out[len(out)-1], pts[k]
		if len(out) > 1 {
			from = out[len(out)-2]
			dx, dy := q.x-from.x, q.y-from.y
			last := out[len(out)-1]
			ahead := (q.x-last.x)*ux+(q.y-last.y)*uy >= 0
			if ahead && math.Abs(dx*uy-dy*ux) < 0.03 {
				out[len(out)-1] = q
				continue
			}
			from = last
		}
		if n := math.Hypot(q.x-from.x, q.y-from.y); n > 0 {
			ux, uy = (q.x-from.x)/n, (q.y-from.y)/n
			out = append(out, q)
		}
	}
	return out
}

func (f *plotFrame) holds(q xy) bool {
	const slack = 0.01
	return q.x >= f.x0-slack && q.x <= f.x1+slack && q.y >= f.y0-slack && q.y <= f.y1+slack
}

// clipped strokes a polyline, cut at the edges of the area where a fixed range
// leaves parts of the curve outside.
func (p *pen) clipped(i ink, dash []vg.Length, pts []xy, f *plotFrame) {
	run := 0 // where the current run of points inside begins
	for k := range pts {
		if f.holds(pts[k]) {
			continue
		}
		p.line(i, curveWidth, dash, pts[run:k]...)
		run = k + 1
		for _, other := range [...]int{k - 1, k + 1} {
			// A line between two points outside is drawn once, with the
			// earlier.
			if other < 0 || other >= len(pts) || other < k && !f.holds(pts[other]) {
				continue
			}
			if a, b, ok := clip(pts[k], pts[other], f); ok {
				p.line(i, curveWidth, dash, a, b)
			}
		}
	}
	p.line(i, curveWidth, dash, pts[run:]...)
}

// clip cuts a line to the area (Liang and Barsky's method).
func clip(a, b xy, f *plotFrame) (xy, xy, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := b.x-a.x, b.y-a.y
	for _, e := range [...][2]float64{
		{-dx, a.x - f.x0}, {dx, f.x1 - a.x}, {-dy, a.y - f.y0}, {dy, f.y1 - a.y},
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
	return xy{a.x + t0*dx, a.y + t0*dy}, xy{a.x + t1*dx, a.y + t1*dy}, true
}

// marker draws the marker of the i-th curve.
func (p *pen) marker(i int, q xy) {
	const r = 4.2
	k := curveInk(i)
	switch i % 6 {
	case 0:
		p.disc(k, q, r*0.9)
	case 1:
		p.area(k, xy{q.x - r*.85, q.y - r*.85}, xy{q.x + r*.85, q.y - r*.85}, xy{q.x + r*.85, q.y + r*.85}, xy{q.x - r*.85, q.y + r*.85})
	case 2:
		p.area(k, xy{q.x, q.y - r*1.2}, xy{q.x + r*1.1, q.y + r*.8}, xy{q.x - r*1.1, q.y + r*.8})
	case 3:
		p.area(k, xy{q.x, q.y - r*1.2}, xy{q.x + r*1.2, q.y}, xy{q.x, q.y + r*1.2}, xy{q.x - r*1.2, q.y})
	case 4:
		p.line(k, 2, nil, xy{q.x - r, q.y - r}, xy{q.x + r, q.y + r})
		p.line(k, 2, nil, xy{q.x - r, q.y + r}, xy{q.x + r, q.y - r})
	default:
		p.line(k, 2, nil, xy{q.x - r*1.2, q.y}, xy{q.x + r*1.2, q.y})
		p.line(k, 2, nil, xy{q.x, q.y - r*1.2}, xy{q.x, q.y + r*1.2})
	}
}

// drawEndLabels names the curves at their right ends, moved apart where they
// would touch.
func (p *Plot) drawEndLabels(pen *pen, l *plotPlan, f *plotFrame) {
	if !l.endLabels {
		return
	}
	type label struct {
		curve int
		end   xy
		y     float64
	}
	var ls []label
	for i := range p.Curves {
		c := &p.Curves[i]
		if c.Label == "" {
			continue
		}
		n := len(c.X) - 1
		end := p.place(l, f, &Curve{X: c.X[n:], Y: c.Y[n:]})[0]
		end.y = math.Max(f.y0, math.Min(f.y1, end.y))
		ls = append(ls, label{i, end, end.y})
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
		pen.line(inkThin, narrow, nil, xy{b.end.x + 3, b.end.y}, xy{f.x1 + 10, b.y})
		pen.marker(b.curve, xy{f.x1 + 14, b.y})
		pen.text(inkMain, f.x1+labelGap-3, b.y+5, left, quantity(p.Curves[b.curve].Label))
	}
}
