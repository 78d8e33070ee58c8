package canvas

import (
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
)

// pathData appends path data: absolute moves, relative everything else. Rounding
// happens on absolute positions, so that relative steps do not drift.
func (c *SVG) pathData(p vg.Path) {
	c.last = 0
	for i := range p {
		q := &p[i]
		switch q.Type {
		case vg.MoveComp:
			c.move(c.hundredthsAt(q.Pos))
		case vg.LineComp:
			c.line(c.hundredthsAt(q.Pos))
		case vg.ArcComp:
			c.arc(q)
		case vg.CurveComp:
			c.curve(q)
		case vg.CloseComp:
			c.buf = append(c.buf, 'z')
			c.x, c.y = c.sx, c.sy
			c.last = 'z'
		}
	}
}

// PathData writes a path as the d attribute of a path element.
func PathData(p vg.Path, height float64) string {
	c := NewSVG(make([]byte, 0, 4<<10), height)
	c.pathData(p)
	return string(c.buf)
}

func (c *SVG) line(x, y int) {
	dx, dy := x-c.x, y-c.y
	switch {
	case dx == 0 && dy == 0:
		return
	case dy == 0:
		c.letter('h')
		c.number(dx)
	case dx == 0:
		c.letter('v')
		c.number(dy)
	default:
		c.letter('l')
		c.number(dx)
		c.next(dy)
	}
	c.x, c.y = x, y
}

func (c *SVG) curve(q *vg.PathComp) {
	c1 := q.Control[0]
	c2 := c1
	to := q.Pos
	if len(q.Control) == 2 {
		c2 = q.Control[1]
	}
	letter := byte('c')
	if len(q.Control) == 1 {
		letter = 'q'
	}
	x1, y1 := c.hundredthsAt(c1)
	x2, y2 := c.hundredthsAt(c2)
	x, y := c.hundredthsAt(to)
	c.letter(letter)
	c.number(x1 - c.x)
	c.next(y1 - c.y)
	if letter == 'c' {
		c.next(x2 - c.x)
		c.next(y2 - c.y)
	}
	c.next(x - c.x)
	c.next(y - c.y)
	c.x, c.y = x, y
}

// arc draws a circular arc as cubic curves of at most a quarter turn, whose
// error is below 3e-4 of the radius.
func (c *SVG) arc(q *vg.PathComp) {
	n := int(math.Ceil(math.Abs(q.Angle)/(math.Pi/2) - 1e-9))
	if n == 0 {
		return
	}
	point := func(t, r float64) vg.Point {
		s, k := elementary.Sincos(t)
		return vg.Point{X: q.Pos.X + vg.Length(r*k), Y: q.Pos.Y + vg.Length(r*s)}
	}
	r := float64(q.Radius)
	if x, y := c.hundredthsAt(point(q.Start, r)); c.last == 0 {
		c.move(x, y)
	} else {
		c.line(x, y)
	}
	step := q.Angle / float64(n)
	k := 4.0 / 3 * elementary.Tan(step/4) * r
	for j := range n {
		t0 := q.Start + float64(float64(j)*step)
		t1 := t0 + step
		p0, p3 := point(t0, r), point(t1, r)
		s0, k0 := elementary.Sincos(t0)
		s1, k1 := elementary.Sincos(t1)
		c.curve(&vg.PathComp{Pos: p3, Control: []vg.Point{
			{X: p0.X - vg.Length(k*s0), Y: p0.Y + vg.Length(k*k0)},
			{X: p3.X + vg.Length(k*s1), Y: p3.Y - vg.Length(k*k1)},
		}})
	}
}

func (c *SVG) hundredthsAt(p vg.Point) (x, y int) {
	m := &c.state.m
	px, py := float64(p.X), float64(p.Y)
	return hundredths(float64(m.a*px) + float64(m.c*py) + m.e), hundredths(c.height - (float64(m.b*px) + float64(m.d*py) + m.f))
}

// letter writes a command unless it repeats the last one.
func (c *SVG) letter(l byte) {
	if c.last == l {
		if c.buf[len(c.buf)-1] != ' ' {
			c.buf = append(c.buf, ' ')
		}
		return
	}
	c.buf = append(c.buf, l)
	c.last = l
}

func hundredths(v float64) int { return int(math.Round(v * 100)) }

// next writes a number after another one.
func (c *SVG) next(h int) {
	if h >= 0 {
		c.buf = append(c.buf, ' ')
	}
	c.number(h)
}

// number writes hundredths in the shortest form: ".5", "-12", "3.25".
func (c *SVG) number(h int) {
	if h < 0 {
		if c.buf[len(c.buf)-1] == ' ' {
			c.buf = c.buf[:len(c.buf)-1]
		}
		c.buf = append(c.buf, '-')
		h = -h
	}
	whole, part := h/100, h%100
	if whole > 0 || part == 0 {
		c.buf = strconv.AppendInt(c.buf, int64(whole), 10)
	}
	switch {
	case part == 0:
	case part%10 == 0:
		c.buf = append(c.buf, '.', '0'+byte(part/10))
	default:
		c.buf = append(c.buf, '.', '0'+byte(part/10), '0'+byte(part%10))
	}
}
