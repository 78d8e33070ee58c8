package canvas

import (
	"math"

	"shaftbook/kernel/elementary"
)

// ArrowHead fills an arrowhead with its tip at the given point, pointing in the
// direction (dx, dy): filled, 3:1, as ISO 129-1 allows.
func (p *Pen) ArrowHead(i Ink, tip Point, dx, dy, length float64) {
	p.wedge(i, tip, dx, dy, length, length/6)
}

// LoadHead fills the broader arrowhead of a load.
func (p *Pen) LoadHead(i Ink, tip Point, dx, dy, length float64) {
	p.wedge(i, tip, dx, dy, length, length/3.4)
}

func (p *Pen) wedge(i Ink, tip Point, dx, dy, length, half float64) {
	n := elementary.Hypot(dx, dy)
	if n == 0 {
		return
	}
	ux, uy := float64(dx/n*length), float64(dy/n*length)
	vx, vy := float64(-dy/n*half), float64(dx/n*half)
	p.Area(i, tip, Point{tip.X - ux + vx, tip.Y - uy + vy}, Point{tip.X - ux - vx, tip.Y - uy - vy})
}

// MomentArrow draws a level arrow with two heads, the sign of a moment.
func (p *Pen) MomentArrow(tail, head Point) {
	dx := head.X - tail.X
	h := math.Min(11, math.Abs(dx)*0.4)
	s := math.Copysign(h, dx)
	p.Line(InkTorque, Wide, nil, tail, Point{head.X - float64(1.8*s), head.Y})
	p.LoadHead(InkTorque, head, dx, 0, h)
	p.LoadHead(InkTorque, Point{head.X - float64(0.9*s), head.Y}, dx, 0, h)
}

// ArrowLength is the length of the arrows of a dimension line, in units of the
// figure.
const ArrowLength = 10

// Dimension draws a dimension line with an arrow at each end; where there is
// no room between, the arrows point inward from outside.
func (p *Pen) Dimension(a, b Point) {
	dx, dy := b.X-a.X, b.Y-a.Y
	n := elementary.Hypot(dx, dy)
	if n == 0 {
		return
	}
	if n >= 2.6*ArrowLength {
		p.Line(InkThin, Narrow, nil, a, b)
		p.ArrowHead(InkThin, a, -dx, -dy, ArrowLength)
		p.ArrowHead(InkThin, b, dx, dy, ArrowLength)
		return
	}
	size := math.Min(ArrowLength, math.Max(4, n))
	ex, ey := float64(dx/n*size*1.5), float64(dy/n*size*1.5)
	p.Line(InkThin, Narrow, nil, Point{a.X - ex, a.Y - ey}, Point{b.X + ex, b.Y + ey})
	p.ArrowHead(InkThin, a, dx, dy, size*0.7)
	p.ArrowHead(InkThin, b, -dx, -dy, size*0.7)
}

// Spring draws a zigzag from a to b.
func (p *Pen) Spring(a, b Point) {
	const turns = 4
	n := elementary.Hypot(b.X-a.X, b.Y-a.Y)
	ux, uy := (b.X-a.X)/n, (b.Y-a.Y)/n
	pts := []Point{a}
	for k := range 2 * turns {
		f := n * (float64(k) + 0.5) / (2 * turns)
		w := 6.0
		if k%2 == 1 {
			w = -6
		}
		pts = append(pts, Point{a.X + float64(ux*f) - float64(uy*w), a.Y + float64(uy*f) + float64(ux*w)})
	}
	p.Line(InkMain, 1.4, nil, append(pts, b)...)
}

// Marker draws the marker of the i-th curve.
func (p *Pen) Marker(k Ink, i int, q Point) {
	const r = 4.2
	switch i % 6 {
	case 0:
		p.Disc(k, q, r*0.9)
	case 1:
		p.Area(k, Point{q.X - r*.85, q.Y - r*.85}, Point{q.X + r*.85, q.Y - r*.85}, Point{q.X + r*.85, q.Y + r*.85}, Point{q.X - r*.85, q.Y + r*.85})
	case 2:
		p.Area(k, Point{q.X, q.Y - r*1.2}, Point{q.X + r*1.1, q.Y + r*.8}, Point{q.X - r*1.1, q.Y + r*.8})
	case 3:
		p.Area(k, Point{q.X, q.Y - r*1.2}, Point{q.X + r*1.2, q.Y}, Point{q.X, q.Y + r*1.2}, Point{q.X - r*1.2, q.Y})
	case 4:
		p.Line(k, 2, nil, Point{q.X - r, q.Y - r}, Point{q.X + r, q.Y + r})
		p.Line(k, 2, nil, Point{q.X - r, q.Y + r}, Point{q.X + r, q.Y - r})
	default:
		p.Line(k, 2, nil, Point{q.X - r*1.2, q.Y}, Point{q.X + r*1.2, q.Y})
		p.Line(k, 2, nil, Point{q.X, q.Y - r*1.2}, Point{q.X, q.Y + r*1.2})
	}
}

// Sign draws a plus or a minus in a circle, for an area above or below zero.
func (p *Pen) Sign(i Ink, c Point, plus bool) {
	const r, bar = 7.5, 4.0
	p.Ring(i, c, r, Narrow)
	p.Line(i, 1.4, nil, Point{c.X - bar, c.Y}, Point{c.X + bar, c.Y})
	if plus {
		p.Line(i, 1.4, nil, Point{c.X, c.Y - bar}, Point{c.X, c.Y + bar})
	}
}
