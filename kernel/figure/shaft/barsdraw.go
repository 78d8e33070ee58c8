package shaft

import (
	"math"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A barsPlan is where everything of some bars goes.
type barsPlan struct {
	s          *Bars
	width      float64
	left       float64 // of x = 0 of the shaft
	start      float64 // the least x
	perX, perD float64
	radius     float64 // drawn, the greatest
	rows       []float64
	lengthY    float64
	lines      []string
	noteY      float64
}

const (
	barHeight = 84.0 // wanted of the greatest diameter
	slant     = 0.3  // how wide a round face is drawn for its height
)

func (s *Bars) lay(o figure.Options) sheet {
	l := s.plan(o)
	height := math.Ceil(l.noteY + float64(canvas.RowHeight*float64(len(l.lines))) + 4)
	return sheet{l.width, height, l.draw}
}

func (s *Bars) plan(o figure.Options) *barsPlan {
	l := &barsPlan{s: s, width: o.LayoutWidth()}
	first, last := s.Bars[0].ends()
	most := 0.0
	for i := range s.Bars {
		for _, outline := range s.Bars[i].Pieces {
			for _, q := range outline {
				most = math.Max(most, q.D)
			}
		}
	}
	length := last.X - first.X
	const left, right = 22, 52
	room := l.width - left - right
	l.start, l.perX = first.X, room/length
	l.perD = l.perX
	switch h := most * l.perX; {
	case h > barHeight*1.4:
		l.perX = barHeight * 1.4 / most
		l.perD = l.perX
	case h < barHeight*0.9:
		l.perD *= niceFactor(barHeight / h)
	}
	l.left = left + float64((room-float64(length*l.perX))/2)
	l.radius = most * l.perD / 2
	y := 0.0
	for range s.Bars {
		y += 28 + l.radius
		l.rows = append(l.rows, y)
		y += l.radius + 14
	}
	l.lengthY = y + 4
	if s.Marks {
		y += 32
	}
	l.noteY = y
	l.lines = wrap(strings.Join(l.notes(canvas.Quantity), " "), l.width-8)
	return l
}

// notes are the sentences under the figure: those of its maker, then what is not to scale.
// set sets the symbols in them.
func (l *barsPlan) notes(set func(string) string) []string {
	var notes []string
	for _, n := range l.s.Notes {
		notes = append(notes, strings.ReplaceAll(set(n), "dθ/dx", "d"+set("θ")+"/d"+set("x")))
	}
	if l.isTwisted() && l.s.Times != 1 {
		notes = append(notes, "Angles of twist drawn "+timesText(l.s.Times)+".")
	}
	if f := l.perD / l.perX; f > 1.001 {
		notes = append(notes, "Lengths to scale; diameters drawn "+timesText(f)+".")
	}
	return notes
}

func (l *barsPlan) isTwisted() bool {
	for i := range l.s.Bars {
		if len(l.s.Bars[i].X) > 0 {
			return true
		}
	}
	return false
}

func timesText(f float64) string {
	if f < 1 {
		return figure.FormatNumber(1/f, 4) + " times smaller"
	}
	return figure.FormatNumber(f, 4) + " times larger"
}

func (l *barsPlan) x(x float64) float64 { return l.left + float64((x-l.start)*l.perX) }

// on is the point of the surface at x that has turned by an angle from the side of the
// reader, downward.
func (l *barsPlan) on(row int, x, d, angle float64) canvas.Point {
	sin, cos := elementary.Sincos(angle)
	r := d * l.perD / 2
	return canvas.PointAt(l.x(x)-float64(slant*r*cos), l.rows[row]+float64(r*sin))
}

func (l *barsPlan) draw(p *canvas.Pen) {
	for i := range l.s.Bars {
		l.drawBar(p, i)
	}
	if l.s.Marks {
		l.drawMarks(p)
	}
	writeLines(p, l.lines, l.noteY)
}

func (l *barsPlan) drawBar(p *canvas.Pen, row int) {
	r := &l.s.Bars[row]
	y := l.rows[row]
	text := r.Label
	if r.Value != "" {
		text += ": " + r.Value
	}
	p.Text(canvas.InkMain, 4, y-l.radius-9, canvas.Left, canvas.Fit(text, l.width-8))
	for i, outline := range r.Pieces {
		for _, side := range []float64{-1, 1} {
			edge := make([]canvas.Point, len(outline))
			for k, q := range outline {
				edge[k] = canvas.PointAt(l.x(q.X), y+float64(side*q.D*l.perD/2))
			}
			p.Line(canvas.InkMain, canvas.Wide, nil, canvas.Straighten(nil, edge)...)
		}
		// The edge towards the reader, and at a step the larger of the two.
		first := outline[0]
		d := first.D
		if i > 0 {
			before := r.Pieces[i-1][len(r.Pieces[i-1])-1].D
			if sameD(before, d) {
				continue
			}
			d = math.Max(d, before)
		}
		l.drawEdge(p, row, first.X, d, math.Pi/2, 1.5*math.Pi)
	}
	_, last := r.ends()
	l.drawEdge(p, row, last.X, last.D, 0, 2*math.Pi)
	if r.Bore > 0 {
		l.drawEdge(p, row, last.X, r.Bore, 0, 2*math.Pi)
	}
	end := l.x(last.X)
	p.Line(canvas.InkThin, canvas.Narrow, canvas.DashDot, canvas.PointAt(l.x(l.start)-12, y), canvas.PointAt(end+12, y))
	l.drawLine(p, row)
}

// drawEdge draws a round edge at x from one angle to another, counterclockwise from the
// right.
func (l *barsPlan) drawEdge(p *canvas.Pen, row int, x, d, from, to float64) {
	r := d * l.perD / 2
	p.Line(canvas.InkMain, canvas.Wide, nil, arcPoints(canvas.PointAt(l.x(x), l.rows[row]), slant*r, r, from, to)...)
}

// angle is the drawn rotation at x.
func (l *barsPlan) angle(row int, x float64) float64 {
	r := &l.s.Bars[row]
	if len(r.X) == 0 {
		return 0
	}
	return interpolate(r.X, r.Angle, x) * l.s.Times
}

// drawLine draws the line of the surface, dashed where it has gone behind, and the radius
// of the far end that goes with it.
func (l *barsPlan) drawLine(p *canvas.Pen, row int) {
	r := &l.s.Bars[row]
	first, last := r.ends()
	if len(r.X) > 0 {
		var was []canvas.Point
		for _, outline := range r.Pieces {
			for _, q := range outline {
				was = append(was, l.on(row, q.X, q.D, 0))
			}
		}
		p.Line(canvas.InkTwist, canvas.Narrow, canvas.Dashed, canvas.Straighten(nil, was)...)
	}
	for _, outline := range r.Pieces {
		a, b := outline[0].X, outline[len(outline)-1].X
		n := max(4, int(surfaceSamples*(b-a)/(last.X-first.X)))
		var line []canvas.Point
		hidden := false
		flush := func() {
			if hidden {
				p.Line(canvas.InkTwist, canvas.Narrow, canvas.Dashed, canvas.Straighten(nil, line)...)
			} else {
				p.Line(canvas.InkTwist, canvas.CurveWidth, nil, canvas.Straighten(nil, line)...)
			}
		}
		for k := range n + 1 {
			x := a + (b-a)*float64(k)/float64(n)
			angle := l.angle(row, x)
			q := l.on(row, x, diameterAt(outline, x), angle)
			if away := elementary.Cos(angle) < -1e-9; away != hidden {
				flush()
				line, hidden = nil, away
			}
			line = append(line, q)
		}
		flush()
	}
	p.Line(canvas.InkTwist, canvas.Wide, nil, l.on(row, last.X, r.Bore, l.angle(row, last.X)), l.on(row, last.X, last.D, l.angle(row, last.X)))
}
