package canvas

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
)

// TraceOf draws on a canvas that records what is drawn.
func TraceOf(width, height float64, draw func(vg.Canvas)) *figure.Trace {
	c := &traceCanvas{t: &figure.Trace{Width: width, Height: height}, state: traceState{m: affine{a: 1, d: 1}, width: 1}}
	draw(c)
	return c.t
}

// A traceCanvas is a canvas of gonum/plot that notes what is drawn on it.
type traceCanvas struct {
	t     *figure.Trace
	state traceState
	stack []traceState
}

type traceState struct {
	colour color.NRGBA
	width  float64
	dash   []float64
	m      affine
}

func (c *traceCanvas) SetLineWidth(w vg.Length) { c.state.width = float64(w) }

func (c *traceCanvas) SetColor(col color.Color) {
	if col == nil {
		col = InkMain
	}
	c.state.colour = color.NRGBAModel.Convert(col).(color.NRGBA)
}

func (c *traceCanvas) SetLineDash(pattern []vg.Length, _ vg.Length) {
	c.state.dash = nil
	for _, l := range pattern {
		c.state.dash = append(c.state.dash, float64(l))
	}
}

func (c *traceCanvas) Rotate(rad float64) {
	s, k := elementary.Sincos(rad)
	c.state.m = c.state.m.then(affine{a: k, b: s, c: -s, d: k})
}

func (c *traceCanvas) Translate(p vg.Point) {
	c.state.m = c.state.m.then(affine{a: 1, d: 1, e: float64(p.X), f: float64(p.Y)})
}

func (c *traceCanvas) Scale(x, y float64) { c.state.m = c.state.m.then(affine{a: x, d: y}) }

func (c *traceCanvas) Push() { c.stack = append(c.stack, c.state) }

func (c *traceCanvas) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

func (c *traceCanvas) Stroke(p vg.Path) {
	if c.state.width > 0 {
		c.t.Strokes = append(c.t.Strokes, figure.Stroke{Colour: c.state.colour, Steps: c.steps(p), Width: c.state.width, Dash: c.state.dash})
	}
}

func (c *traceCanvas) Fill(p vg.Path) {
	c.t.Strokes = append(c.t.Strokes, figure.Stroke{Colour: c.state.colour, Steps: c.steps(p), Fill: true})
}

// FillString writes text that starts at pt, in the face's size.
func (c *traceCanvas) FillString(f font.Face, pt vg.Point, s string) {
	x, y := c.figurePoint(pt)
	c.text(x, y, float64(f.Font.Size), Left, s)
}

// DrawImage draws nothing: no figure of this package holds an image.
func (c *traceCanvas) DrawImage(vg.Rectangle, image.Image) {}

func (c *traceCanvas) placeText(i Ink, size, x, y float64, a Anchor, s string) {
	c.SetColor(i)
	c.text(x, c.t.Height-y, size, a, s)
}

func (c *traceCanvas) text(x, y, size float64, a Anchor, s string) {
	c.t.Strokes = append(c.t.Strokes, figure.Stroke{Colour: c.state.colour, Runs: runsOf(s, size), Size: size, Anchor: float64(a), X: x, Y: y})
}

// runsOf parts a marked text into runs.
func runsOf(s string, size float64) []figure.Run {
	var runs []figure.Run
	for _, g := range layText(s, size).Glyphs {
		runs = append(runs, figure.Run{Text: g.Text, Italic: g.Face.Italic, Size: g.Size / size, Drop: g.Y / size})
	}
	return runs
}

// figurePoint maps a point of the canvas to the figure.
func (c *traceCanvas) figurePoint(p vg.Point) (x, y float64) {
	m := c.state.m
	return float64(m.a*float64(p.X)) + float64(m.c*float64(p.Y)) + m.e, c.t.Height - (float64(m.b*float64(p.X)) + float64(m.d*float64(p.Y)) + m.f)
}

func (c *traceCanvas) steps(p vg.Path) []figure.Step {
	var list []figure.Step
	var from vg.Point
	to := func(kind figure.StepKind, q vg.Point) {
		x, y := c.figurePoint(q)
		list = append(list, figure.Step{Kind: kind, X: x, Y: y})
		from = q
	}
	curve := func(one, two, q vg.Point) {
		to(figure.CurveTo, q)
		s := &list[len(list)-1]
		s.X1, s.Y1 = c.figurePoint(one)
		s.X2, s.Y2 = c.figurePoint(two)
	}
	for i := range p {
		q := &p[i]
		switch q.Type {
		case vg.MoveComp:
			to(figure.MoveTo, q.Pos)
		case vg.LineComp:
			to(figure.LineTo, q.Pos)
		case vg.ArcComp:
			arcSteps(q, len(list) > 0, to, curve)
		case vg.CurveComp:
			if len(q.Control) == 2 {
				curve(q.Control[0], q.Control[1], q.Pos)
				continue
			}
			// A quadratic curve as a cubic one.
			k := q.Control[0]
			curve(twoThirds(from, k), twoThirds(q.Pos, k), q.Pos)
		case vg.CloseComp:
			list = append(list, figure.Step{Kind: figure.ClosePath})
		}
	}
	return list
}

// twoThirds is two thirds of the way from one point to another.
func twoThirds(a, b vg.Point) vg.Point {
	return vg.Point{X: a.X + (b.X-a.X)*2/3, Y: a.Y + (b.Y-a.Y)*2/3}
}

// arcSteps draws an arc as cubic curves of at most a quarter of a turn each.
func arcSteps(q *vg.PathComp, joined bool, to func(figure.StepKind, vg.Point), curve func(a, b, c vg.Point)) {
	pieces := int(math.Ceil(math.Abs(q.Angle) / (math.Pi / 2)))
	at := func(angle, along float64) vg.Point {
		s, k := elementary.Sincos(angle)
		r := float64(q.Radius)
		return vg.Point{X: q.Pos.X + vg.Length(r*(k-float64(along*s))), Y: q.Pos.Y + vg.Length(r*(s+float64(along*k)))}
	}
	start := at(q.Start, 0)
	if joined {
		to(figure.LineTo, start)
	} else {
		to(figure.MoveTo, start)
	}
	for i := range pieces {
		step := q.Angle / float64(pieces)
		a := q.Start + float64(float64(i)*step)
		reach := 4.0 / 3 * elementary.Tan(step/4)
		curve(at(a, reach), at(a+step, -reach), at(a+step, 0))
	}
}
