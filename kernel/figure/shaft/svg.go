package shaft

import (
	"io"

	"gonum.org/v1/plot/vg"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

var _ figure.Picture = (*Drawing)(nil)

// draw draws everything, from what lies behind to what lies in front.
func (l *shaftPlan) draw(p *canvas.Pen) {
	if l.part != figure.DiagramPart {
		l.drawShaft(p)
	}
	l.drawDiagrams(p)
}

func (l *shaftPlan) drawShaft(p *canvas.Pen) {
	l.drawSegments(p)
	l.drawBody(p)
	l.drawTwist(p)
	for _, h := range l.s.Supports {
		l.drawSupport(p, h)
	}
	l.drawTags(p)
	l.drawLengths(p)
	for _, s := range l.s.DistributedTorques {
		l.drawDistributedTorque(p, s)
	}
	for _, t := range l.s.Torques {
		l.drawTorque(p, t)
	}
	for i, n := range l.notes {
		p.Text(canvas.InkMain, 4, l.noteY+float64(canvas.RowHeight*float64(i))+15, canvas.Left, n)
	}
}

// SVG returns the drawing for the page.
func (s *Drawing) SVG(o figure.Options) ([]byte, error) { return s.CachedSVG(o, nil) }

func (s *Drawing) CachedSVG(o figure.Options, _ *figure.Cache) ([]byte, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.plan(o)
	title, words := s.Title(), l.describe()
	if o.Part == figure.DiagramPart {
		title, words = title+", diagrams", l.describeDiagrams()
	}
	c := canvas.NewSVG(canvas.OpenSVG(o, l.width, l.height, title, words), l.height)
	l.draw(canvas.NewPen(c, l.height))
	if cuts := l.cuts(); cuts != nil && o.Part != figure.DiagramPart {
		c.Raw(cuts)
	}
	return c.Whole(), nil
}

// Trace returns the drawing as lines, areas and texts.
func (s *Drawing) Trace(o figure.Options) (*figure.Trace, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.plan(o)
	return canvas.TraceOf(l.width, l.height, l.drawOn), nil
}

// PNG writes the drawing in light colours.
func (s *Drawing) PNG(w io.Writer, dpi float64) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.plan(figure.Options{})
	return canvas.WritePNG(w, dpi, canvas.PointAt(l.width, l.height), l.drawOn)
}

// PDF writes the drawing in light colours.
func (s *Drawing) PDF(w io.Writer) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.plan(figure.Options{})
	return canvas.WritePDF(w, canvas.PointAt(l.width, l.height), l.drawOn)
}

func (l *shaftPlan) drawOn(c vg.Canvas) { l.draw(canvas.NewPen(c, l.height)) }
