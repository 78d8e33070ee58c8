package shaft

import (
	"math"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/figure/canvas"
)

const (
	diagramH    = 84.0 // between the ends of a diagram's upward axis
	valueRoom   = 19.0 // for values above the greatest and under the least
	diagramGap  = 8.0
	diagramFoot = 26.0 // for the axis of x under the last diagram
)

var dotted = []vg.Length{2, 3}

// A diagramPlan is where one diagram goes.
type diagramPlan struct {
	d         *Diagram
	ys        canvas.Scale
	top       float64 // of its title
	y0, y1    float64 // the room for the curve and its values
	high, low float64 // the ends of the upward axis
	ink       canvas.Ink
	pts       []canvas.Point
	zero      float64
}

// placeDiagrams lays the diagrams out under each other from y on and returns
// where the last one ends.
func (l *shaftPlan) placeDiagrams(y float64) float64 {
	for i := range l.s.Diagrams {
		d := &l.s.Diagrams[i]
		g := diagramPlan{d: d, ys: d.scale(), top: y, ink: canvas.QuantityInk(d.Quantity)}
		g.y0 = y + canvas.RowHeight + 4
		g.high = g.y0
		if g.ys.Max > 0 {
			g.high += valueRoom
		}
		g.low = g.high + diagramH
		g.y1 = g.low
		if g.ys.Min < 0 {
			g.y1 += valueRoom
		}
		g.zero = g.at(0)
		l.diagrams = append(l.diagrams, g)
		y = g.y1 + diagramGap
	}
	return y - diagramGap
}

// at maps a value to the figure.
func (g *diagramPlan) at(v float64) float64 {
	return g.low - float64(g.ys.Norm(v, false)*(g.low-g.high))
}

// drawDiagrams draws the curves under the shaft on its x axis.
func (l *shaftPlan) drawDiagrams(p *canvas.Pen) {
	if len(l.diagrams) == 0 {
		return
	}
	a, b := l.s.ends()
	x0, x1 := l.drawnX(a), l.drawnX(b)
	for i := range l.diagrams {
		l.drawDiagram(p, &l.diagrams[i], x0, x1)
	}
	bottom := l.diagrams[len(l.diagrams)-1].y1
	p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0, bottom), canvas.PointAt(x1, bottom))
	// The quantity stands at the end of the row of numbers.
	head := canvas.FitWithUnit("x", l.s.LengthUnit, l.width/2)
	from := math.Min(l.width-2, x1+8) - canvas.TextWidth(head, canvas.TextSize)
	p.Text(canvas.InkMain, from, bottom+21, canvas.Left, head)
	xs := canvas.LinearScale(a, b, int(math.Max(3, (x1-x0)/90)), true)
	taken := math.Inf(-1)
	for _, t := range xs.Marks() {
		u := l.drawnX(t.Value)
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(u, bottom), canvas.PointAt(u, bottom+6))
		if half := float64(canvas.TextWidth(t.Label, canvas.TextSize) / 2); u-half > taken+6 && u+half < from-8 {
			p.Text(canvas.InkMain, u, bottom+21, canvas.Middle, t.Label)
			taken = u + half
		}
	}
}

// guides carry the ends of the pieces down through a diagram.
func (l *shaftPlan) guides(p *canvas.Pen, y0, y1 float64) {
	if len(l.s.Pieces) > maxDimensioned {
		return
	}
	for i := range l.s.Pieces {
		if i > 0 {
			u := l.drawnX(l.s.Pieces[i].From)
			p.Line(canvas.InkFaint, canvas.Narrow, nil, canvas.PointAt(u, y0), canvas.PointAt(u, y1))
		}
	}
}

// scale is the upward axis of a diagram; zero is always shown.
func (d *Diagram) scale() canvas.Scale {
	lo, hi := 0.0, 0.0
	for _, v := range d.Y {
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	if lo == hi {
		return canvas.ZeroScale()
	}
	return canvas.LinearScale(lo, hi, 3, false)
}

func (l *shaftPlan) drawDiagram(p *canvas.Pen, g *diagramPlan, x0, x1 float64) {
	g.pts = make([]canvas.Point, len(g.d.X))
	for j := range g.d.X {
		g.pts[j] = canvas.PointAt(l.drawnX(g.d.X[j]), g.at(g.d.Y[j]))
	}
	first, last := g.pts[0], g.pts[len(g.pts)-1]
	area := append([]canvas.Point{canvas.PointAt(first.X, g.zero)}, canvas.Straighten(nil, g.pts)...)
	p.Area(g.ink.Wash(), append(area, canvas.PointAt(last.X, g.zero))...)
	l.guides(p, g.y0, g.y1)
	p.Text(canvas.InkMain, 4, g.top+15, canvas.Left, canvas.FitWithUnit(g.d.Label, g.d.Unit, l.width-8))

	for _, t := range g.ys.Marks() {
		y := g.at(t.Value)
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0-5, y), canvas.PointAt(x0, y))
		p.Text(canvas.InkMain, x0-8, y+5, canvas.Right, t.Label)
	}
	p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0, g.high), canvas.PointAt(x0, g.low))
	p.Line(canvas.InkMain, 1.4, nil, canvas.PointAt(x0, g.zero), canvas.PointAt(x1, g.zero))
	g.drawCurve(p)
	g.drawValues(p, x0+4, l.width-4)
	g.drawSigns(p)
}

// drawCurve draws the curve stretch by stretch; a jump between two of them is
// dotted.
func (g *diagramPlan) drawCurve(p *canvas.Pen) {
	jump := func(u, from, to float64) {
		p.Line(g.ink, canvas.Narrow, dotted, canvas.PointAt(u, from), canvas.PointAt(u, to))
	}
	var jumps [][3]float64
	run := 0
	for j := 1; j <= len(g.pts); j++ {
		if j < len(g.pts) && (g.pts[j].X > g.pts[j-1].X || g.pts[j].Y == g.pts[j-1].Y) {
			continue
		}
		p.Line(g.ink, canvas.CurveWidth, nil, canvas.Straighten(nil, g.pts[run:j])...)
		if j < len(g.pts) {
			jumps = append(jumps, [3]float64{g.pts[j].X, g.pts[j-1].Y, g.pts[j].Y})
		}
		run = j
	}
	first, last := g.pts[0], g.pts[len(g.pts)-1]
	jump(first.X, g.zero, first.Y)
	for _, q := range jumps {
		jump(q[0], q[1], q[2])
	}
	jump(last.X, last.Y, g.zero)
}

// heightAt returns the y of a polyline at u, right of a jump.
func heightAt(pts []canvas.Point, u float64) float64 {
	for j := 1; j < len(pts); j++ {
		a, b := pts[j-1], pts[j]
		if u >= a.X && u < b.X {
			return a.Y + (b.Y-a.Y)*(u-a.X)/(b.X-a.X)
		}
	}
	return pts[len(pts)-1].Y
}
