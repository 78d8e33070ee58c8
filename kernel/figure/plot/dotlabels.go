package plot

import (
	"math"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const (
	nameSign = 24.0 // from the left end of a label to its words
	nameGap  = 8.0  // at least between labels, and between a label and a leader
)

// A dotLabel names a group at its signs: right above the stack that has most of them
// or, where there is no room, in a row above the plot with a leader down to the stack.
// The sign before the words tells which other signs are of the group.
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
		var height int
		l.x, height, l.leads = d.mark(i, s, dots, high)
		l.foot = stackHeight(height)
		if !d.inPlot(&l, list, s, high, rise) {
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

// inPlot finds a place above the stack, beside all others and the lines of the bounds,
// in a plot of a height.
func (d *DotPlot) inPlot(l *dotLabel, placed []dotLabel, s *strip, high map[int]int, height float64) bool {
	l.row = inPlot
	for l.up = l.foot + 8; l.leads && l.up <= height; l.up += canvas.RowHeight {
		for _, l.left = range l.lefts(s.width) {
			if !hitsAny(l, placed) && !d.hitsSigns(l, s, high) {
				return true
			}
		}
	}
	return false
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
	l.leads = false
	for l.row = 0; ; l.row++ {
		for l.left = 4; l.left <= max(4, width-4-l.width); l.left += 20 {
			if l.row >= rows || !hitsAny(&l, placed) {
				return l
			}
		}
	}
}

func hitsAny(l *dotLabel, placed []dotLabel) bool {
	for i := range placed {
		if l.hits(&placed[i]) {
			return true
		}
	}
	return false
}

// mark returns where a leader to a group ends: x, and over how many signs. For the
// hatching that is in its wider part, if no stack stands in the way.
func (d *DotPlot) mark(group int, s *strip, dots []dot, high map[int]int) (x float64, height int, ok bool) {
	if group == len(d.Groups) {
		low, high := s.axisX(d.Low), s.axisX(d.High)
		x, room := (s.x0+low)/2, low-s.x0
		if s.x1-high > room {
			x, room = (s.x1+high)/2, s.x1-high
		}
		for _, q := range dots {
			if math.Abs(s.column(q.stack)-x) < dotPitch {
				return x, 0, false
			}
		}
		return x, 0, room > dotPitch
	}
	count, most, best := map[int]int{}, 0, 0
	for _, q := range dots {
		if q.group != group {
			continue
		}
		count[q.stack]++
		n := count[q.stack]
		if n > most || n == most && math.Abs(s.column(q.stack)-s.axisX(1)) < math.Abs(s.column(best)-s.axisX(1)) {
			most, best = n, q.stack
		}
	}
	return s.column(best), high[best], most > 0
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
