package shaft

import (
	"io"
	"slices"
	"strings"

	"shaftbook/kernel/figure"
	"shaftbook/kernel/figure/canvas"
)

// A Cut is a shaft cut apart: the free bodies on both sides, under each other and each in
// its place, with all torques that act on them.
type Cut struct {
	Heading  string
	Finding  string  // what the reader should see in it; may be empty
	X        float64 // of the cut
	Left     Body    // up to the cut
	Right    Body    // beyond it
	unmarked bool    // without the torques that were worked out
}

// A Body is one side of a cut. Its torques are those of its loads, of its supports and the
// internal one on its face; it has no supports.
type Body struct {
	*Drawing
	Balance string    // "−420 N·m + 420 N·m = 0"
	Found   []int     // which of the Torques were worked out: those of supports and the internal one
	Held    []Support // the supports, drawn where the torques that were worked out are left out
}

var _ sketch = (*Cut)(nil)

// Title returns the heading, or just “Free bodies”.
func (s *Cut) Title() string {
	if s.Heading != "" {
		return s.Heading
	}
	return "Free bodies"
}

// Caption returns the title and the finding.
func (s *Cut) Caption() string { return figure.CaptionOf(s.Title(), s.Finding) }

// Description describes both bodies.
func (s *Cut) Description() string {
	var b strings.Builder
	if s.Finding != "" {
		b.WriteString(strings.TrimSuffix(s.Finding, ".") + ". ")
	}
	if s.Check() != nil {
		return strings.TrimSpace(b.String())
	}
	left, right := s.bodies()
	b.WriteString("Left of the cut: " + left.Description() + " Right of the cut: " + right.Description())
	return b.String()
}

// bodies returns the drawings of both sides, each with what it needs of the other.
func (s *Cut) bodies() (left, right *Drawing) {
	from, _ := s.Left.ends()
	_, to := s.Right.ends()
	greatest := max(s.Left.greatestDiameter(), s.Right.greatestDiameter())
	part := func(b Body, name string, last bool) *Drawing {
		d := *b.Drawing
		d.part = &bodyPart{from, to, greatest, name + " part: " + b.Balance + ".", last}
		if s.unmarked {
			d.Torques, d.Supports, d.part.note = b.given(), b.Held, ""
		}
		return &d
	}
	return part(s.Left, "Left", false), part(s.Right, "Right", true)
}

// given returns the torques that were not worked out.
func (b Body) given() []Torque {
	var list []Torque
	for i, t := range b.Torques {
		if !slices.Contains(b.Found, i) {
			list = append(list, t)
		}
	}
	return list
}

// Data returns the torques on both bodies.
func (s *Cut) Data() *figure.Data {
	one, other := s.bodies()
	left, right := one.Data(), other.Data()
	left.Caption, right.Caption = "left of the cut", "right of the cut"
	left.Further = append(left.Further, right)
	return left
}

// Check returns an error for what cannot be drawn.
func (s *Cut) Check() error {
	for _, b := range []Body{s.Left, s.Right} {
		if b.Drawing == nil {
			return figure.Errorf("the cut", "has nothing on one side")
		}
		if err := b.Drawing.Check(); err != nil {
			return err
		}
		for _, i := range b.Found {
			if i < 0 || i >= len(b.Torques) {
				return figure.Errorf("the cut", "has no torque on one of its faces")
			}
		}
	}
	return nil
}

func (s *Cut) lay(o figure.Options) sheet {
	left, right := s.bodies()
	o.Part = figure.DrawingPart
	first := left.planFrom(o, 0)
	second := right.planFrom(o, first.height+4)
	return sheet{first.width, second.height, func(p *canvas.Pen) {
		first.draw(p)
		second.draw(p)
		u := first.drawnX(s.X)
		p.Line(canvas.InkThin, canvas.Narrow, canvas.Dashed, canvas.PointAt(u, first.axisY+first.radius+4), canvas.PointAt(u, first.noteY-2))
	}}
}

// SVG returns the figure for the page.
func (s *Cut) SVG(o figure.Options) ([]byte, error) { return svgOf(s, o) }

// Trace returns the figure as lines, areas and texts.
func (s *Cut) Trace(o figure.Options) (*figure.Trace, error) { return traceOf(s, o) }

// PNG writes the figure in light colours.
func (s *Cut) PNG(w io.Writer, dpi float64) error { return pngOf(s, w, dpi) }

// PDF writes the figure in light colours.
func (s *Cut) PDF(w io.Writer) error { return pdfOf(s, w) }

// Bare returns the bodies without the internal torque.
func (s *Cut) Bare() figure.Picture {
	bare := *s
	bare.Finding, bare.unmarked = "", true
	return &bare
}
