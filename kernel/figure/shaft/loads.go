package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure/canvas"
)

const (
	arcWidth  = 12.0 // half width of the arrow that turns about the shaft
	arcOver   = 12.0 // how far it reaches above and below the outline
	vectorLen = 44.0 // length of a torque's double-headed arrow
)

// drawTorque draws a torque twice: as the arrow that turns about the shaft on
// its near side, and as the double-headed arrow along the axis that the
// right-hand rule gives.
func (l *shaftPlan) drawTorque(p *canvas.Pen, t Torque) {
	u, y := l.drawnX(t.X), l.axisY
	dir := 1.0
	if t.Value < 0 {
		dir = -1
	}
	r := l.drawnRadius(l.s.outerAt(t.X)) + arcOver
	// A positive torque carries the near side down: x points right, y up, z
	// to the reader, and the turn goes from y to z.
	arc := make([]canvas.Point, 0, 25)
	for k := range 25 {
		a := math.Pi * (-0.44 + 0.88*float64(k)/24)
		arc = append(arc, canvas.PointAt(u-float64(arcWidth*elementary.Cos(a)), y+float64(dir*r*elementary.Sin(a))))
	}
	tip := arc[24]
	p.Line(canvas.InkLoad, canvas.Wide, nil, arc[:24]...)
	p.LoadHead(canvas.InkLoad, tip, tip.X-arc[20].X, tip.Y-arc[20].Y, 12)
	tail, head := l.vector(u, dir, t.X)
	p.MomentArrow(tail, head)
}

// vector places the double-headed arrow: outside the shaft at its ends.
func (l *shaftPlan) vector(u, dir, x float64) (tail, head canvas.Point) {
	a, b := l.s.ends()
	n := b - a
	start := u
	switch {
	case near(x, a, n) && dir > 0:
		start = u - vectorLen - 2
	case near(x, b, n) && dir < 0:
		start = u + vectorLen + 2
	}
	return canvas.PointAt(start, l.axisY), canvas.PointAt(start+float64(dir*vectorLen), l.axisY)
}

// drawDistributedTorque draws a row of double-headed arrows above the shaft, longer where
// the torque is greater.
func (l *shaftPlan) drawDistributedTorque(p *canvas.Pen, s DistributedTorque) {
	u0, u1, y := l.drawnX(s.From), l.drawnX(s.To), l.spreadY
	p.Line(canvas.InkLoad, canvas.Narrow, nil, canvas.PointAt(u0, y+9), canvas.PointAt(u0, y-9))
	p.Line(canvas.InkLoad, canvas.Narrow, nil, canvas.PointAt(u1, y+9), canvas.PointAt(u1, y-9))
	n := max(1, int((u1-u0)/40))
	pitch := (u1 - u0) / float64(n)
	most := math.Max(math.Abs(s.Start), math.Abs(s.End))
	if most == 0 {
		return
	}
	for k := range n {
		f := (float64(k) + 0.5) / float64(n)
		v := (s.Start + float64(f*(s.End-s.Start))) / most
		half := float64(v * (pitch - 8) / 2)
		if math.Abs(half) < 3 {
			continue
		}
		m := u0 + float64(f*(u1-u0))
		p.MomentArrow(canvas.PointAt(m-half, y), canvas.PointAt(m+half, y))
	}
}

// supportX is where the middle of a hold's sign is.
func (l *shaftPlan) supportX(i int) float64 {
	a, b := l.s.ends()
	u := l.drawnX(l.s.Supports[i].X)
	switch {
	case near(l.s.Supports[i].X, a, b-a):
		return u - 7
	case near(l.s.Supports[i].X, b, b-a):
		return u + 7
	}
	return u
}

// drawSupport draws a wall at an end of the shaft, or two jaws between its ends,
// hatched as ground. An elastic hold has a spring in place of solid ground.
func (l *shaftPlan) drawSupport(p *canvas.Pen, h Support) {
	a, b := l.s.ends()
	u, r := l.drawnX(h.X), l.drawnRadius(l.s.outerAt(h.X))
	const deep, over = 14, 14
	ground := func(x0, y0, x1, y1 float64) {
		p.Hatch(canvas.InkThin, 5, true, []canvas.Point{canvas.PointAt(x0, y0), canvas.PointAt(x1, y0), canvas.PointAt(x1, y1), canvas.PointAt(x0, y1)})
	}
	side := 0.0
	switch {
	case near(h.X, a, b-a):
		side = -1
	case near(h.X, b, b-a):
		side = 1
	}
	switch {
	case side != 0 && h.Elastic:
		p.Spring(canvas.PointAt(u, l.axisY), canvas.PointAt(u+float64(side*22), l.axisY))
		u += float64(side * 22)
		fallthrough
	case side != 0:
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, l.axisY-r-over), canvas.PointAt(u, l.axisY+r+over))
		ground(math.Min(u, u+float64(side*deep)), l.axisY-r-over, math.Max(u, u+float64(side*deep)), l.axisY+r+over)
	default:
		for _, s := range []float64{-1, 1} {
			y := l.axisY + float64(s*(r+2))
			if h.Elastic {
				p.Spring(canvas.PointAt(u, y), canvas.PointAt(u, y+float64(s*14)))
				y += float64(s * 14)
			}
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u-12, y), canvas.PointAt(u+12, y))
			ground(u-12, math.Min(y, y+float64(s*10)), u+12, math.Max(y, y+float64(s*10)))
		}
	}
}

// drawTags writes labels and diameters with their leaders.
func (l *shaftPlan) drawTags(p *canvas.Pen) {
	for _, t := range l.loads {
		l.drawLeader(p, t, l.loadTop(t))
		p.Text(canvas.InkMain, t.x0, t.y, canvas.Left, t.text)
	}
	for _, t := range l.dims {
		r := l.drawnRadius(t.target.Y)
		switch t.kind {
		case tagAcross:
			l.drawLeader(p, t, l.axisY-r)
			p.Dimension(canvas.PointAt(t.lead, l.axisY-r), canvas.PointAt(t.lead, l.axisY+r))
		case tagBore:
			// The lower half does not show the bore: the dimension line ends
			// beyond the centre line, with one arrow.
			l.drawLeader(p, t, l.axisY-r)
			p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(t.lead, l.axisY-r), canvas.PointAt(t.lead, l.axisY+12))
			p.ArrowHead(canvas.InkThin, canvas.PointAt(t.lead, l.axisY-r), 0, -1, math.Min(canvas.ArrowLength, r))
		case tagCorner:
			l.drawLeader(p, t, l.axisY-r)
			p.ArrowHead(canvas.InkThin, canvas.PointAt(t.lead, l.axisY-r), 0, 1, canvas.ArrowLength)
		case tagPlain:
			l.drawLeader(p, t, l.axisY-float64(r*0.6))
			p.Disc(canvas.InkThin, canvas.PointAt(t.lead, l.axisY-float64(r*0.6)), 2.2)
		}
		p.Text(canvas.InkMain, t.x0, t.y, canvas.Left, t.text)
	}
}

// loadTop is where the leader of a load ends.
func (l *shaftPlan) loadTop(t tag) float64 {
	switch t.kind {
	case tagSpread:
		return l.spreadY - 8
	case tagSupport:
		return l.axisY - l.drawnRadius(l.s.outerAt(l.s.Supports[t.of].X)) - 14
	}
	return l.axisY - l.drawnRadius(l.s.outerAt(l.s.Torques[t.of].X)) - arcOver + 2
}

// drawLeader draws the shelf under a text and the line down to y.
func (l *shaftPlan) drawLeader(p *canvas.Pen, t tag, y float64) {
	shelf := t.y + 4
	x0, x1 := t.x0, t.x0+t.w
	p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(math.Min(x0, t.lead), shelf), canvas.PointAt(math.Max(x1, t.lead), shelf))
	p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(t.lead, shelf), canvas.PointAt(t.lead, y))
}
