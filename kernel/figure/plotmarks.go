package figure

import "math"

const markWidth = 1.4

// drawMarks draws lines and hatched bands with their labels, each label where
// it covers the least of curves, lines and other labels.
func (p *Plot) drawMarks(pen *pen, l *plotPlan, f *plotFrame, curves [][]xy) {
	if len(p.Marks) == 0 {
		return
	}
	spans := make([]span, len(p.Marks))
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
func (m *Mark) place(p *Plot, l *plotPlan, f *plotFrame) span {
	if m.Way == AcrossX {
		a := f.x0 + l.x.norm(m.Low, p.X.Log)*(f.x1-f.x0)
		b := f.x0 + l.x.norm(m.High, p.X.Log)*(f.x1-f.x0)
		return span{math.Max(f.x0, math.Min(a, b)), math.Min(f.x1, math.Max(a, b))}
	}
	a := f.y1 - l.y.norm(m.High, p.Y.Log)*(f.y1-f.y0)
	b := f.y1 - l.y.norm(m.Low, p.Y.Log)*(f.y1-f.y0)
	return span{math.Max(f.y0, math.Min(a, b)), math.Min(f.y1, math.Max(a, b))}
}

// edge is the line of a mark at one coordinate.
func (m *Mark) edge(f *plotFrame, at float64) []xy {
	if m.Way == AcrossX {
		return []xy{{at, f.y0}, {at, f.y1}}
	}
	return []xy{{f.x0, at}, {f.x1, at}}
}

func (m *Mark) draw(pen *pen, f *plotFrame, s span, lines [][]xy) {
	label := quantity(m.Label)
	w := measure(label, textSize)
	var spots []xy
	if m.Way == AcrossX {
		for k := range 6 {
			y := f.y0 + 16 + row*float64(k)
			spots = append(spots, xy{s.b + 6, y}, xy{s.a - 6 - w, y})
		}
	} else {
		for _, x := range []float64{f.x0 + 8, f.x1 - 8 - w, (f.x0 + f.x1 - w) / 2} {
			spots = append(spots, xy{x, s.a - 6}, xy{x, s.b + 17})
		}
	}
	at := pen.freest(spots, w, f, lines)
	if s.b > s.a {
		pen.hatch(inkBand, 9, false, m.band(f, s))
		pen.line(inkBand, markWidth, nil, m.edge(f, s.b)...)
	}
	pen.line(inkBand, markWidth, nil, m.edge(f, s.a)...)
	pen.text(inkMain, at.x, at.y, left, label)
}

func (m *Mark) band(f *plotFrame, s span) []xy {
	if m.Way == AcrossX {
		return []xy{{s.a, f.y0}, {s.b, f.y0}, {s.b, f.y1}, {s.a, f.y1}}
	}
	return []xy{{f.x0, s.a}, {f.x1, s.a}, {f.x1, s.b}, {f.x0, s.b}}
}

// freest returns the first of the spots where a text of width w covers least.
func (p *pen) freest(spots []xy, w float64, f *plotFrame, lines [][]xy) xy {
	best, least := spots[0], math.MaxInt
	for _, s := range spots {
		b := plotFrame{x0: s.x - 3, x1: s.x + w + 3, y0: s.y - ascent*textSize - 2, y1: s.y + descent*textSize}
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
		for _, t := range p.boxes {
			if t.x0 < b.x1 && b.x0 < t.x1 && t.y0 < b.y1 && b.y0 < t.y1 {
				n += 100
			}
		}
		if n < least {
			best, least = s, n
		}
	}
	return best
}
