package plot

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const (
	nameSign = 24.0 // from the left end of a label to its words
	nameGap  = 8.0  // at least between labels, and between a label and a leader
)

// A dotLabel names a group at its signs: right above the stack that has most of them,
// beside its signs in that stack or at another one or, where there is no room, in a row
// above the plot with a leader down to the stack. The sign before the words tells which
// other signs are of the group.
type dotLabel struct {
	group int // len(d.Groups) is what the hatching means
	text  string
	x     float64 // of the stack
	foot  float64 // height of the stack above the axis
	left  float64 // end of the label
	width float64
	up    float64 // from the axis to the base line of the words, of a label in the plot
	row   int     // above the plot; inPlot for a label in it
	leads bool    // there is a stack to lead to
}

const inPlot = -1

// over reports whether an interval of x meets the label.
func (l *dotLabel) over(a, b float64) bool { return a < l.left+l.width && b > l.left }

// hits reports whether two labels in their places hide something of each other: words
// over words, or a leader through words.
func (l *dotLabel) hits(m *dotLabel) bool {
	if l.row == m.row {
		apart := l.row == inPlot && math.Abs(l.up-m.up) < canvas.RowHeight || l.row != inPlot
		return apart && l.over(m.left-nameGap, m.left+m.width+nameGap)
	}
	if l.row > m.row {
		l, m = m, l // l is the lower one
	}
	through := m.leads && l.over(m.x-nameGap/2, m.x+nameGap/2)
	return through && (l.row != inPlot || m.foot < l.up+12)
}

// labels places a label for each group and, for the bounds, one more, where it hides
// nothing: in the plot, or in the lowest row above it. One that finds no place stands
// in a row without a leader. rows is how many there are.
func (d *DotPlot) labels(s *strip, dots []dot, high map[int]int) (list []dotLabel, rows int) {
	rise := stacksHeight(high)
	for i := range len(d.Groups) + 1 {
		if i == len(d.Groups) && !d.bounded() {
			break
		}
		l := dotLabel{group: i, text: d.labelText(i, s.width)}
		l.width = nameSign + canvas.TextWidth(l.text, canvas.TextSize)
		places := d.places(i, s, dots, high)
		l.leads = len(places) > 0
		if !l.leads || !slices.ContainsFunc(places, func(at dotPlace) bool { return d.inPlot(&l, at, list, s, high, rise) }) {
			if l.leads {
				l.x, l.foot = places[0].x, places[0].foot
			}
			l = place(l, list, s.width, rows)
		}
		list = append(list, l)
		rows = max(rows, list[i].row+1)
	}
	return list, rows
}

// stackHeight is the height of so many signs with the count of those left out.
func stackHeight(signs int) float64 {
	if signs > mostDots {
		return dotPitch*mostDots + 18
	}
	return float64(dotPitch * float64(signs))
}

// stacksHeight is the height of the plot.
func stacksHeight(high map[int]int) float64 {
	tallest := 0
	for _, n := range high {
		tallest = max(tallest, n)
	}
	return float64(dotPitch * float64(max(4, min(tallest, mostDots))))
}

// lefts are where a label may begin: over its stack, or to the right or left of it.
func (l *dotLabel) lefts(width float64) [3]float64 {
	lefts := [3]float64{l.x - float64(l.width/2), l.x - nameSign/2, l.x - l.width + nameSign/2}
	for i, left := range lefts {
		lefts[i] = max(4, min(left, width-4-l.width))
	}
	return lefts
}

// inPlot finds a place above a stack or beside the signs of the group in it, apart from
// all others and the lines of the bounds, in a plot of a height.
func (d *DotPlot) inPlot(l *dotLabel, at dotPlace, placed []dotLabel, s *strip, high map[int]int, height float64) bool {
	l.row, l.x, l.foot = inPlot, at.x, at.foot
	free := func() bool {
		return l.left >= 4 && l.left+l.width <= s.width-4 && !hitsAny(l, placed) && !d.hitsSigns(l, s, high)
	}
	above := func(to float64) bool {
		for l.up = l.foot + 8; l.up <= to; l.up += canvas.RowHeight {
			for _, l.left = range l.lefts(s.width) {
				if free() {
					return true
				}
			}
		}
		return false
	}
	if above(min(height, l.foot+8)) {
		return true
	}
	if at.middle > 0 && !(at.top && at.foot+8 > height) { // right above the plot is as near
		l.up = at.middle - 5 // the sign of the label stands level with those of the stack
		for _, l.left = range [2]float64{l.x + dotHalf + 5, l.x - dotHalf - 5 - l.width} {
			if free() {
				return true
			}
		}
	}
	return above(height)
}

// hitsSigns reports whether a label in the plot meets a stack or a line.
func (d *DotPlot) hitsSigns(l *dotLabel, s *strip, high map[int]int) bool {
	for stack, n := range high {
		x := s.column(stack)
		if l.over(x-dotHalf-4, x+dotHalf+4) && stackHeight(n) > l.up-6 {
			return true
		}
	}
	for _, v := range []float64{d.Low, d.High} {
		if x := s.axisX(v); d.bounded() && l.over(x-4, x+4) {
			return true
		}
	}
	return false
}

// place finds the place of a label in the rows, among those that have one.
func place(l dotLabel, placed []dotLabel, width float64, rows int) dotLabel {
	for l.row = 0; l.leads && l.row <= rows; l.row++ {
		for _, l.left = range l.lefts(width) {
			if !hitsAny(&l, placed) {
				return l
			}
		}
	}
	leads := l.leads
	l.leads = false
	for l.row = 0; ; l.row++ {
		best, found := l, false
		for l.left = 4; l.left <= max(4, width-4-l.width); l.left += 20 {
			if (l.row >= rows || !hitsAny(&l, placed)) && (!found || leads && l.off() < best.off()) {
				best, found = l, true
			}
		}
		if found {
			return best
		}
	}
}

// off returns how far the middle of the label is from its stack.
func (l *dotLabel) off() float64 { return math.Abs(l.left + float64(l.width/2) - l.x) }

func hitsAny(l *dotLabel, placed []dotLabel) bool {
	for i := range placed {
		if l.hits(&placed[i]) {
			return true
		}
	}
	return false
}

// A dotPlace is a stack with signs of a group, or the hatching: x, its height above the
// axis, the height of the middle of the group's signs, 0 for the hatching, and whether
// the uppermost sign of the stack is the group's.
type dotPlace struct {
	x, foot, middle float64
	top             bool
}

// places returns the stacks of a group, the one with most of its signs first and of
// equals the one nearest to the right value. The place of the hatching is in its wider
// part, if no stack stands in the way.
func (d *DotPlot) places(group int, s *strip, dots []dot, high map[int]int) []dotPlace {
	if group == len(d.Groups) {
		return d.hatching(s, dots)
	}
	below, count := map[int]int{}, map[int]int{}
	for _, q := range dots {
		switch {
		case q.group == group:
			count[q.stack]++
		case count[q.stack] == 0:
			below[q.stack]++
		}
	}
	one := s.axisX(1)
	stacks := slices.SortedFunc(maps.Keys(count), func(a, b int) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(math.Abs(s.column(a)-one), math.Abs(s.column(b)-one)), cmp.Compare(a, b))
	})
	var list []dotPlace
	for _, stack := range stacks {
		at := dotPlace{x: s.column(stack), foot: stackHeight(high[stack]), top: below[stack]+count[stack] == high[stack]}
		if lowest, end := below[stack], min(below[stack]+count[stack], mostDots); lowest < end {
			at.middle = float64(dotPitch * (float64(lowest+end) / 2))
		}
		list = append(list, at)
	}
	return list
}

// hatching returns the place of the hatching, if there is room for a leader.
func (d *DotPlot) hatching(s *strip, dots []dot) []dotPlace {
	low, high := s.axisX(d.Low), s.axisX(d.High)
	x, room := (s.x0+low)/2, low-s.x0
	if s.x1-high > room {
		x, room = (s.x1+high)/2, s.x1-high
	}
	if room <= dotPitch || slices.ContainsFunc(dots, func(q dot) bool { return math.Abs(s.column(q.stack)-x) < dotPitch }) {
		return nil
	}
	return []dotPlace{{x: x}}
}

func (d *DotPlot) labelText(i int, width float64) string {
	if i == len(d.Groups) {
		return "outside the bounds"
	}
	g := &d.Groups[i]
	count := " (" + figure.FormatNumber(float64(len(g.Values)), 6) + ")"
	return fitText(g.Label, width-40-canvas.TextWidth(count, canvas.TextSize)) + count
}

// drawLabels draws the labels over a plot that begins at top.
func (d *DotPlot) drawLabels(p *canvas.Pen, s *strip, labels []dotLabel, top float64) {
	for i := range labels {
		l := &labels[i]
		base := s.y - boundBand - 4
		y := top - 32 - float64(canvas.RowHeight*float64(l.row))
		switch {
		case l.row == inPlot:
			y = base - l.up
		case l.leads:
			p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(l.x, y+6), canvas.PointAt(l.x, base-l.foot-2))
		}
		c := canvas.PointAt(l.left+10, y-5)
		if l.group == len(d.Groups) {
			p.Hatch(canvas.InkFourth, 6, false, []canvas.Point{canvas.PointAt(c.X-10, c.Y-6), canvas.PointAt(c.X+8, c.Y-6), canvas.PointAt(c.X+8, c.Y+6), canvas.PointAt(c.X-10, c.Y+6)})
		} else {
			d.Groups[l.group].draw(p, c)
		}
		p.Text(canvas.InkMain, l.left+nameSign, y, canvas.Left, l.text)
	}
}
