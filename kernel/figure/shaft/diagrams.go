package shaft

import (
	"math"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// drawDiagrams draws the curves under the shaft on its x axis.
func (l *shaftPlan) drawDiagrams(p *canvas.Pen) {
	s := l.s
	if len(s.Diagrams) == 0 {
		return
	}
	a, b := s.ends()
	x0, x1 := l.drawnX(a), l.drawnX(b)
	bottom := l.diagramTop + float64(diagramStep*float64(len(s.Diagrams))) - 16
	for i := range s.Diagrams {
		l.drawDiagram(p, i, x0, x1)
	}
	xs := canvas.LinearScale(a, b, int(math.Max(3, (x1-x0)/100)), true)
	for _, t := range xs.Marks {
		u := l.drawnX(t.Value)
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(u, bottom), canvas.PointAt(u, bottom+6))
		p.Text(canvas.InkMain, u, bottom+21, canvas.Middle, t.Label)
	}
	p.Text(canvas.InkMain, (x0+x1)/2, bottom+40, canvas.Middle, canvas.WithUnit("x", s.LengthUnit))
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
	return canvas.LinearScale(lo, hi, 3, false)
}

func (l *shaftPlan) drawDiagram(p *canvas.Pen, i int, x0, x1 float64) {
	d := &l.s.Diagrams[i]
	top := l.diagramTop + float64(diagramStep*float64(i))
	y0, y1 := top+canvas.RowHeight+6, top+canvas.RowHeight+6+diagramH
	ys := d.scale()
	at := func(v float64) float64 { return y1 - float64(ys.Norm(v, false)*(y1-y0)) }

	l.guides(p, y0, y1)
	title := canvas.WithUnit(d.Label, d.Unit)
	p.Text(canvas.InkMain, 4, top+15, canvas.Left, title)
	k := 0
	for j, v := range d.Y {
		if math.Abs(v) > math.Abs(d.Y[k]) {
			k = j
		}
	}
	word := "greatest "
	if d.Y[k] < 0 {
		word = "least "
	}
	most := word + figure.NumberWithUnit(figure.FormatNumber(d.Y[k], 4), d.Unit)
	if canvas.TextWidth(title+most, canvas.TextSize)+30 < l.width {
		p.Text(canvas.InkMain, l.width-4, top+15, canvas.Right, most)
	}

	pts := make([]canvas.Point, len(d.X))
	for j := range d.X {
		pts[j] = canvas.PointAt(l.drawnX(d.X[j]), at(d.Y[j]))
	}
	// Thin ordinates, as torque diagrams are drawn by hand.
	zero := at(0)
	for u := x0 + 8; u < x1; u += 8 {
		if y := heightAt(pts, u); math.Abs(y-zero) > 1 {
			p.Line(canvas.CurveInk(i), 0.6, nil, canvas.PointAt(u, zero), canvas.PointAt(u, y))
		}
	}
	for _, t := range ys.Marks {
		y := at(t.Value)
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0-5, y), canvas.PointAt(x0, y))
		p.Text(canvas.InkMain, x0-8, y+5, canvas.Right, t.Label)
	}
	p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0, y0), canvas.PointAt(x0, y1))
	p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0, zero), canvas.PointAt(x1, zero))
	outline := append([]canvas.Point{canvas.PointAt(pts[0].X, zero)}, canvas.Straighten(pts)...)
	p.Line(canvas.CurveInk(i), canvas.CurveWidth, nil, append(outline, canvas.PointAt(pts[len(pts)-1].X, zero))...)
	if i == len(l.s.Diagrams)-1 {
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(x0, y1), canvas.PointAt(x1, y1))
	}
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
