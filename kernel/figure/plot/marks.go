package plot

import (
	"math"

	"shaftbook/kernel/figure/canvas"
)

const markWidth = 1.4

// drawMarks draws lines and hatched bands with their labels, each label where
// it covers the least of curves, lines and other labels.
func (p *Plot) drawMarks(pen *canvas.Pen, l *plotPlan, f *plotFrame, curves [][]canvas.Point) {
	if len(p.Marks) == 0 {
		return
	}
	spans := make([]markRange, len(p.Marks))
	lines := curves
	for i := range p.Marks {
		m := &p.Marks[i]
		spans[i] = m.place(p, l, f)
		lines = append(lines, m.edge(f, spans[i].a), m.edge(f, spans[i].b))
	}
	for i := range p.Marks {
		if s := spans[i]; s.a <= s.b {
			p.Marks[i].draw(pen, f, s, lines)
		}
	}
}

// place returns where a mark begins and ends, cut to the area; nothing of it is
// seen if a is beyond b.
func (m *Mark) place(p *Plot, l *plotPlan, f *plotFrame) markRange {
	if m.Way == AcrossX {
		a := f.x0 + float64(l.x.Norm(m.Low, p.X.Log)*(f.x1-f.x0))
		b := f.x0 + float64(l.x.Norm(m.High, p.X.Log)*(f.x1-f.x0))
		return markRange{math.Max(f.x0, math.Min(a, b)), math.Min(f.x1, math.Max(a, b))}
	}
	a := f.y1 - float64(l.y.Norm(m.High, p.Y.Log)*(f.y1-f.y0))
	b := f.y1 - float64(l.y.Norm(m.Low, p.Y.Log)*(f.y1-f.y0))
	return markRange{math.Max(f.y0, math.Min(a, b)), math.Min(f.y1, math.Max(a, b))}
}

// edge is the line of a mark at one coordinate.
func (m *Mark) edge(f *plotFrame, at float64) []canvas.Point {
	if m.Way == AcrossX {
		return []canvas.Point{canvas.PointAt(at, f.y0), canvas.PointAt(at, f.y1)}
	}
	return []canvas.Point{canvas.PointAt(f.x0, at), canvas.PointAt(f.x1, at)}
}

func (m *Mark) draw(pen *canvas.Pen, f *plotFrame, s markRange, lines [][]canvas.Point) {
	label := canvas.Quantity(m.Label)
	w := canvas.TextWidth(label, canvas.TextSize)
	var spots []canvas.Point
	if m.Way == AcrossX {
		for k := range 6 {
			y := f.y0 + 16 + float64(canvas.RowHeight*float64(k))
			spots = append(spots, canvas.PointAt(s.b+6, y), canvas.PointAt(s.a-6-w, y))
		}
	} else {
		for _, x := range []float64{f.x0 + 8, f.x1 - 8 - w, (f.x0 + f.x1 - w) / 2} {
			spots = append(spots, canvas.PointAt(x, s.a-6), canvas.PointAt(x, s.b+17))
		}
	}
	at := freest(pen, spots, w, f, lines)
	if s.b > s.a {
		pen.Hatch(canvas.InkFourth, 9, false, m.band(f, s))
		pen.Line(canvas.InkFourth, markWidth, nil, m.edge(f, s.b)...)
	}
	pen.Line(canvas.InkFourth, markWidth, nil, m.edge(f, s.a)...)
	pen.Text(canvas.InkMain, at.X, at.Y, canvas.Left, label)
}

func (m *Mark) band(f *plotFrame, s markRange) []canvas.Point {
	if m.Way == AcrossX {
		return []canvas.Point{canvas.PointAt(s.a, f.y0), canvas.PointAt(s.b, f.y0), canvas.PointAt(s.b, f.y1), canvas.PointAt(s.a, f.y1)}
	}
	return []canvas.Point{canvas.PointAt(f.x0, s.a), canvas.PointAt(f.x1, s.a), canvas.PointAt(f.x1, s.b), canvas.PointAt(f.x0, s.b)}
}

// freest returns the first of the spots where a text of width w covers least.
func freest(p *canvas.Pen, spots []canvas.Point, w float64, f *plotFrame, lines [][]canvas.Point) canvas.Point {
	best, least := spots[0], math.MaxInt
	for _, s := range spots {
		if n := covered(p, s, w, f, lines); n < least {
			best, least = s, n
		}
	}
	return best
}

// covered counts what a text of width w at s would cover: lines, texts a hundred
// times as much, and most of all the world outside the area.
func covered(p *canvas.Pen, s canvas.Point, w float64, f *plotFrame, lines [][]canvas.Point) int {
	b := plotFrame{x0: s.X - 3, x1: s.X + w + 3, y0: s.Y - canvas.Ascent*canvas.TextSize - 2, y1: s.Y + canvas.Descent*canvas.TextSize}
	n := 0
	if b.x0 < f.x0 || b.x1 > f.x1 || b.y0 < f.y0 || b.y1 > f.y1 {
		n += 1000
	}
	for _, line := range lines {
		for k := 1; k < len(line); k++ {
			if _, _, hit := clip(line[k-1], line[k], &b); hit {
				n++
			}
		}
		if len(line) == 1 && b.holds(line[0]) {
			n++
		}
	}
	for _, t := range p.TextBoxes {
		if t.X0 < b.x1 && b.x0 < t.X1 && t.Y0 < b.y1 && b.y0 < t.Y1 {
			n += 100
		}
	}
	return n
}

// markRange is the room that a mark takes across its axis, in units of the
// figure.
type markRange struct{ a, b float64 }
