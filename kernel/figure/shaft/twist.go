package shaft

import (
	"math"
	"sort"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

const surfaceSamples = 72 // along the whole shaft

// Frame returns what moves when the load changes, for a fraction of the load
// from 0 to 1: the path data of the path elements inside the group of class
// fig-moving, in their order, then the content of the text elements there. The
// rest of the picture stays.
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
	for _, k := range l.moving(fraction) {
		out = append(out, canvas.PathData(l.linePath(k.lines), l.height))
	}
	for _, d := range l.dials() {
		out = append(out, d.label(fraction))
	}
	return out, nil
}

// A movingPath is one path element of what moves.
type movingPath struct {
	lines [][]canvas.Point
	width float64
	dash  []vg.Length
}

// moving returns what a fraction of the load draws: the surface line where it
// is seen, where it is behind, and on the dials the arcs and the pointers. No
// two that follow each other look the same, so that each is an element.
func (l *shaftPlan) moving(fraction float64) [4]movingPath {
	seen, behind := l.surface(fraction)
	var arcs, pointers [][]canvas.Point
	for _, d := range l.dials() {
		arc, pointer := d.turned(fraction)
		arcs, pointers = append(arcs, arc), append(pointers, pointer)
	}
	return [4]movingPath{
		{seen, canvas.CurveWidth, nil}, {behind, canvas.Narrow, []vg.Length{5, 3}},
		{arcs, canvas.Narrow, nil}, {pointers, canvas.CurveWidth, nil},
	}
}

// surface returns the line along each piece that faced the reader before the
// twist, where it is seen and where it has gone behind.
func (l *shaftPlan) surface(fraction float64) (seen, behind [][]canvas.Point) {
	t := l.s.Twist
	n := l.s.length()
	for i := range l.s.Pieces {
		p := &l.s.Pieces[i]
		samples := max(2, int(surfaceSamples*(p.To-p.From)/n))
		var line []canvas.Point
		hidden := false
		end := func() {
			switch {
			case len(line) < 2:
			case hidden:
				behind = append(behind, canvas.Straighten(nil, line))
			default:
				seen = append(seen, canvas.Straighten(nil, line))
			}
			line = nil
		}
		for k := range samples + 1 {
			x := p.From + (p.To-p.From)*float64(k)/float64(samples)
			// A positive twist carries the near side down: x points right, y up,
			// z to the reader, and the turn goes from y to z.
			sin, cos := elementary.Sincos(interpolate(t.X, t.Angle, x) * t.Times * fraction)
			if away := cos < -1e-9; away != hidden {
				end()
				hidden = away
			}
			line = append(line, canvas.PointAt(l.drawnX(x), l.axisY+float64(l.drawnRadius(diameterAt(p.Outer, x))*sin)))
		}
		end()
	}
	return seen, behind
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

func (l *shaftPlan) linePath(lines [][]canvas.Point) vg.Path {
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

// drawTwist draws the surface line and the dials under the full load.
func (l *shaftPlan) drawTwist(p *canvas.Pen) {
	if l.s.Twist == nil {
		return
	}
	dials := l.dials()
	for _, d := range dials {
		d.draw(p, l)
	}
	p.Group("fig-moving", func() {
		for _, k := range l.moving(1) {
			p.SetLine(canvas.InkTwist, k.width, k.dash)
			p.Stroke(l.linePath(k.lines))
		}
		for _, d := range dials {
			p.Text(canvas.InkMain, d.at.X, d.at.Y+dialRadius+20, canvas.Middle, d.label(1))
		}
	})
}

const (
	dialRadius = 22.0
	dialApart  = 136.0 // at least, from dial to dial
	dialRow    = 2*dialRadius + 38
)

// A dial shows an end of the shaft as seen from the right, against x, with the
// point that faced the reader of the drawing on its left.
type dial struct {
	at           canvas.Point // its middle
	below        float64      // the end of the shaft, u
	angle, times float64
	estimate     bool
}

// dials returns the dials of the two ends, under them.
func (l *shaftPlan) dials() [2]dial {
	a, b := l.s.ends()
	t := l.s.Twist
	u0, u1 := l.drawnX(a), l.drawnX(b)
	x0, x1 := u0, u1
	if x1-x0 < dialApart {
		x0, x1 = (u0+u1-dialApart)/2, (u0+u1+dialApart)/2
	}
	const edge = 68
	x0, x1 = math.Max(edge, x0), math.Min(l.width-edge, x1)
	return [2]dial{
		{canvas.PointAt(x0, l.dialY), u0, interpolate(t.X, t.Angle, a), t.Times, t.Estimate},
		{canvas.PointAt(x1, l.dialY), u1, interpolate(t.X, t.Angle, b), t.Times, t.Estimate},
	}
}

// label is the true angle.
func (d *dial) label(fraction float64) string {
	return mark(d.estimate) + figure.NumberWithUnit(figure.FormatNumber(d.angle*fraction*180/math.Pi, 4), "deg")
}

// draw draws what of a dial stays: its circle and where its pointer was before
// the twist.
func (d *dial) draw(p *canvas.Pen, l *shaftPlan) {
	p.Ring(canvas.InkThin, d.at, dialRadius, canvas.Narrow)
	p.Line(canvas.InkThin, canvas.Narrow, dotted, d.at, canvas.PointAt(d.at.X-dialRadius-5, d.at.Y))
}

// turned returns the arc and the pointer of the dial for a fraction of the load,
// turned as much larger as the surface line is.
func (d *dial) turned(fraction float64) (arc, pointer []canvas.Point) {
	turn := d.angle * d.times * fraction
	at := func(a, r float64) canvas.Point {
		sin, cos := elementary.Sincos(a)
		return canvas.PointAt(d.at.X-float64(r*cos), d.at.Y+float64(r*sin))
	}
	pointer = []canvas.Point{d.at, at(turn, dialRadius)}
	most := math.Max(-2*math.Pi, math.Min(2*math.Pi, turn))
	const steps = 24
	for k := range steps + 1 {
		arc = append(arc, at(most*float64(k)/steps, 0.6*dialRadius))
	}
	return canvas.Straighten(nil, arc), pointer
}
