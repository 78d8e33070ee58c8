package figure

import (
	"io"

	"gonum.org/v1/plot/vg"
)

var _ Picture = (*ShaftDrawing)(nil)

// draw draws everything, from what lies behind to what lies in front.
func (l *shaftPlan) draw(p *pen) {
	l.drawBody(p)
	l.drawSegments(p)
	l.drawTwist(p)
	for _, h := range l.s.Holds {
		l.drawHold(p, h)
	}
	l.drawTags(p)
	l.drawLengths(p)
	for _, s := range l.s.Spreads {
		l.drawSpread(p, s)
	}
	for _, t := range l.s.Torques {
		l.drawTorque(p, t)
	}
	for i, n := range l.notes {
		p.text(inkMain, 4, l.noteY+row*float64(i)+15, left, n)
	}
	l.drawDiagrams(p)
}

// SVG returns the drawing for the page.
func (s *ShaftDrawing) SVG(o Options) ([]byte, error) { return s.svg(o, nil) }

func (s *ShaftDrawing) svg(o Options, _ *Cache) ([]byte, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.plan(o)
	c := newSVGCanvas(openSVG(o, l.width, l.height, s.Title(), l.describe()), l.height)
	l.draw(newPen(c, l.height))
	return append(c.bytes(), "</svg>"...), nil
}

// Trace returns the drawing as lines, areas and texts.
func (s *ShaftDrawing) Trace(o Options) (*Trace, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.plan(o)
	return traced(l.width, l.height, l.drawOn), nil
}

// PNG writes the drawing in light colours.
func (s *ShaftDrawing) PNG(w io.Writer, dpi float64) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.plan(Options{})
	return writePNG(w, dpi, xy{l.width, l.height}, l.drawOn)
}

// PDF writes the drawing in light colours.
func (s *ShaftDrawing) PDF(w io.Writer) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.plan(Options{})
	return writePDF(w, xy{l.width, l.height}, l.drawOn)
}

func (l *shaftPlan) drawOn(c vg.Canvas) { l.draw(newPen(c, l.height)) }
