package shaft

import (
	"io"
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"

	"gonum.org/v1/plot/vg"
)

// A sheet is a picture laid out for one width.
type sheet struct {
	width, height float64
	draw          func(*canvas.Pen)
}

// A sketch is a picture of this package other than a Drawing: it is laid out, and then
// drawn in every format alike.
type sketch interface {
	figure.Picture
	lay(figure.Options) sheet
}

func svgOf(s sketch, o figure.Options) ([]byte, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.lay(o)
	c := canvas.NewSVG(canvas.OpenSVG(o, l.width, l.height, s.Title(), s.Description()), l.height)
	l.draw(canvas.NewPen(c, l.height))
	return c.Whole(), nil
}

func traceOf(s sketch, o figure.Options) (*figure.Trace, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	l := s.lay(o)
	return canvas.TraceOf(l.width, l.height, l.on), nil
}

func pngOf(s sketch, w io.Writer, dpi float64) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.lay(figure.Options{})
	return canvas.WritePNG(w, dpi, canvas.PointAt(l.width, l.height), l.on)
}

func pdfOf(s sketch, w io.Writer) error {
	if err := s.Check(); err != nil {
		return err
	}
	l := s.lay(figure.Options{})
	return canvas.WritePDF(w, canvas.PointAt(l.width, l.height), l.on)
}

func (l sheet) on(c vg.Canvas) { l.draw(canvas.NewPen(c, l.height)) }

// writeLines writes lines of text under each other from y on.
func writeLines(p *canvas.Pen, lines []string, y float64) {
	for i, line := range lines {
		p.Text(canvas.InkMain, 4, y+float64(canvas.RowHeight*float64(i))+15, canvas.Left, line)
	}
}

// arcPoints returns points of an ellipse about c from one angle to another, in radians,
// counterclockwise from the right as seen.
func arcPoints(c canvas.Point, rx, ry, from, to float64) []canvas.Point {
	n := max(2, int(math.Ceil(math.Abs(to-from)/(math.Pi/36))))
	pts := make([]canvas.Point, 0, n+1)
	for k := range n + 1 {
		sin, cos := elementary.Sincos(from + float64((to-from)*float64(k)/float64(n)))
		pts = append(pts, canvas.PointAt(c.X+float64(rx*cos), c.Y-float64(ry*sin)))
	}
	return pts
}

// arcArrow draws a slim arrow along an arc.
func arcArrow(p *canvas.Pen, i canvas.Ink, c canvas.Point, r, from, to, width, head float64) {
	pts := arcPoints(c, r, r, from, to)
	n := len(pts) - 1
	p.ArrowHead(i, pts[n], pts[n].X-pts[n-1].X, pts[n].Y-pts[n-1].Y, head)
	// The line ends within its head.
	for n > 1 && elementary.Hypot(pts[n].X-pts[len(pts)-1].X, pts[n].Y-pts[len(pts)-1].Y) < head*0.7 {
		n--
	}
	p.Line(i, width, nil, pts[:n+1]...)
}
