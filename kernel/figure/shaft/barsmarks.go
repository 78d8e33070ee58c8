package shaft

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// drawMarks marks d/2 on the first bar, γ, θ and L on the last.
func (l *barsPlan) drawMarks(p *canvas.Pen) {
	row := len(l.rows) - 1
	first, last := l.s.Bars[row].ends()
	l.drawHalf(p, last)
	l.drawShear(p, row)
	l.drawTurned(p, row, last)
	a, b := l.x(first.X), l.x(last.X)
	y := l.lengthY
	for _, q := range []struct{ x, d float64 }{{a, first.D}, {b, last.D}} {
		p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(q.x, l.rows[row]+float64(q.d*l.perD/2)+3), canvas.PointAt(q.x, y+4))
	}
	p.Dimension(canvas.PointAt(a, y), canvas.PointAt(b, y))
	text := canvas.Quantity("L") + " = " + figure.NumberWithUnit(figure.FormatNumber(last.X-first.X, 5), l.s.LengthUnit)
	p.Text(canvas.InkMain, (a+b)/2, y+18, canvas.Middle, text)
}

// drawHalf marks the radius of the far end of the first bar.
func (l *barsPlan) drawHalf(p *canvas.Pen, last Sample) {
	u, y, r := l.x(last.X), l.rows[0], float64(last.D*l.perD/2)
	p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(u, y), canvas.PointAt(u, y-r))
	p.ArrowHead(canvas.InkMain, canvas.PointAt(u, y-r), 0, -1, math.Min(canvas.ArrowLength, r/2))
	text, middle := u+float64(slant*r)+10, y-float64(r/2)
	p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(u, middle), canvas.PointAt(text-2, middle))
	p.Text(canvas.InkMain, text, middle+5, canvas.Left, canvas.Quantity("d")+"/2")
}

// drawShear marks the angle between the line of the surface and where it was, at the start.
func (l *barsPlan) drawShear(p *canvas.Pen, row int) {
	r := &l.s.Bars[row]
	if len(r.X) == 0 {
		return
	}
	first, last := r.ends()
	reach := math.Min(90, l.x(last.X)-l.x(first.X))
	x := first.X + (last.X-first.X)*reach/(l.x(last.X)-l.x(first.X))
	from := l.on(row, first.X, first.D, l.angle(row, first.X))
	to := l.on(row, x, diameterAt(r.Pieces[0], x), l.angle(row, x))
	turn := elementary.Atan2(to.Y-from.Y, to.X-from.X)
	radius := float64(reach * 0.8)
	if math.Abs(turn) < 0.03 || math.Abs(turn) > 1.2 || reach < 50 {
		return
	}
	p.Line(canvas.InkTwist, canvas.Narrow, nil, arcPoints(from, radius, radius, 0, -turn)...)
	sin, cos := elementary.Sincos(turn / 2)
	y := from.Y + float64((radius+8)*sin) + 5
	if math.Abs(turn) < 0.25 {
		// Too narrow for a letter between the lines: it stands on the other side.
		y = from.Y - 6
		if turn < 0 {
			y = from.Y + 17
		}
	}
	p.Text(canvas.InkMain, from.X+float64((radius+8)*cos), y, canvas.Left, canvas.Quantity("γ"))
}

// drawTurned marks the rotation of the far end.
func (l *barsPlan) drawTurned(p *canvas.Pen, row int, last Sample) {
	angle := l.angle(row, last.X)
	if math.Abs(angle) < 0.03 {
		return
	}
	r := last.D * l.perD / 2
	middle := canvas.PointAt(l.x(last.X), l.rows[row])
	p.Line(canvas.InkTwist, canvas.Narrow, canvas.Dashed, middle, l.on(row, last.X, last.D, 0))
	most := math.Max(-2*math.Pi, math.Min(2*math.Pi, angle))
	// Angles on the face run from the left, downward.
	p.Line(canvas.InkTwist, canvas.Narrow, nil, arcPoints(middle, 0.6*slant*r, 0.6*r, math.Pi, math.Pi+most)...)
	sin, cos := elementary.Sincos(most / 2)
	at := canvas.PointAt(middle.X-float64(0.6*slant*r*cos), middle.Y+float64(0.6*r*sin))
	text := canvas.PointAt(middle.X+float64(slant*r)+12, middle.Y+float64(math.Copysign(0.6*r, angle)))
	p.Line(canvas.InkThin, canvas.Narrow, nil, at, canvas.PointAt(text.X-2, text.Y))
	p.Text(canvas.InkMain, text.X, text.Y+5, canvas.Left, canvas.Quantity("θ"))
}
