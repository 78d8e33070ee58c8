package plot

import (
	"maps"
	"math"
	"slices"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const (
	dotPitch  = 19.0 // between the signs of a stack, and between stacks
	dotHalf   = 7.0
	mostDots  = 24   // of a stack; the rest are counted above it
	boundBand = 14.0 // height of the band along the axis that is hatched outside the bounds
	beside    = 60.0 // room beside an end of the axis for what lies beyond
)

// A dot is one sign: which group, in which stack. Stack 0 is on the right
// value; lessStack and moreStack stand beside the ends of the axis.
type dot struct{ group, stack int }

const lessStack, moreStack = math.MinInt, math.MaxInt

// stacks sorts the answers into stacks, the last group at the bottom: where a
// stack is cut, it is the first group, the right answers, that is counted only.
func (d *DotPlot) stacks(s *strip) []dot {
	one := s.axisX(1)
	first, last := math.Ceil((s.x0-one)/dotPitch), math.Floor((s.x1-one)/dotPitch)
	var dots []dot
	for g := len(d.Groups) - 1; g >= 0; g-- {
		for _, v := range d.Groups[g].Values {
			stack := int(math.Max(first, math.Min(last, math.Round((s.axisX(v)-one)/dotPitch))))
			switch {
			case v < s.scale.Min:
				stack = lessStack
			case v > s.scale.Max:
				stack = moreStack
			}
			dots = append(dots, dot{g, stack})
		}
	}
	return dots
}

// column returns the middle of a stack, x.
func (s *strip) column(stack int) float64 {
	switch stack {
	case lessStack:
		return s.x0 - beside/2
	case moreStack:
		return s.x1 + beside/2
	}
	return s.axisX(1) + float64(dotPitch*float64(stack))
}

func (d *DotPlot) layout(width float64) (float64, func(*canvas.Pen)) {
	values := []float64{}
	for _, g := range d.Groups {
		values = append(values, g.Values...)
	}
	if d.bounded() {
		values = append(values, d.Low, d.High)
	}
	s := strip{width: width, x0: beside, x1: width - beside, label: "answer ÷ correct value, log axis"}
	s.scale = stripScale(s.x1-s.x0, values)
	dots := d.stacks(&s)
	high := map[int]int{}
	for _, q := range dots {
		high[q.stack]++
	}
	labels, rows := d.labels(&s, dots, high)
	top := 6 + float64(canvas.RowHeight*float64(rows)) + 26
	s.y = top + stacksHeight(high) + boundBand + 4
	s.height = s.y + below
	return s.height, func(p *canvas.Pen) {
		s.draw(p, top-18)
		d.drawLabels(p, &s, labels, top)
		d.drawBounds(p, &s, top-18)
		one := s.axisX(1)
		p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(one, s.y-boundBand), canvas.PointAt(one, s.y))
		placed := map[int]int{}
		for _, q := range dots {
			k := placed[q.stack]
			placed[q.stack]++
			if k < mostDots {
				d.Groups[q.group].draw(p, canvas.PointAt(s.column(q.stack), s.y-boundBand-4-float64(dotPitch*(float64(k)+0.5))))
			}
		}
		for _, stack := range slices.Sorted(maps.Keys(placed)) {
			if n := placed[stack]; n > mostDots {
				p.Text(canvas.InkMain, s.column(stack), s.y-boundBand-8-dotPitch*mostDots, canvas.Middle, "+"+figure.FormatNumber(float64(n-mostDots), 4))
			}
		}
		if high[lessStack] > 0 {
			p.Text(canvas.InkMain, s.column(lessStack), s.y+22, canvas.Middle, "less")
		}
		if high[moreStack] > 0 {
			p.Text(canvas.InkMain, s.column(moreStack), s.y+22, canvas.Middle, "more")
		}
	}
}

// drawBounds hatches the ends of the axis outside the bounds.
func (d *DotPlot) drawBounds(p *canvas.Pen, s *strip, top float64) {
	if !d.bounded() {
		return
	}
	for _, end := range [][2]float64{{s.x0, s.axisX(d.Low)}, {s.axisX(d.High), s.x1}} {
		a, b := end[0], end[1]
		if b-a > 1 {
			p.Hatch(canvas.InkFourth, 6, false, []canvas.Point{canvas.PointAt(a, s.y-boundBand), canvas.PointAt(b, s.y-boundBand), canvas.PointAt(b, s.y), canvas.PointAt(a, s.y)})
		}
	}
	for _, v := range []float64{d.Low, d.High} {
		if v >= s.scale.Min && v <= s.scale.Max {
			p.Line(canvas.InkFourth, canvas.Wide, nil, canvas.PointAt(s.axisX(v), top), canvas.PointAt(s.axisX(v), s.y))
		}
	}
}

// draw draws one sign of the group.
func (g *DotGroup) draw(p *canvas.Pen, c canvas.Point) {
	switch g.Sign {
	case FullSign:
		p.Disc(canvas.InkMain, c, dotHalf)
	case DiamondSign:
		p.Outline(canvas.InkMain, canvas.Wide, canvas.PointAt(c.X, c.Y-dotHalf), canvas.PointAt(c.X+dotHalf, c.Y), canvas.PointAt(c.X, c.Y+dotHalf), canvas.PointAt(c.X-dotHalf, c.Y))
	case LetterSign:
		const h = dotHalf + 1
		p.Outline(canvas.InkMain, canvas.Narrow, canvas.PointAt(c.X-h, c.Y-h), canvas.PointAt(c.X+h, c.Y-h), canvas.PointAt(c.X+h, c.Y+h), canvas.PointAt(c.X-h, c.Y+h))
		p.Text(canvas.InkMain, c.X, c.Y+4.5, canvas.Middle, g.Letter)
	}
}
