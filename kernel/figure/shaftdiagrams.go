package figure

import "math"

// drawDiagrams draws the curves under the shaft on its x axis.
func (l *shaftPlan) drawDiagrams(p *pen) {
	s := l.s
	if len(s.Diagrams) == 0 {
		return
	}
	a, b := s.ends()
	x0, x1 := l.u(a), l.u(b)
	bottom := l.diagramTop + diagramStep*float64(len(s.Diagrams)) - 16
	for i := range s.Diagrams {
		l.drawDiagram(p, i, x0, x1)
	}
	xs := linearScale(a, b, int(math.Max(3, (x1-x0)/100)), true)
	for _, t := range xs.ticks {
		u := l.u(t.Value)
		p.line(inkMain, narrow, nil, xy{u, bottom}, xy{u, bottom + 6})
		p.text(inkMain, u, bottom+21, middle, t.Label)
	}
	p.text(inkMain, (x0+x1)/2, bottom+40, middle, withUnit("x", s.LengthUnit))
}

// guides carry the ends of the pieces down through a diagram.
func (l *shaftPlan) guides(p *pen, y0, y1 float64) {
	if len(l.s.Pieces) > maxDimensioned {
		return
	}
	for i := range l.s.Pieces {
		if i > 0 {
			u := l.u(l.s.Pieces[i].From)
			p.line(inkFaint, narrow, nil, xy{u, y0}, xy{u, y1})
		}
	}
}

// scale is the upward axis of a diagram; zero is always shown.
func (d *Diagram) scale() scale {
	lo, hi := 0.0, 0.0
	for _, v := range d.Y {
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return linearScale(lo, hi, 3, false)
}

func (l *shaftPlan) drawDiagram(p *pen, i int, x0, x1 float64) {
	d := &l.s.Diagrams[i]
	top := l.diagramTop + diagramStep*float64(i)
	y0, y1 := top+row+6, top+row+6+diagramH
	ys := d.scale()
	at := func(v float64) float64 { return y1 - ys.norm(v, false)*(y1-y0) }

	l.guides(p, y0, y1)
	title := withUnit(d.Label, d.Unit)
	p.text(inkMain, 4, top+15, left, title)
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
	most := word + spaced(format(d.Y[k], 4), d.Unit)
	if measure(title+most, textSize)+30 < l.width {
		p.text(inkMain, l.width-4, top+15, right, most)
	}

	pts := make([]xy, len(d.X))
	for j := range d.X {
		pts[j] = xy{l.u(d.X[j]), at(d.Y[j])}
	}
	// Thin ordinates, as torque diagrams are drawn by hand.
	zero := at(0)
	for u := x0 + 8; u < x1; u += 8 {
		if y := heightAt(pts, u); math.Abs(y-zero) > 1 {
			p.line(curveInk(i), 0.6, nil, xy{u, zero}, xy{u, y})
		}
	}
	for _, t := range ys.ticks {
		y := at(t.Value)
		p.line(inkMain, narrow, nil, xy{x0 - 5, y}, xy{x0, y})
		p.text(inkMain, x0-8, y+5, right, t.Label)
	}
	p.line(inkMain, narrow, nil, xy{x0, y0}, xy{x0, y1})
	p.line(inkMain, narrow, nil, xy{x0, zero}, xy{x1, zero})
	outline := append([]xy{{pts[0].x, zero}}, straighten(pts)...)
	p.line(curveInk(i), curveWidth, nil, append(outline, xy{pts[len(pts)-1].x, zero})...)
	if i == len(l.s.Diagrams)-1 {
		p.line(inkMain, narrow, nil, xy{x0, y1}, xy{x1, y1})
	}
}

// heightAt returns the y of a polyline at u, right of a jump.
func heightAt(pts []xy, u float64) float64 {
	for j := 1; j < len(pts); j++ {
		a, b := pts[j-1], pts[j]
		if u >= a.x && u < b.x {
			return a.y + (b.y-a.y)*(u-a.x)/(b.x-a.x)
		}
	}
	return pts[len(pts)-1].y
}
