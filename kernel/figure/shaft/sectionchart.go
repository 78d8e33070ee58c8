package shaft

import (
	"math"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// drawChart draws the stress over the radius.
func (l *sectionPlan) drawChart(p *canvas.Pen) {
	c, o := l.chart, l.chart.origin
	at := func(r, stress float64) canvas.Point {
		return canvas.PointAt(o.X+float64(c.scale.Norm(stress, false)*c.span), o.Y-float64(r*l.per))
	}
	zero := at(0, 0).X
	l.drawRadii(p)
	for i, y := range l.s.Layers {
		in, out := at(y.Inner, y.AtInner), at(y.Outer, y.AtOuter)
		p.Area(canvas.InkStress.Wash(), canvas.PointAt(zero, in.Y), in, out, canvas.PointAt(zero, out.Y))
		if y.Inner > 0 {
			p.Line(canvas.InkStress, canvas.Narrow, dotted, canvas.PointAt(zero, in.Y), in)
		}
		if i > 0 {
			before := at(l.s.Layers[i-1].Outer, l.s.Layers[i-1].AtOuter)
			p.Line(canvas.InkStress, canvas.Narrow, dotted, before, in)
		}
		p.Line(canvas.InkStress, canvas.CurveWidth, nil, in, out)
		c.curves = append(c.curves, [2]canvas.Point{in, out})
	}
	top := at(l.s.Layers[len(l.s.Layers)-1].Outer, l.s.Layers[len(l.s.Layers)-1].AtOuter)
	p.Line(canvas.InkStress, canvas.Narrow, dotted, top, canvas.PointAt(zero, top.Y))
	l.drawAxes(p)
	if len(l.s.Left) > 0 {
		// The name of the upward axis stands near where the stress at the surface is written.
		half := float64(canvas.TextWidth(canvas.FitWithUnit("r", l.s.LengthUnit, 90), canvas.TextSize)/2) + 4
		y := o.Y - l.radius - 26
		c.taken = append(c.taken, canvas.TextBox{X0: o.X - half, Y0: y - canvas.TextSize, X1: o.X + half, Y1: y + 6})
	}
	for k, q := range l.s.Left {
		if k > 0 {
			before := l.s.Left[k-1]
			from, to := at(before.R, before.Stress), at(q.R, q.Stress)
			p.Line(canvas.InkStress, canvas.Wide, canvas.Dashed, from, to)
			c.curves = append(c.curves, [2]canvas.Point{from, to})
		}
	}
	if zero > o.X {
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(zero, o.Y), canvas.PointAt(zero, o.Y-l.radius))
	}
	for i := len(l.s.Layers) - 1; i >= 0; i-- {
		y := l.s.Layers[i]
		if i+1 < len(l.s.Layers) && l.s.Layers[i+1].Yielded {
			continue // the ring has the same stress
		}
		if out := at(y.Outer, y.AtOuter); i == len(l.s.Layers)-1 {
			// Above the greatest radius nothing is drawn.
			l.value(p, y.OuterText, [][3]float64{{out.X, out.Y - 6, 1}, {out.X, out.Y - 6, 0.5}, {o.X + 6, out.Y - 6, 0}})
		} else {
			right := l.width - 6
			l.value(p, y.OuterText, [][3]float64{{out.X + 8, out.Y + 17, 0}, {out.X + 8, out.Y + 38, 0}, {out.X, out.Y - 6, 1}, {right, out.Y - 6, 1}, {right, out.Y + 38, 1}, {right, out.Y + 58, 1}})
		}
	}
	for _, y := range l.s.Layers {
		if y.Inner > 0 && !y.Yielded {
			in := at(y.Inner, y.AtInner)
			l.value(p, y.InnerText, [][3]float64{{in.X + 8, in.Y + 17, 0}, {in.X, in.Y + 17, 1}, {in.X + 8, in.Y + 38, 0}, {in.X - 6, in.Y - 6, 1}})
		}
	}
	for _, y := range l.s.Left {
		if q := at(y.R, y.Stress); y.R > 0 {
			l.value(p, y.Text, [][3]float64{{q.X + 9, q.Y + 5, 0}, {q.X + 9, q.Y + 24, 0}, {q.X - 9, q.Y + 20, 1}, {q.X + 9, q.Y - 14, 0}})
		}
	}
	if r := l.s.Ring; r != nil {
		q := at(r.R, r.Stress)
		p.Line(canvas.InkStress, canvas.Narrow, nil, canvas.PointAt(zero, q.Y), q)
		p.Disc(canvas.InkStress, q, 3)
		l.value(p, canvas.Quantity("τ")+" = "+r.Text, [][3]float64{{q.X + 9, q.Y + 9, 0}, {q.X + 9, q.Y + 14, 0}})
	}
}

// value writes a value at the first of some places, x, y and anchor, where it is within
// the chart and covers no other; a value without a place is in the table.
func (l *sectionPlan) value(p *canvas.Pen, text string, places [][3]float64) {
	c := l.chart
	w := canvas.TextWidth(text, canvas.TextSize)
	for _, q := range places {
		x0 := q[0] - float64(q[2]*w)
		box := canvas.TextBox{X0: x0 - 4, Y0: q[1] - canvas.Ascent*canvas.TextSize, X1: x0 + w + 4, Y1: q[1] + canvas.Descent*canvas.TextSize}
		if x0 < c.origin.X+4 || x0+w > l.width-3 || box.Y1 > c.origin.Y-1 || c.covers(box) {
			continue
		}
		c.taken = append(c.taken, box)
		p.Text(canvas.InkMain, x0, q[1], canvas.Left, text)
		return
	}
}

func (c *stressChart) covers(b canvas.TextBox) bool {
	for _, t := range c.taken {
		if b.X0 < t.X1 && t.X0 < b.X1 && b.Y0 < t.Y1 && t.Y0 < b.Y1 {
			return true
		}
	}
	const steps = 40
	for _, line := range c.curves {
		for k := range steps + 1 {
			f := float64(k) / steps
			x, y := line[0].X+float64(f*(line[1].X-line[0].X)), line[0].Y+float64(f*(line[1].Y-line[0].Y))
			if x > b.X0 && x < b.X1 && y > b.Y0 && y < b.Y1 {
				return true
			}
		}
	}
	return false
}

// drawRadii names the radii on the upward axis, and carries them over from the section
// where that is beside the chart.
func (l *sectionPlan) drawRadii(p *canvas.Pen) {
	c, o := l.chart, l.chart.origin
	list := l.s.radii()
	taken := math.Inf(-1)
	mark := func(r float64, text string) {
		y := o.Y - float64(r*l.per)
		w := canvas.TextWidth(text, canvas.TextSize)
		if y-taken < 17 && y+17 > taken {
			return
		}
		taken = y
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(o.X-5, y), canvas.PointAt(o.X, y))
		p.Text(canvas.InkMain, o.X-8, y+5, canvas.Right, text)
		if c.beside {
			p.Line(canvas.InkFaint, canvas.Narrow, nil, canvas.PointAt(l.middle.X, y), canvas.PointAt(o.X-w-14, y))
		}
	}
	for i := len(list) - 1; i >= 0; i-- {
		mark(list[i], figure.FormatNumber(list[i], 4))
	}
}

// drawAxes draws the two axes with their heads.
func (l *sectionPlan) drawAxes(p *canvas.Pen) {
	c, o := l.chart, l.chart.origin
	p.Line(canvas.InkMain, canvas.Narrow, nil, o, canvas.PointAt(o.X, o.Y-l.radius-14))
	p.Text(canvas.InkMain, o.X, o.Y-l.radius-26, canvas.Middle, canvas.FitWithUnit("r", l.s.LengthUnit, 90))
	p.Line(canvas.InkMain, canvas.Narrow, nil, o, canvas.PointAt(o.X+c.span, o.Y))
	head := canvas.FitWithUnit("τ", l.s.StressUnit, c.span)
	from := l.width - 4 - canvas.TextWidth(head, canvas.TextSize)
	p.Text(canvas.InkMain, from, o.Y+42, canvas.Left, head)
	taken := math.Inf(-1)
	for _, t := range c.scale.Marks() {
		u := o.X + float64(c.scale.Norm(t.Value, false)*c.span)
		p.Line(canvas.InkMain, canvas.Narrow, nil, canvas.PointAt(u, o.Y), canvas.PointAt(u, o.Y+5))
		if half := float64(canvas.TextWidth(t.Label, canvas.TextSize) / 2); u-half > taken+6 && u+half < l.width-2 {
			p.Text(canvas.InkMain, u, o.Y+21, canvas.Middle, t.Label)
			taken = u + half
		}
	}
}
