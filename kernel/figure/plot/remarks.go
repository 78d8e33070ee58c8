package plot

import (
	"math"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

var dotted = []vg.Length{2, 3}

// jumps returns the points of a curve before which it jumps: to another value at
// the same place on a linear axis.
func (p *Plot) jumps(f *plotFrame, i int, pts []canvas.Point) []int {
	const apart, least = 1e-4, 6 // units of the figure
	if p.X.Log || p.Curves[i].Points {
		return nil
	}
	var out []int
	for k := 1; k < len(pts); k++ {
		if math.Abs(pts[k].X-pts[k-1].X) < apart && math.Abs(pts[k].Y-pts[k-1].Y) > least && f.holds(pts[k]) && f.holds(pts[k-1]) {
			out = append(out, k)
		}
	}
	return out
}

// drawJumps dots the jumps of the curves and, where one curve stands alone,
// writes by how much it jumps.
func (p *Plot) drawJumps(pen *canvas.Pen, f *plotFrame, curves [][]canvas.Point) {
	for i, pts := range curves {
		for _, k := range p.jumps(f, i, pts) {
			a, b := pts[k-1], pts[k]
			pen.Line(p.ink(i), canvas.Narrow, dotted, a, b)
			if len(curves) > 1 {
				continue
			}
			c := &p.Curves[i]
			text := "jump " + figure.NumberWithUnit(figure.FormatNumber(math.Abs(c.Y[k]-c.Y[k-1]), 4), p.Y.Unit)
			w := canvas.TextWidth(text, canvas.TextSize)
			y := float64((a.Y+b.Y)/2) + 5
			spots := []canvas.Point{canvas.PointAt(a.X+8, y), canvas.PointAt(a.X-8-w, y)}
			writeIfFree(pen, f, spots, text, w, curves)
		}
	}
}

// writeIfFree writes a text at the first spot where it covers nothing.
func writeIfFree(pen *canvas.Pen, f *plotFrame, spots []canvas.Point, text string, w float64, curves [][]canvas.Point) bool {
	for _, s := range spots {
		if covered(pen, s, w, f, curves) == 0 {
			pen.Text(canvas.InkMain, s.X, s.Y, canvas.Left, text)
			return true
		}
	}
	return false
}

// drawChosen rings the points of the curves at the chosen values of x.
func (p *Plot) drawChosen(pen *canvas.Pen, l *plotPlan, f *plotFrame, curves [][]canvas.Point) {
	for _, v := range p.Chosen {
		at := p.place(nil, l, f, &Curve{X: []float64{v}})[0].X
		for _, pts := range curves {
			if y, ok := yAt(pts, at); ok && f.holds(canvas.PointAt(at, y)) {
				pen.Ring(canvas.InkMain, canvas.PointAt(at, y), 8, 1.6)
			}
		}
	}
}

// yAt returns where a curve is above a place, by straight lines between points.
func yAt(pts []canvas.Point, at float64) (float64, bool) {
	const slack = 1e-6
	for k, q := range pts {
		if math.Abs(q.X-at) < slack {
			return q.Y, true
		}
		if k > 0 {
			if a := pts[k-1]; (a.X < at) == (at < q.X) && a.X != q.X {
				return a.Y + (q.Y-a.Y)*(at-a.X)/(q.X-a.X), true
			}
		}
	}
	return 0, false
}

// A slope is a straight stretch at the right of a curve on logarithmic axes.
type slope struct {
	curve int
	power float64 // of x, a whole number
	a, b  canvas.Point
}

// drawSlopes draws a triangle at straight stretches of curves on two logarithmic
// axes, one for each power, with what it goes across and up: 1 : 2.
func (p *Plot) drawSlopes(pen *canvas.Pen, f *plotFrame, curves [][]canvas.Point) {
	if !p.X.Log || !p.Y.Log {
		return
	}
	drawn := map[float64]bool{}
	for i := range curves {
		if s, ok := p.slopeOf(f, i, curves[i]); ok && !drawn[s.power] && len(drawn) < 3 {
			drawn[s.power] = s.draw(pen, f, curves)
		}
	}
}

// slopeOf finds the power that the right half of a curve follows.
func (p *Plot) slopeOf(f *plotFrame, i int, pts []canvas.Point) (slope, bool) {
	c := &p.Curves[i]
	n := len(pts)
	if n < 5 {
		return slope{}, false
	}
	from := n / 2
	for k := from; k < n; k++ {
		if !f.holds(pts[k]) || pts[k].X <= pts[k-1].X {
			return slope{}, false
		}
	}
	powerOf := func(a, b int) float64 {
		return (elementary.Ln(c.Y[b]) - elementary.Ln(c.Y[a])) / (elementary.Ln(c.X[b]) - elementary.Ln(c.X[a]))
	}
	whole := math.Round(powerOf(from, n-1))
	middle := (from + n - 1) / 2
	const slack = 0.06
	for _, q := range [...]float64{powerOf(from, n-1), powerOf(from, middle), powerOf(middle, n-1)} {
		if whole == 0 || !(math.Abs(q-whole) < slack) {
			return slope{}, false
		}
	}
	return slope{i, whole, pts[from], pts[n-1]}, true
}

// draw draws the triangle beside the middle of the stretch, on the side where it
// covers least, with the ratio at its upright leg.
func (s *slope) draw(pen *canvas.Pen, f *plotFrame, curves [][]canvas.Point) bool {
	text := "1 : " + figure.FormatNumber(math.Abs(s.power), 3)
	w := canvas.TextWidth(text, canvas.TextSize)
	k := (s.b.Y - s.a.Y) / (s.b.X - s.a.X)
	// A third of the stretch, in the middle of it, moved off the curve.
	across := math.Min(60, (s.b.X-s.a.X)/3)
	if up := math.Abs(k * across); up > 80 {
		across *= 80 / up
	}
	if across < 8 {
		return false
	}
	for _, at := range [...]float64{0.5, 0.3, 0.7} {
		for _, side := range [...]float64{1, -1} { // right of the curve and above a falling one, or left of it
			u := s.a.X + float64(at*(s.b.X-s.a.X))
			y := s.a.Y + float64(k*(u-s.a.X))
			const off = 14
			half := float64(across / 2)
			left := canvas.PointAt(u-half+float64(side*off), y-float64(k*half))
			right := canvas.PointAt(u+half+float64(side*off), y+float64(k*half))
			corner := canvas.PointAt(right.X, left.Y)
			spot := canvas.PointAt(corner.X+6, float64((left.Y+right.Y)/2)+5)
			if side < 0 {
				corner = canvas.PointAt(left.X, right.Y)
				spot = canvas.PointAt(corner.X-6-w, float64((left.Y+right.Y)/2)+5)
			}
			if hits(grown(left, right, corner), f, curves) || covered(pen, spot, w, f, curves) > 0 {
				continue
			}
			pen.Outline(canvas.InkThin, canvas.Narrow, left, right, corner)
			pen.Text(canvas.InkMain, spot.X, spot.Y, canvas.Left, text)
			return true
		}
	}
	return false
}

// grown is the outline of a triangle with room around it.
func grown(a, b, c canvas.Point) []canvas.Point {
	const room = 6
	mid := canvas.PointAt((a.X+b.X+c.X)/3, (a.Y+b.Y+c.Y)/3)
	w, h := math.Abs(a.X-b.X), math.Abs(a.Y-b.Y)
	times := 1 + 3*room*elementary.Hypot(w, h)/(w*h)
	out := make([]canvas.Point, 0, 4)
	for _, q := range [...]canvas.Point{a, b, c, a} {
		out = append(out, canvas.PointAt(mid.X+float64((q.X-mid.X)*times), mid.Y+float64((q.Y-mid.Y)*times)))
	}
	return out
}

// hits reports whether an outline leaves the area or a curve crosses it.
func hits(outline []canvas.Point, f *plotFrame, curves [][]canvas.Point) bool {
	for k := 1; k < len(outline); k++ {
		a, b := outline[k-1], outline[k]
		if !f.holds(a) || !f.holds(b) {
			return true
		}
		for _, pts := range curves {
			for j := 1; j < len(pts); j++ {
				if cross(a, b, pts[j-1], pts[j]) {
					return true
				}
			}
		}
	}
	return false
}

// cross reports whether two stretches cross.
func cross(a, b, c, d canvas.Point) bool {
	side := func(p, q, r canvas.Point) float64 {
		return float64((q.X-p.X)*(r.Y-p.Y)) - float64((q.Y-p.Y)*(r.X-p.X))
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
