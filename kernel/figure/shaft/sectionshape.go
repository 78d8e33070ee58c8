package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure/canvas"
)

// drawShape draws a section that is not round, with the places of its greatest stress.
func (l *sectionPlan) drawShape(p *canvas.Pen) {
	f := l.s.Shape
	outline, inner := l.points(f.Outline), l.points(f.Inner)
	if len(inner) > 0 {
		// The wall, without the hole that its two lines leave.
		wall := append(append([]canvas.Point{}, outline...), outline[0], inner[0])
		for i := len(inner) - 1; i >= 0; i-- {
			wall = append(wall, inner[i])
		}
		p.Area(canvas.InkMain.Wash(), wall...)
		p.Outline(canvas.InkMain, canvas.Wide, inner...)
	} else {
		p.Area(canvas.InkMain.Wash(), outline...)
	}
	p.Outline(canvas.InkMain, canvas.Wide, outline...)
	if f.Kind != "open wall" { // the middle of what is drawn means nothing there
		l.drawCentre(p)
	}
	if l.s.isLoaded() {
		for i, q := range l.points(f.Worst) {
			if len(f.Along) > 0 {
				l.drawFace(p, q, f.Along[i])
			} else {
				l.drawWorst(p, q)
			}
		}
		if l.wall == nil {
			l.worstText(p)
		}
	}
	room := 2 * math.Min(l.middle.X, l.width-l.middle.X)
	p.Text(canvas.InkMain, l.middle.X, l.middle.Y+l.radius+35, canvas.Middle, canvas.Fit(f.SizeText, room-8))
}

// drawFace draws the stress on one face of a wall as an arrow beside it.
func (l *sectionPlan) drawFace(p *canvas.Pen, q canvas.Point, along [2]float64) {
	const reach, off = 18, 9
	sense := l.s.sense()
	// Beyond the face: to the right of the direction for a positive torque, with y down.
	x, y := q.X+float64(off*along[0]), q.Y+float64(off*along[1])
	ux, uy := float64(sense*along[1]), float64(-sense*along[0])
	tail, tip := canvas.PointAt(x-float64(reach*ux), y-float64(reach*uy)), canvas.PointAt(x+float64(reach*ux), y+float64(reach*uy))
	p.Line(canvas.InkStress, canvas.Wide, nil, tail, canvas.PointAt(tip.X-float64(8*ux), tip.Y-float64(8*uy)))
	p.ArrowHead(canvas.InkStress, tip, ux, uy, 11)
}

func (l *sectionPlan) points(line [][2]float64) []canvas.Point {
	pts := make([]canvas.Point, len(line))
	for i, q := range line {
		pts[i] = canvas.PointAt(l.middle.X+float64(q[1]*l.per), l.middle.Y-float64(q[0]*l.per))
	}
	return pts
}

// drawWorst draws a place of greatest stress, with an arrow of it along the edge.
func (l *sectionPlan) drawWorst(p *canvas.Pen, q canvas.Point) {
	dx, dy := q.X-l.middle.X, q.Y-l.middle.Y
	n := elementary.Hypot(dx, dy)
	if n == 0 {
		return
	}
	// Counterclockwise as seen, with y down.
	ux, uy := float64(l.s.sense()*dy/n), float64(-l.s.sense()*dx/n)
	const reach = 20
	off := 5.0 // inward from the edge; in the wall of a tube none, or beside a very thin one
	if len(l.s.Shape.Inner) > 0 {
		off = 0
		if wall := l.s.Shape.Wall; wall != nil && float64(wall.Thickness*l.per) < 8 {
			off = -9 - float64(wall.Thickness*l.per/2)
		}
	}
	in := canvas.PointAt(q.X-float64(off*dx/n), q.Y-float64(off*dy/n))
	tail, tip := canvas.PointAt(in.X-float64(reach*ux), in.Y-float64(reach*uy)), canvas.PointAt(in.X+float64(reach*ux), in.Y+float64(reach*uy))
	p.Line(canvas.InkStress, canvas.Wide, nil, tail, canvas.PointAt(tip.X-float64(8*ux), tip.Y-float64(8*uy)))
	p.ArrowHead(canvas.InkStress, tip, ux, uy, 11)
	if off > 0 {
		p.Disc(canvas.InkStress, q, 3.4)
	}
}

// worstText writes the greatest stress beside one of its places, above the section.
func (l *sectionPlan) worstText(p *canvas.Pen) {
	text := canvas.Quantity("τ_max") + " = " + l.s.Shape.Text
	w := canvas.TextWidth(text, canvas.TextSize)
	best := l.points(l.s.Shape.Worst)[0]
	for _, q := range l.points(l.s.Shape.Worst) {
		if q.X-q.Y > best.X-best.Y {
			best = q
		}
	}
	x := math.Min(l.width-4-w, math.Max(best.X+24, l.middle.X+20))
	p.Line(canvas.InkThin, canvas.Narrow, nil, best, canvas.PointAt(x+float64(w/2), 22))
	p.Text(canvas.InkMain, x, 17, canvas.Left, text)
}
