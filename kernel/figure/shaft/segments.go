package shaft

import (
	"math"
	"strconv"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const (
	mostCuts  = 16  // segments of one run between which the cuts are drawn
	leastCut  = 6.0 // closer cuts would be a grey area
	mostDrawn = 300 // segments of a drawing
)

// A segmentRun is a row of segments of one length on one piece.
type segmentRun struct {
	first, n int // in Drawing.Segments
	length   float64
}

// segmentRuns finds the runs of the model.
func (l *shaftPlan) segmentRuns() {
	s := l.s
	for i := 0; i < len(s.Segments); {
		g := s.Segments[i]
		run := segmentRun{i, 1, g.To - g.From}
		for k := i + 1; k < len(s.Segments) && s.continues(&run, k); k++ {
			run.n++
		}
		l.runs = append(l.runs, run)
		i += run.n
	}
}

// continues reports whether segment k goes on with a run.
func (s *Drawing) continues(run *segmentRun, k int) bool {
	g := s.Segments[k]
	if !near(g.From, s.Segments[k-1].To, s.length()) || math.Abs(g.To-g.From-run.length) > float64(1e-6*run.length) {
		return false
	}
	for i := range s.Pieces {
		if near(g.From, s.Pieces[i].From, s.length()) {
			return false
		}
	}
	return true
}

// bracketed reports whether a run is counted in a bracket instead of cut by cut.
func (l *shaftPlan) bracketed(r *segmentRun) bool {
	u0, u1 := l.runEnds(r)
	return r.n > mostCuts || u1-u0 < leastCut*float64(r.n)
}

func (l *shaftPlan) runEnds(r *segmentRun) (u0, u1 float64) {
	return l.drawnX(l.s.Segments[r.first].From), l.drawnX(l.s.Segments[r.first+r.n-1].To)
}

// drawSegments draws the stepped model behind the outline of the shaft.
func (l *shaftPlan) drawSegments(p *canvas.Pen) {
	n := len(l.s.Segments)
	if n == 0 {
		return
	}
	var top, bottom []canvas.Point
	for i := 0; i < n; i += l.segmentEvery {
		g := l.s.Segments[i]
		to := l.s.Segments[min(i+l.segmentEvery, n)-1].To
		u0, u1, r := l.drawnX(g.From), l.drawnX(to), l.drawnRadius(g.D)
		top = append(top, canvas.PointAt(u0, l.axisY-r), canvas.PointAt(u1, l.axisY-r))
		bottom = append(bottom, canvas.PointAt(u0, l.axisY+r), canvas.PointAt(u1, l.axisY+r))
	}
	outline := between(top, bottom)
	p.Area(canvas.InkFourth.Wash(), outline...)
	p.Outline(canvas.InkFourth, canvas.Narrow, outline...)
	for _, run := range l.runs {
		if l.bracketed(&run) {
			continue
		}
		for i := run.first + 1; i < run.first+run.n; i++ {
			r := math.Max(l.drawnRadius(l.s.Segments[i-1].D), l.drawnRadius(l.s.Segments[i].D))
			u := l.drawnX(l.s.Segments[i].From)
			p.Line(canvas.InkFourth, 0.8, canvas.Dashed, canvas.PointAt(u, l.axisY-r), canvas.PointAt(u, l.axisY+r))
		}
	}
}

// cuts returns an empty group that tells a page where each segment is, in the units of
// the view box: left, right and top, which lies as far above the axis as the bottom
// below it. So a row of a table can light its segment. It is nil where segments are
// drawn together, since more could not be told apart.
func (l *shaftPlan) cuts() []byte {
	if len(l.s.Segments) == 0 || l.segmentEvery != 1 {
		return nil
	}
	number := func(b []byte, v float64) []byte { return strconv.AppendFloat(b, math.Round(v*10)/10, 'f', -1, 64) }
	b := append([]byte(`<g class="fig-cuts" data-axis="`), number(nil, l.axisY)...)
	b = append(b, `" data-cuts="`...)
	for i, g := range l.s.Segments {
		if i > 0 {
			b = append(b, ';')
		}
		b = append(number(b, l.drawnX(g.From)), ' ')
		b = append(number(b, l.drawnX(g.To)), ' ')
		b = number(b, l.axisY-l.drawnRadius(g.D))
	}
	return append(b, `"></g>`...)
}

// addRuns adds the brackets of the runs, “24 × 33.3 mm”, in a row of their own.
func (l *shaftPlan) addRuns(pieces, loads []float64, y float64) float64 {
	any := false
	for i := range l.runs {
		any = any || l.bracketed(&l.runs[i])
	}
	if !any || len(l.runs) > maxDimensioned {
		return y
	}
	var stops []float64
	var texts []string
	for i, r := range l.runs {
		from, to := l.s.Segments[r.first].From, l.s.Segments[r.first+r.n-1].To
		if i == 0 {
			stops = append(stops, from)
		}
		stops = append(stops, to)
		texts = append(texts, figure.FormatNumber(float64(r.n), 6)+" × "+figure.NumberWithUnit(figure.FormatNumber(r.length, 3), l.s.LengthUnit))
	}
	return l.addRow(chain{stops: stops, y: y + canvas.RowHeight, model: true}, texts, append(loads, pieces...))
}

// drawBracket draws a bracket that opens upwards.
func drawBracket(p *canvas.Pen, u0, u1, y float64) {
	p.Line(canvas.InkFourth, canvas.Narrow, nil, canvas.PointAt(u0+1, y-5), canvas.PointAt(u0+1, y), canvas.PointAt(u1-1, y), canvas.PointAt(u1-1, y-5))
}
