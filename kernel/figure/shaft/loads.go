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

	spreadArc    = 7.0  // arcWidth and arcOver of the arrows of a spread torque
	spreadPitch  = 60.0 // about what lies between them
	spreadHeight = 16.0 // of the profile of a spread torque where it is greatest
)

// drawTorque draws a torque as an arrow that turns about the shaft, which hides
// the rear half of it, and where it is asked for also as the double-headed arrow
// along the axis that the right-hand rule gives.
func (l *shaftPlan) drawTorque(p *canvas.Pen, t Torque) {
	dir := 1.0
	if t.Value < 0 {
		dir = -1
	}
	u := l.torqueX(t.X)
	l.drawTurn(p, u, l.drawnRadius(l.s.outerAt(t.X)), l.drawnRadius(l.s.outerAfter(t.X)), dir, arcWidth, arcOver)
	if l.s.Axial {
		tail, head := l.vector(l.drawnX(t.X), dir, t.X)
		p.MomentArrow(tail, head)
	}
}

// torqueX is where the arrow of a torque is drawn: at its place, at an end of the
// shaft a little inside, where the shaft can hide its rear half.
func (l *shaftPlan) torqueX(x float64) float64 {
	a, b := l.s.ends()
	u0, u1 := l.drawnX(a), l.drawnX(b)
	inside := math.Min(arcWidth+2, (u1-u0)/4)
	switch n := b - a; {
	case near(x, a, n):
		return u0 + inside
	case near(x, b, n):
		return u1 - inside
	}
	return l.drawnX(x)
}

// drawTurn draws an arrow that turns about a shaft of radius r at u; behind is
// the radius just right of u, where the arrow passes behind.
func (l *shaftPlan) drawTurn(p *canvas.Pen, u, r, behind, dir, width, over float64) {
	reach := r + over
	// A positive torque carries the near side down: x points right, y up, z
	// to the reader, and the turn goes from y to z. The arrow comes up behind,
	// is seen where it leaves the shaft, and passes before it on the left.
	const steps, from, to = 36, -0.86, 0.44 // of a half turn
	arc := make([]canvas.Point, 0, steps+1)
	for k := range steps + 1 {
		sin, cos := elementary.Sincos(math.Pi * (from + float64((to-from)*float64(k)/steps)))
		if cos < 0 && math.Abs(reach*sin) < behind+1 {
			continue
		}
		arc = append(arc, canvas.PointAt(u-float64(width*cos), l.axisY+float64(dir*reach*sin)))
	}
	n := len(arc) - 1
	head := math.Min(12, width)
	p.Line(canvas.InkTorque, canvas.Wide, nil, arc[:n]...)
	p.LoadHead(canvas.InkTorque, arc[n], arc[n].X-arc[n-3].X, arc[n].Y-arc[n-3].Y, head)
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

// spreadAt is the height of the profile of a spread torque at a fraction of its
// length, with the torque there as a part of its greatest.
func spreadAt(s DistributedTorque, f float64) (height, part float64) {
	most := math.Max(math.Abs(s.Start), math.Abs(s.End))
	if most == 0 {
		return 0, 0
	}
	part = (s.Start + float64(f*(s.End-s.Start))) / most
	return spreadHeight * math.Abs(part), part
}

// drawDistributedTorque draws the profile of a spread torque above the shaft,
// higher where it is greater, and a row of arrows about the shaft.
func (l *shaftPlan) drawDistributedTorque(p *canvas.Pen, s DistributedTorque) {
	u0, u1, y := l.drawnX(s.From), l.drawnX(s.To), l.spreadY
	profile := []canvas.Point{canvas.PointAt(u0, y)}
	stops := []float64{0, 1}
	if (s.Start > 0) != (s.End > 0) && s.Start != s.End {
		stops = []float64{0, s.Start / (s.Start - s.End), 1}
	}
	for _, f := range stops {
		height, _ := spreadAt(s, f)
		profile = append(profile, canvas.PointAt(u0+float64(f*(u1-u0)), y-height))
	}
	profile = append(profile, canvas.PointAt(u1, y))
	p.Area(canvas.InkTorque.Wash(), profile...)
	p.Outline(canvas.InkTorque, canvas.Narrow, profile...)
	n := max(1, int((u1-u0)/spreadPitch))
	for k := range n {
		f := (float64(k) + 0.5) / float64(n)
		_, part := spreadAt(s, f)
		if math.Abs(part) < 0.05 {
			continue
		}
		x := s.From + float64(f*(s.To-s.From))
		r := l.drawnRadius(l.s.outerAt(x))
		l.drawTurn(p, l.drawnX(x), r, r, math.Copysign(1, part), spreadArc, spreadArc)
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
		case tagEnd:
			// The end is dimensioned beside it, on lines that carry its corners out.
			u := l.drawnX(t.target.X)
			side := math.Copysign(1, t.lead-u)
			for _, y := range []float64{l.axisY - r, l.axisY + r} {
				p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(u+float64(side*3), y), canvas.PointAt(t.lead+float64(side*4), y))
			}
			l.drawLeader(p, t, l.axisY-r)
			p.Dimension(canvas.PointAt(t.lead, l.axisY-r), canvas.PointAt(t.lead, l.axisY+r))
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
		height, _ := spreadAt(l.s.DistributedTorques[t.of], 0.5)
		return l.spreadY - height - 1
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
