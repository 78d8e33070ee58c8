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
			c.curve(q.Pos, q.Control...)
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

// curve goes to a point with one or two control points.
func (c *SVG) curve(to vg.Point, control ...vg.Point) {
	c1, c2 := control[0], control[len(control)-1]
	letter := byte('c')
	if len(control) == 1 {
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
	r := float64(q.Radius)
	point := func(d direction) vg.Point {
		return vg.Point{X: q.Pos.X + vg.Length(r*d.cos), Y: q.Pos.Y + vg.Length(r*d.sin)}
	}
	way, arm := bends(q.Start, q.Angle, n)
	p0 := point(way[0][0])
	if x, y := c.hundredthsAt(p0); c.last == 0 {
		c.move(x, y)
	} else {
		c.line(x, y)
	}
	k := arm * r
	for _, d := range way {
		p0, p3 := point(d[0]), point(d[1])
		c.curve(p3,
			vg.Point{X: p0.X - vg.Length(k*d[0].sin), Y: p0.Y + vg.Length(k*d[0].cos)},
			vg.Point{X: p3.X + vg.Length(k*d[1].sin), Y: p3.Y - vg.Length(k*d[1].cos)})
	}
}

type direction struct{ sin, cos float64 }

// round is a whole turn from 0: every disc, and so every marker of a curve.
var round, roundArm = turn(0, 2*math.Pi, 4)

// bends returns where each of the n curves of an arc begins and ends, and how far their
// control points lie from there, for the radius 1.
func bends(start, angle float64, n int) ([][2]direction, float64) {
	if start == 0 && angle == 2*math.Pi {
		return round, roundArm
	}
	return turn(start, angle, n)
}

func turn(start, angle float64, n int) (way [][2]direction, arm float64) {
	step := angle / float64(n)
	at := func(t float64) (d direction) {
		d.sin, d.cos = elementary.Sincos(t)
		return d
	}
	for j := range n {
		t := start + float64(float64(j)*step)
		way = append(way, [2]direction{at(t), at(t + step)})
	}
	return way, 4.0 / 3 * elementary.Tan(step/4)
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
		c.buf = appendWhole(c.buf, whole)
	}
	switch {
	case part == 0:
	case part%10 == 0:
		c.buf = append(c.buf, '.', '0'+byte(part/10))
	default:
		c.buf = append(c.buf, '.', '0'+byte(part/10), '0'+byte(part%10))
	}
}

// appendWhole writes a whole number from 0. Those of a figure have few digits.
func appendWhole(b []byte, n int) []byte {
	switch {
	case n < 10:
		return append(b, '0'+byte(n))
	case n < 100:
		return append(b, '0'+byte(n/10), '0'+byte(n%10))
	case n < 1000:
		return append(b, '0'+byte(n/100), '0'+byte(n/10%10), '0'+byte(n%10))
	}
	return strconv.AppendInt(b, int64(n), 10)
}
