package figure

import (
	"io"
	"math"

	"gonum.org/v1/plot/vg"
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
	scale         scale
	label         string
}

// stripScale is the axis for ratios: from a half to two at least, as far as the
// values reach, within stripReach.
func stripScale(width float64, values []float64) scale {
	lo, hi := 0.5, 2.0
	for _, v := range values {
		if v >= 1.0/stripReach && v <= stripReach {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return logScale(lo, hi, int(math.Max(3, width/110)), false)
}

// at maps a ratio to the axis; ratios beyond its ends, and those that have no
// place on a logarithmic axis, to the end that they pass.
func (s *strip) at(ratio float64) float64 {
	switch {
	case ratio <= s.scale.min:
		return s.x0
	case ratio >= s.scale.max:
		return s.x1
	}
	return s.x0 + s.scale.norm(ratio, true)*(s.x1-s.x0)
}

// draw draws the axis with its marks, and a faint line up from each number.
func (s *strip) draw(p *pen, top float64) {
	var taken float64 // right end of the last number
	for _, t := range s.scale.ticks {
		x := s.at(t.Value)
		if t.Label == "" {
			p.line(inkThin, narrow, nil, xy{x, s.y}, xy{x, s.y + 4})
			continue
		}
		p.line(inkFaint, narrow, nil, xy{x, top}, xy{x, s.y})
		p.line(inkThin, narrow, nil, xy{x, s.y}, xy{x, s.y + 7})
		if w := measure(t.Label, textSize); x-w/2 > taken+6 || taken == 0 {
			p.text(inkMain, x, s.y+22, middle, t.Label)
			taken = x + w/2
		}
	}
	p.line(inkMain, wide, nil, xy{s.x0, s.y}, xy{s.x1, s.y})
	p.text(inkMain, s.width/2, s.y+46, middle, fitText(s.label, s.width-8))
}

// below is the room that an axis takes under its line.
const below = 54.0

// fitText shortens a text to a width.
func fitText(s string, width float64) string {
	if measure(s, textSize) <= width {
		return s
	}
	runes := []rune(s)
	for len(runes) > 0 && measure(string(runes)+"…", textSize) > width {
		runes = runes[:len(runes)-1]
	}
	return string(runes) + "…"
}

// checkRatio returns a nil *Error for a ratio that can be drawn. Zero and
// negative ones can: at the lower end of the axis.
func checkRatio(part string, v float64) *Error { return checkValue(part, "ratio", v, false) }

// A stripFigure is drawn on a pen, once it has been laid out for a width.
type stripFigure interface {
	Picture
	layout(width float64) (height float64, draw func(*pen))
}

func stripSVG(f stripFigure, o Options) ([]byte, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	height, draw := f.layout(o.width())
	c := newSVGCanvas(openSVG(o, o.width(), height, f.Title(), f.Description()), height)
	draw(newPen(c, height))
	return append(c.bytes(), "</svg>"...), nil
}

func stripTrace(f stripFigure, o Options) (*Trace, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	height, draw := f.layout(o.width())
	return traced(o.width(), height, func(c vg.Canvas) { draw(newPen(c, height)) }), nil
}

func stripPNG(f stripFigure, w io.Writer, dpi float64) error {
	if err := f.Check(); err != nil {
		return err
	}
	height, draw := f.layout(defaultWidth)
	return writePNG(w, dpi, xy{defaultWidth, height}, func(c vg.Canvas) { draw(newPen(c, height)) })
}

func stripPDF(f stripFigure, w io.Writer) error {
	if err := f.Check(); err != nil {
		return err
	}
	height, draw := f.layout(defaultWidth)
	return writePDF(w, xy{defaultWidth, height}, func(c vg.Canvas) { draw(newPen(c, height)) })
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return format(float64(n), 6) + " " + many
}
