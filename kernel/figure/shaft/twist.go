package shaft

import (
	"math"
	"sort"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const (
	surfaceLines   = 12 // round the whole shaft, half of them seen
	surfaceSamples = 72
)

// Frame returns what moves when the load changes: the path data of the
// elements inside the group of class fig-moving, in their order, for a fraction
// of the load from 0 to 1. The rest of the picture stays.
func (s *Drawing) Frame(o figure.Options, fraction float64) ([]string, error) {
	if s.Twist == nil {
		return nil, figure.Errorf("the drawing", "has no twist to move")
	}
	if err := s.Check(); err != nil {
		return nil, err
	}
	if err := checkAll("the fraction of the load", fraction, fraction*s.Twist.Times); err != nil {
		return nil, err
	}
	l := s.plan(o)
	var out []string
	for _, lines := range l.surface(fraction) {
		out = append(out, canvas.PathData(l.surfacePath(lines), l.height))
	}
	return out, nil
}

// A station is one section of the twisted shaft as drawn.
type station struct{ u, r, turn float64 }

// stations cuts the shaft into sections, turned for a fraction of the load.
func (l *shaftPlan) stations(fraction float64) []station {
	t := l.s.Twist
	from, to := l.s.ends()
	out := make([]station, surfaceSamples+1)
	for i := range out {
		x := from + (to-from)*float64(i)/surfaceSamples
		out[i] = station{l.drawnX(x), l.drawnRadius(l.s.outerAt(x)), interpolate(t.X, t.Angle, x) * t.Times * fraction}
	}
	return out
}

// surface returns the lines of the surface that were straight before the
// twist, seen from the front: all of them, then the one that was in the middle.
func (l *shaftPlan) surface(fraction float64) [2][][]canvas.Point {
	stations := l.stations(fraction)
	var out [2][][]canvas.Point
	for k := range surfaceLines {
		a := 2 * math.Pi * float64(k) / surfaceLines
		which := 0
		if k == 0 {
			which = 1
		}
		out[which] = append(out[which], l.surfaceLine(a, stations)...)
	}
	return out
}

// surfaceLine follows the point at angle a (0 faces the reader, positive is
// up) along the shaft and cuts the line where it goes behind.
func (l *shaftPlan) surfaceLine(a float64, stations []station) [][]canvas.Point {
	var lines [][]canvas.Point
	var line []canvas.Point
	end := func() {
		if len(line) > 1 {
			lines = append(lines, canvas.Straighten(line))
		}
		line = nil
	}
	for _, s := range stations {
		// A positive twist carries the near side down: x points right, y up,
		// z to the reader, and the turn goes from y to z.
		sin, cos := elementary.Sincos(a - s.turn)
		if cos < -1e-9 {
			end()
			continue
		}
		line = append(line, canvas.PointAt(s.u, l.axisY-float64(s.r*sin)))
	}
	end()
	return lines
}

func interpolate(xs, ys []float64, x float64) float64 {
	k := sort.SearchFloat64s(xs, x)
	switch {
	case k == 0:
		return ys[0]
	case k == len(xs):
		return ys[len(ys)-1]
	case xs[k] == xs[k-1]:
		return ys[k]
	}
	return ys[k-1] + (ys[k]-ys[k-1])*(x-xs[k-1])/(xs[k]-xs[k-1])
}

func (l *shaftPlan) surfacePath(lines [][]canvas.Point) vg.Path {
	var path vg.Path
	for _, line := range lines {
		for i, q := range line {
			pt := vg.Point{X: vg.Length(q.X), Y: vg.Length(l.height - q.Y)}
			if i == 0 {
				path.Move(pt)
				continue
			}
			path.Line(pt)
		}
	}
	return path
}

// drawTwist draws the surface lines under the full load.
func (l *shaftPlan) drawTwist(p *canvas.Pen) {
	if l.s.Twist == nil {
		return
	}
	p.Group("fig-moving", func() {
		lines := l.surface(1)
		p.SetLine(canvas.InkCurve1, canvas.Narrow, nil)
		p.Stroke(l.surfacePath(lines[0]))
		p.SetLine(canvas.InkCurve2, canvas.CurveWidth, nil)
		p.Stroke(l.surfacePath(lines[1]))
	})
}
