package figure

import (
	"maps"
	"math"
	"slices"
)

const (
	dotPitch  = 19.0 // between the signs of a stack, and between stacks
	dotHalf   = 7.0
	mostDots  = 24   // of a stack; the rest are counted above it
	boundBand = 14.0 // height of the band along the axis that is hatched outside the bounds
	beside    = 60.0 // room beside an end of the axis for what lies beyond
)

// A dot is one sign: which group, in which stack. Stack 0 stands on the right
// value; lessStack and moreStack stand beside the ends of the axis.
type dot struct{ group, stack int }

const lessStack, moreStack = math.MinInt, math.MaxInt

// stacks sorts the answers into stacks, the last group at the bottom: where a
// stack is cut, it is the first group, the right answers, that is counted only.
func (d *DotPlot) stacks(s *strip) []dot {
	one := s.at(1)
	first, last := math.Ceil((s.x0-one)/dotPitch), math.Floor((s.x1-one)/dotPitch)
	var dots []dot
	for g := len(d.Groups) - 1; g >= 0; g-- {
		for _, v := range d.Groups[g].Values {
			stack := int(math.Max(first, math.Min(last, math.Round((s.at(v)-one)/dotPitch))))
			switch {
			case v < s.scale.min:
				stack = lessStack
			case v > s.scale.max:
				stack = moreStack
			}
			dots = append(dots, dot{g, stack})
		}
	}
	return dots
}

// column is where a stack stands.
func (s *strip) column(stack int) float64 {
	switch stack {
	case lessStack:
		return s.x0 - beside/2
	case moreStack:
		return s.x1 + beside/2
	}
	return s.at(1) + dotPitch*float64(stack)
}

func (d *DotPlot) layout(width float64) (float64, func(*pen)) {
	values := []float64{}
	for _, g := range d.Groups {
		values = append(values, g.Values...)
	}
	if d.bounded() {
		values = append(values, d.Low, d.High)
	}
	s := strip{width: width, x0: beside, x1: width - beside, label: "answer ÷ right value, log axis"}
	s.scale = stripScale(s.x1-s.x0, values)
	dots := d.stacks(&s)
	high, tallest := map[int]int{}, 0
	for _, q := range dots {
		high[q.stack]++
		tallest = max(tallest, high[q.stack])
	}
	legend := d.legend(width)
	top := 6 + row*float64(legendRows(legend)) + 26
	s.y = top + dotPitch*float64(max(4, min(tallest, mostDots))) + boundBand + 4
	s.height = s.y + below
	return s.height, func(p *pen) {
		s.draw(p, top-18)
		d.drawLegend(p, legend, width)
		d.drawBounds(p, &s, top-18)
		one := s.at(1)
		p.line(inkMain, wide, nil, xy{one, s.y - boundBand}, xy{one, s.y})
		placed := map[int]int{}
		for _, q := range dots {
			k := placed[q.stack]
			placed[q.stack]++
			if k < mostDots {
				d.Groups[q.group].draw(p, xy{s.column(q.stack), s.y - boundBand - 4 - dotPitch*(float64(k)+0.5)})
			}
		}
		for _, stack := range slices.Sorted(maps.Keys(placed)) {
			if n := placed[stack]; n > mostDots {
				p.text(inkMain, s.column(stack), s.y-boundBand-8-dotPitch*mostDots, middle, "+"+format(float64(n-mostDots), 4))
			}
		}
		if high[lessStack] > 0 {
			p.text(inkMain, s.column(lessStack), s.y+22, middle, "less")
		}
		if high[moreStack] > 0 {
			p.text(inkMain, s.column(moreStack), s.y+22, middle, "more")
		}
	}
}

// drawBounds hatches the ends of the axis outside the bounds.
func (d *DotPlot) drawBounds(p *pen, s *strip, top float64) {
	if !d.bounded() {
		return
	}
	for _, end := range [][2]float64{{s.x0, s.at(d.Low)}, {s.at(d.High), s.x1}} {
		a, b := end[0], end[1]
		if b-a > 1 {
			p.hatch(inkBand, 6, false, []xy{{a, s.y - boundBand}, {b, s.y - boundBand}, {b, s.y}, {a, s.y}})
		}
	}
	for _, v := range []float64{d.Low, d.High} {
		if v >= s.scale.min && v <= s.scale.max {
			p.line(inkBand, wide, nil, xy{s.at(v), top}, xy{s.at(v), s.y})
		}
	}
}

// draw draws one sign of the group.
func (g *DotGroup) draw(p *pen, c xy) {
	switch g.Sign {
	case FullSign:
		p.disc(inkMain, c, dotHalf)
	case DiamondSign:
		p.outline(inkMain, wide, xy{c.x, c.y - dotHalf}, xy{c.x + dotHalf, c.y}, xy{c.x, c.y + dotHalf}, xy{c.x - dotHalf, c.y})
	case LetterSign:
		const h = dotHalf + 1
		p.outline(inkLoad, narrow, xy{c.x - h, c.y - h}, xy{c.x + h, c.y - h}, xy{c.x + h, c.y + h}, xy{c.x - h, c.y + h})
		p.text(inkMain, c.x, c.y+4.5, middle, g.Letter)
	}
}

// legend places an entry for each group and, for the bounds, one more.
func (d *DotPlot) legend(width float64) []legendEntry {
	x, y := 4.0, 20.0
	var list []legendEntry
	for i := range len(d.Groups) + 1 {
		if i == len(d.Groups) && !d.bounded() {
			break
		}
		w := 26 + measure(d.legendText(i, width), textSize)
		if x > 4 && x+w > width-4 {
			x, y = 4, y+row
		}
		list = append(list, legendEntry{i, x, y})
		x += w + 18
	}
	return list
}

func legendRows(list []legendEntry) int {
	return int(math.Round((list[len(list)-1].y-20)/row)) + 1
}

func (d *DotPlot) legendText(i int, width float64) string {
	if i == len(d.Groups) {
		return "outside the bounds"
	}
	g := &d.Groups[i]
	count := " (" + format(float64(len(g.Values)), 6) + ")"
	return fitText(g.Label, width-40-measure(count, textSize)) + count
}

func (d *DotPlot) drawLegend(p *pen, list []legendEntry, width float64) {
	for _, e := range list {
		c := xy{e.x + 10, e.y - 5}
		if e.curve == len(d.Groups) {
			p.hatch(inkBand, 6, false, []xy{{c.x - 10, c.y - 6}, {c.x + 8, c.y - 6}, {c.x + 8, c.y + 6}, {c.x - 10, c.y + 6}})
		} else {
			d.Groups[e.curve].draw(p, c)
		}
		p.text(inkMain, e.x+24, e.y, left, d.legendText(e.curve, width))
	}
}
