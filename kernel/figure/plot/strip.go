package plot

import (
	"io"
	"math"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// stripReach is the largest factor above and below 1 that an axis of ratios
// shows. What lies beyond is drawn at the edge and said.
const stripReach = 20

// A strip is the common layout of the figures about a class: an axis of ratios
// to the right value, logarithmic, with rows above it.
type strip struct {
	width, height float64
	x0, x1        float64 // the ends of the axis
	y             float64 // of the axis
	scale         canvas.Scale
	label         string
}

// stripScale is the axis for ratios: from a half to two at least, as far as the
// values reach, within stripReach.
func stripScale(width float64, values []float64) canvas.Scale {
	lo, hi := 0.5, 2.0
	for _, v := range values {
		if v >= 1.0/stripReach && v <= stripReach {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return canvas.LogScale(lo, hi, int(math.Max(3, width/110)), false)
}

// axisX maps a ratio to the axis; ratios beyond its ends, and those that have no
// place on a logarithmic axis, to the end that they pass.
func (s *strip) axisX(ratio float64) float64 {
	switch {
	case ratio <= s.scale.Min:
		return s.x0
	case ratio >= s.scale.Max:
		return s.x1
	}
	return s.x0 + float64(s.scale.Norm(ratio, true)*(s.x1-s.x0))
}

// draw draws the axis with its marks, and a faint line up from each number.
func (s *strip) draw(p *canvas.Pen, top float64) {
	var taken float64 // Right end of the last number
	for _, t := range s.scale.Marks() {
		x := s.axisX(t.Value)
		if t.Label == "" {
			p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(x, s.y), canvas.PointAt(x, s.y+4))
			continue
		}
		p.Line(canvas.InkFaint, canvas.Narrow, nil, canvas.PointAt(x, top), canvas.PointAt(x, s.y))
		p.Line(canvas.InkThin, canvas.Narrow, nil, canvas.PointAt(x, s.y), canvas.PointAt(x, s.y+7))
		if w := canvas.TextWidth(t.Label, canvas.TextSize); x-float64(w/2) > taken+6 || taken == 0 {
			p.Text(canvas.InkMain, x, s.y+22, canvas.Middle, t.Label)
			taken = x + float64(w/2)
		}
	}
	p.Line(canvas.InkMain, canvas.Wide, nil, canvas.PointAt(s.x0, s.y), canvas.PointAt(s.x1, s.y))
	p.Text(canvas.InkMain, s.width/2, s.y+46, canvas.Middle, fitText(s.label, s.width-8))
}

// below is the room that an axis takes under its line.
const below = 54.0

// fitText shortens a text to a width.
func fitText(s string, width float64) string {
	if canvas.TextWidth(s, canvas.TextSize) <= width {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && canvas.TextWidth(string(runes)+"…", canvas.TextSize) > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// checkRatio returns a nil *Error for a ratio that can be drawn. Zero and
// negative ones can: at the lower end of the axis.
func checkRatio(part string, v float64) *figure.Error {
	return figure.CheckValue(part, "ratio", v, false)
}

// A stripFigure is drawn on a pen, once it has been laid out for a width.
type stripFigure interface {
	figure.Picture
	layout(width float64) (height float64, draw func(*canvas.Pen))
}

func stripSVG(f stripFigure, o figure.Options) ([]byte, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	height, draw := f.layout(o.LayoutWidth())
	c := canvas.NewSVG(canvas.OpenSVG(o, o.LayoutWidth(), height, f.Title(), f.Description()), height)
	draw(canvas.NewPen(c, height))
	return c.Whole(), nil
}

func stripTrace(f stripFigure, o figure.Options) (*figure.Trace, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	height, draw := f.layout(o.LayoutWidth())
	return canvas.TraceOf(o.LayoutWidth(), height, func(c vg.Canvas) { draw(canvas.NewPen(c, height)) }), nil
}

func stripPNG(f stripFigure, w io.Writer, dpi float64) error {
	if err := f.Check(); err != nil {
		return err
	}
	height, draw := f.layout(figure.DefaultWidth)
	return canvas.WritePNG(w, dpi, canvas.PointAt(figure.DefaultWidth, height), func(c vg.Canvas) { draw(canvas.NewPen(c, height)) })
}

func stripPDF(f stripFigure, w io.Writer) error {
	if err := f.Check(); err != nil {
		return err
	}
	height, draw := f.layout(figure.DefaultWidth)
	return canvas.WritePDF(w, canvas.PointAt(figure.DefaultWidth, height), func(c vg.Canvas) { draw(canvas.NewPen(c, height)) })
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return figure.FormatNumber(float64(n), 6) + " " + many
}
