package figure

import "math"

const (
	arcWidth  = 12.0 // half width of the arrow that turns about the shaft
	arcOver   = 12.0 // how far it stands out above and below the outline
	vectorLen = 44.0 // length of a torque's double-headed arrow
)

// drawTorque draws a torque twice: as the arrow that turns about the shaft on
// its near side, and as the double-headed arrow along the axis that the
// right-hand rule gives.
func (l *shaftPlan) drawTorque(p *pen, t Torque) {
	u, y := l.u(t.X), l.axisY
	dir := 1.0
	if t.Value < 0 {
		dir = -1
	}
	r := l.r(l.s.outerAt(t.X)) + arcOver
	// A positive torque carries the near side down: x points right, y up, z
	// to the reader, and the turn goes from y to z.
	arc := make([]xy, 0, 25)
	for k := range 25 {
		a := math.Pi * (-0.44 + 0.88*float64(k)/24)
		arc = append(arc, xy{u - arcWidth*math.Cos(a), y + dir*r*math.Sin(a)})
	}
	tip := arc[24]
	p.line(inkLoad, wide, nil, arc[:24]...)
	p.head(inkLoad, tip, tip.x-arc[20].x, tip.y-arc[20].y, 12)
	tail, head := l.vector(u, dir, t.X)
	p.doubleArrow(tail, head)
}

// vector places the double-headed arrow: outside the shaft at its ends.
func (l *shaftPlan) vector(u, dir, x float64) (tail, head xy) {
	a, b := l.s.ends()
	n := b - a
	start := u
	switch {
	case near(x, a, n) && dir > 0:
		start = u - vectorLen - 2
	case near(x, b, n) && dir < 0:
		start = u + vectorLen + 2
	}
	return xy{start, l.axisY}, xy{start + dir*vectorLen, l.axisY}
}

// doubleArrow draws a level arrow with two heads, the sign of a moment.
func (p *pen) doubleArrow(tail, head xy) {
	dx := head.x - tail.x
	h := math.Min(11, math.Abs(dx)*0.4)
	s := math.Copysign(h, dx)
	p.line(inkLoad, wide, nil, tail, xy{head.x - 1.8*s, head.y})
	p.head(inkLoad, head, dx, 0, h)
	p.head(inkLoad, xy{head.x - 0.9*s, head.y}, dx, 0, h)
}

// drawSpread draws a row of double-headed arrows above the shaft, longer where
// the torque is greater.
func (l *shaftPlan) drawSpread(p *pen, s DistributedTorque) {
	u0, u1, y := l.u(s.From), l.u(s.To), l.spreadY
	p.line(inkLoad, narrow, nil, xy{u0, y + 9}, xy{u0, y - 9})
	p.line(inkLoad, narrow, nil, xy{u1, y + 9}, xy{u1, y - 9})
	n := max(1, int((u1-u0)/40))
	pitch := (u1 - u0) / float64(n)
	most := math.Max(math.Abs(s.Start), math.Abs(s.End))
	if most == 0 {
		return
	}
	for k := range n {
		f := (float64(k) + 0.5) / float64(n)
		v := (s.Start + f*(s.End-s.Start)) / most
		half := v * (pitch - 8) / 2
		if math.Abs(half) < 3 {
			continue
		}
		m := u0 + f*(u1-u0)
		p.doubleArrow(xy{m - half, y}, xy{m + half, y})
	}
}

// holdX is where the middle of a hold's sign is.
func (l *shaftPlan) holdX(i int) float64 {
	a, b := l.s.ends()
	u := l.u(l.s.Holds[i].X)
	switch {
	case near(l.s.Holds[i].X, a, b-a):
		return u - 7
	case near(l.s.Holds[i].X, b, b-a):
		return u + 7
	}
	return u
}

// drawHold draws a wall at an end of the shaft, or two jaws between its ends,
// hatched as ground. An elastic hold has a spring in place of solid ground.
func (l *shaftPlan) drawHold(p *pen, h Support) {
	a, b := l.s.ends()
	u, r := l.u(h.X), l.r(l.s.outerAt(h.X))
	const deep, over = 14, 14
	ground := func(x0, y0, x1, y1 float64) {
		p.hatch(inkThin, 5, true, []xy{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}})
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
		p.spring(xy{u, l.axisY}, xy{u + side*22, l.axisY})
		u += side * 22
		fallthrough
	case side != 0:
		p.line(inkMain, wide, nil, xy{u, l.axisY - r - over}, xy{u, l.axisY + r + over})
		ground(math.Min(u, u+side*deep), l.axisY-r-over, math.Max(u, u+side*deep), l.axisY+r+over)
	default:
		for _, s := range []float64{-1, 1} {
			y := l.axisY + s*(r+2)
			if h.Elastic {
				p.spring(xy{u, y}, xy{u, y + s*14})
				y += s * 14
			}
			p.line(inkMain, wide, nil, xy{u - 12, y}, xy{u + 12, y})
			ground(u-12, math.Min(y, y+s*10), u+12, math.Max(y, y+s*10))
		}
	}
}

// spring draws a zigzag from a to b.
func (p *pen) spring(a, b xy) {
	const turns = 4
	n := math.Hypot(b.x-a.x, b.y-a.y)
	ux, uy := (b.x-a.x)/n, (b.y-a.y)/n
	pts := []xy{a}
	for k := range 2 * turns {
		f := n * (float64(k) + 0.5) / (2 * turns)
		w := 6.0
		if k%2 == 1 {
			w = -6
		}
		pts = append(pts, xy{a.x + ux*f - uy*w, a.y + uy*f + ux*w})
	}
	p.line(inkMain, 1.4, nil, append(pts, b)...)
}

// drawTags writes labels and diameters with their leaders.
func (l *shaftPlan) drawTags(p *pen) {
	for _, t := range l.loads {
		l.drawLeader(p, t, l.loadTop(t))
		p.text(inkMain, t.x0, t.y, left, t.text)
	}
	for _, t := range l.dims {
		r := l.r(t.target.y)
		switch t.kind {
		case tagAcross:
			l.drawLeader(p, t, l.axisY-r)
			p.dimension(xy{t.lead, l.axisY - r}, xy{t.lead, l.axisY + r})
		case tagBore:
			// The lower half does not show the bore: the dimension line ends
			// beyond the centre line, with one arrow.
			l.drawLeader(p, t, l.axisY-r)
			p.line(inkThin, narrow, nil, xy{t.lead, l.axisY - r}, xy{t.lead, l.axisY + 12})
			p.arrow(inkThin, xy{t.lead, l.axisY - r}, 0, -1, math.Min(arrowLength, r))
		case tagCorner:
			l.drawLeader(p, t, l.axisY-r)
			p.arrow(inkThin, xy{t.lead, l.axisY - r}, 0, 1, arrowLength)
		case tagPlain:
			l.drawLeader(p, t, l.axisY-r*0.6)
			p.disc(inkThin, xy{t.lead, l.axisY - r*0.6}, 2.2)
		}
		p.text(inkMain, t.x0, t.y, left, t.text)
	}
}

// loadTop is where the leader of a load ends.
func (l *shaftPlan) loadTop(t tag) float64 {
	switch t.kind {
	case tagSpread:
		return l.spreadY - 8
	case tagHold:
		return l.axisY - l.r(l.s.outerAt(l.s.Holds[t.of].X)) - 14
	}
	return l.axisY - l.r(l.s.outerAt(l.s.Torques[t.of].X)) - arcOver + 2
}

// drawLeader draws the shelf under a text and the line down to y.
func (l *shaftPlan) drawLeader(p *pen, t tag, y float64) {
	shelf := t.y + 4
	x0, x1 := t.x0, t.x0+t.w
	p.line(inkThin, narrow, nil, xy{math.Min(x0, t.lead), shelf}, xy{math.Max(x1, t.lead), shelf})
	p.line(inkThin, narrow, nil, xy{t.lead, shelf}, xy{t.lead, y})
}
