package shaft

import (
	"math"

	"shaftbook/kernel/figure/canvas"
)

// drawBody draws the shaft itself: half in section where it is hollow or has a
// core, the lower half as seen from outside.
func (l *shaftPlan) drawBody(p *canvas.Pen) {
	s := l.s
	for i := range s.Pieces {
		l.drawSection(p, &s.Pieces[i])
	}
	for i := range s.Pieces {
		piece := &s.Pieces[i]
		top, bottom := l.edge(piece.Outer, -1), l.edge(piece.Outer, 1)
		for _, gap := range l.gaps(piece) {
			// Outlines stop at a break line.
			p.Line(canvas.InkMain, canvas.Wide, nil, top[0], canvas.PointAt(gap.a, top[0].Y))
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(gap.b, top[0].Y), top[len(top)-1])
			p.Line(canvas.InkMain, canvas.Wide, nil, bottom[0], canvas.PointAt(gap.a, bottom[0].Y))
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(gap.b, bottom[0].Y), bottom[len(bottom)-1])
			top = nil
			break
		}
		if top != nil {
			p.Line(canvas.InkMain, canvas.Wide, nil, top...)
			p.Line(canvas.InkMain, canvas.Wide, nil, bottom...)
		}
		for _, inner := range [][]Sample{piece.Bore, piece.Core} {
			if len(inner) > 0 && !l.outside {
				p.Line(canvas.InkMain, canvas.Wide, nil, l.edge(inner, -1)...)
			}
		}
		if piece.Flat {
			l.drawFlat(p, piece)
		}
	}
	for i := 0; i <= len(s.Pieces); i++ {
		l.drawFace(p, i)
	}
	a, b := s.ends()
	p.Line(canvas.InkThin, canvas.Narrow, canvas.DashDot, canvas.PointAt(l.drawnX(a)-10, l.axisY), canvas.PointAt(l.drawnX(b)+10, l.axisY))
	for _, br := range l.breaks {
		l.drawBreak(p, br)
	}
}

// edge returns the drawn edge of a row of diameters: side −1 above the centre
// line, 1 below.
func (l *shaftPlan) edge(s []Sample, side float64) []canvas.Point {
	pts := make([]canvas.Point, len(s))
	for i, q := range s {
		pts[i] = canvas.PointAt(l.drawnX(q.X), l.axisY+float64(side*l.drawnRadius(q.D)))
	}
	return pts
}

// drawSection hatches the cut material of the upper half; a core is hatched
// the other way, as another part.
func (l *shaftPlan) drawSection(p *canvas.Pen, piece *Piece) {
	if !l.sectioned(piece) {
		return
	}
	outer := l.edge(piece.Outer, -1)
	inner := []canvas.Point{canvas.PointAt(l.drawnX(piece.From), l.axisY), canvas.PointAt(l.drawnX(piece.To), l.axisY)}
	if len(piece.Bore) > 0 {
		inner = l.edge(piece.Bore, -1)
	}
	if len(piece.Core) > 0 {
		core := l.edge(piece.Core, -1)
		p.Hatch(canvas.InkThin, 5, true, between(core, inner))
		inner = core
	}
	// Thin walls are hatched more closely.
	wall := inner[0].Y - outer[0].Y
	p.Hatch(canvas.InkThin, math.Max(3.5, math.Min(7, wall*0.6)), false, between(outer, inner))
}

func (l *shaftPlan) sectioned(piece *Piece) bool {
	return !l.outside && (len(piece.Bore) > 0 || len(piece.Core) > 0)
}

// between returns the polygon between two edges that run the same way.
func between(a, b []canvas.Point) []canvas.Point {
	poly := append([]canvas.Point(nil), a...)
	for i := len(b) - 1; i >= 0; i-- {
		poly = append(poly, b[i])
	}
	return poly
}

// drawFace draws the edges seen where piece i begins and the one before it
// ends.
func (l *shaftPlan) drawFace(p *canvas.Pen, i int) {
	s := l.s
	var before, after *Piece
	if i > 0 {
		before = &s.Pieces[i-1]
	}
	if i < len(s.Pieces) {
		after = &s.Pieces[i]
	}
	end := before == nil || after == nil
	here := after
	if here == nil {
		here = before
	}
	x := here.From
	if after == nil {
		x = here.To
	}
	u, y := l.drawnX(x), l.axisY
	r0, r1 := l.reach(before, x), l.reach(after, x)
	most := math.Max(r0.outer, r1.outer)
	if l.crowded(i) {
		// Full lines would run together: only the steps are drawn.
		for _, side := range []float64{-1, 1} {
			p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(u, y+float64(side*r0.outer)), canvas.PointAt(u, y+float64(side*r1.outer)))
		}
		return
	}
	corner := end || !sameD(r0.outer, r1.outer) || !smooth(before, after)
	if corner {
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y), canvas.PointAt(u, y+most))
	}
	cut0, cut1 := before != nil && l.sectioned(before), after != nil && l.sectioned(after)
	switch {
	case !cut0 && !cut1:
		if corner {
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y-most), canvas.PointAt(u, y))
		}
	case cut0 && cut1:
		// Cut material goes through; only steps show.
		if !sameD(r0.outer, r1.outer) {
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y-r0.outer), canvas.PointAt(u, y-r1.outer))
		}
		if !sameD(r0.bore, r1.bore) {
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y), canvas.PointAt(u, y-math.Max(r0.bore, r1.bore)))
		}
	case end || corner:
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y-most), canvas.PointAt(u, y))
	default:
		// The section ends within one part: a narrow line bounds it.
		bore := math.Max(math.Max(r0.bore, r1.bore), math.Max(r0.core, r1.core))
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(u, y), canvas.PointAt(u, y-bore))
		p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(u, y-bore), canvas.PointAt(u, y-most))
	}
}

// crowded reports whether the pieces at a face are drawn too short to show
// their faces.
func (l *shaftPlan) crowded(i int) bool {
	if i == 0 || i == len(l.s.Pieces) {
		return false
	}
	const least = 4
	a, b := &l.s.Pieces[i-1], &l.s.Pieces[i]
	return l.drawnX(a.To)-l.drawnX(a.From) < least && l.drawnX(b.To)-l.drawnX(b.From) < least
}

// reaches are the drawn radii of a piece at one place.
type reaches struct{ outer, bore, core float64 }

func (l *shaftPlan) reach(piece *Piece, x float64) reaches {
	if piece == nil {
		return reaches{}
	}
	return reaches{
		l.drawnRadius(diameterAt(piece.Outer, x)),
		l.drawnRadius(diameterAt(piece.Bore, x)),
		l.drawnRadius(diameterAt(piece.Core, x)),
	}
}

// smooth reports whether the outline goes on without an edge from one piece to
// the next: same slope on both sides.
func smooth(before, after *Piece) bool {
	if before.Flat != after.Flat {
		return false
	}
	b, a := before.Outer, after.Outer
	s0 := (b[len(b)-1].D - b[len(b)-2].D) / (b[len(b)-1].X - b[len(b)-2].X)
	s1 := (a[1].D - a[0].D) / (a[1].X - a[0].X)
	return math.Abs(s0-s1) <= float64(0.02*math.Max(math.Abs(s0), math.Abs(s1)))+1e-12
}

// drawFlat marks a flat face by thin diagonals (ISO 128-3).
func (l *shaftPlan) drawFlat(p *canvas.Pen, piece *Piece) {
	top, bottom := l.edge(piece.Outer, -1), l.edge(piece.Outer, 1)
	n := len(top) - 1
	if l.sectioned(piece) {
		return
	}
	p.Line(canvas.InkThin, canvas.Narrow, nil, top[0], bottom[n])
	p.Line(canvas.InkThin, canvas.Narrow, nil, bottom[0], top[n])
}

const breakGap = 9

// gaps returns where the outline of a piece is interrupted, in the figure.
func (l *shaftPlan) gaps(piece *Piece) []span {
	for _, b := range l.breaks {
		if b.a >= piece.From && b.b <= piece.To {
			m := float64((l.drawnX(b.a) + l.drawnX(b.b)) / 2)
			return []span{{m - breakGap/2, m + breakGap/2}}
		}
	}
	return nil
}

// drawBreak draws two narrow lines with a zigzag (ISO 128-2, line 01.1) across
// a shortened stretch.
func (l *shaftPlan) drawBreak(p *canvas.Pen, b span) {
	r := l.drawnRadius(l.s.outerAt((b.a+b.b)/2)) + 7
	m := float64((l.drawnX(b.a) + l.drawnX(b.b)) / 2)
	for _, u := range []float64{m - breakGap/2, m + breakGap/2} {
		p.Line(canvas.InkThin, canvas.Narrow, nil,
			canvas.PointAt(u, l.axisY-r), canvas.PointAt(u, l.axisY-8), canvas.PointAt(u-5, l.axisY-3),
			canvas.PointAt(u+5, l.axisY+3), canvas.PointAt(u, l.axisY+8), canvas.PointAt(u, l.axisY+r))
	}
}
