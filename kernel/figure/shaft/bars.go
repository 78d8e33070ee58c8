package shaft

import (
	"io"
	"math"
	"strings"

	"shaftbook/kernel/figure"
)

// Bars are shafts under each other, seen a little from the far end, each with a line on its
// surface that was straight before the twist. Positions and diameters are in LengthUnit.
type Bars struct {
	Heading    string
	Finding    string // what the reader should see in it; may be empty
	LengthUnit string
	Bars       []Bar
	Times      float64  // the angles are drawn so many times larger
	Marks      bool     // γ, θ, d/2 and L are marked on the first bar and the last
	Notes      []string // sentences under the figure; single letters in them are symbols
}

// A Bar is one round shaft.
type Bar struct {
	Label  string     // "before", "thick"
	Value  string     // what its twist comes to; may be empty
	Pieces [][]Sample // the outline of each piece, from one end to the other
	X      []float64
	Angle  []float64 // rotation relative to the first section, rad; both empty if not twisted
	Bore   float64   // diameter of the bore at the far end; 0 where it is solid
}

var _ sketch = (*Bars)(nil)

// Title returns the heading, or just “Shaft”.
func (s *Bars) Title() string {
	if s.Heading != "" {
		return s.Heading
	}
	return "Shaft"
}

// Caption returns the title and the finding.
func (s *Bars) Caption() string { return figure.CaptionOf(s.Title(), s.Finding) }

// Description describes each bar and what is not to scale.
func (s *Bars) Description() string {
	var b strings.Builder
	if s.Finding != "" {
		b.WriteString(strings.TrimSuffix(s.Finding, ".") + ". ")
	}
	if s.Check() != nil {
		return strings.TrimSpace(b.String())
	}
	for i := range s.Bars {
		r := &s.Bars[i]
		first, last := r.ends()
		b.WriteString(capital(r.Label) + ": diameter ")
		if !sameD(first.D, last.D) {
			b.WriteString(figure.FormatNumber(first.D, 5) + " to ")
		}
		b.WriteString(figure.NumberWithUnit(figure.FormatNumber(last.D, 5), s.LengthUnit))
		if r.Bore > 0 {
			b.WriteString(", hollow")
		}
		if r.Value != "" {
			b.WriteString(", " + r.Value)
		}
		b.WriteString(". ")
	}
	for _, n := range s.plan(figure.Options{}).notes(func(s string) string { return s }) {
		b.WriteString(n + " ")
	}
	return strings.TrimSpace(b.String())
}

func capital(s string) string {
	if s == "" {
		return s
	}
	if s[0] < 'a' || s[0] > 'z' || len(s) > 1 && s[1] == ' ' {
		return s // a symbol
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// ends are the first and the last diameter.
func (r *Bar) ends() (first, last Sample) {
	end := r.Pieces[len(r.Pieces)-1]
	return r.Pieces[0][0], end[len(end)-1]
}

// Data returns the twist along each bar.
func (s *Bars) Data() *figure.Data {
	var first *figure.Data
	for i := range s.Bars {
		r := &s.Bars[i]
		d := &figure.Data{Caption: r.Label, Headers: []string{figure.ColumnHeader("x", "", s.LengthUnit), figure.ColumnHeader("twist", "", "deg")}}
		degrees := make([]float64, len(r.Angle))
		for k, a := range r.Angle {
			degrees[k] = a * 180 / math.Pi
		}
		d.Fill([][]float64{figure.Thin(r.X), figure.Thin(degrees)})
		switch {
		case len(r.X) == 0:
		case first == nil:
			first = d
		default:
			first.Further = append(first.Further, d)
		}
	}
	if first == nil {
		first = &figure.Data{Headers: []string{figure.ColumnHeader("x", "", s.LengthUnit), "twist"}}
	}
	return first
}

// Check returns an error for what cannot be drawn.
func (s *Bars) Check() error {
	if len(s.Bars) == 0 || len(s.Bars) > 8 {
		return figure.Errorf("the figure", "has %d bars", len(s.Bars))
	}
	if err := checkAll("the twist", s.Times); err != nil {
		return err
	}
	for i := range s.Bars {
		r := &s.Bars[i]
		if err := checkAll("the bore", r.Bore); err != nil {
			return err
		}
		d := &Drawing{LengthUnit: s.LengthUnit}
		for _, outline := range r.Pieces {
			if len(outline) == 0 {
				return figure.Errorf("bar "+figure.Quoted(r.Label), "has no outline")
			}
			d.Pieces = append(d.Pieces, Piece{From: outline[0].X, To: outline[len(outline)-1].X, Outer: outline})
		}
		if len(r.X) > 0 || len(r.Angle) > 0 {
			d.Twist = &Twist{X: r.X, Angle: r.Angle, Times: s.Times}
		}
		if err := d.Check(); err != nil {
			return err
		}
	}
	return nil
}

// SVG returns the figure for the page.
func (s *Bars) SVG(o figure.Options) ([]byte, error) { return svgOf(s, o) }

// Trace returns the figure as lines, areas and texts.
func (s *Bars) Trace(o figure.Options) (*figure.Trace, error) { return traceOf(s, o) }

// PNG writes the figure in light colours.
func (s *Bars) PNG(w io.Writer, dpi float64) error { return pngOf(s, w, dpi) }

// PDF writes the figure in light colours.
func (s *Bars) PDF(w io.Writer) error { return pdfOf(s, w) }

// Bare returns the bars as they were before the twist.
func (s *Bars) Bare() figure.Picture {
	bare := *s
	bare.Finding, bare.Notes, bare.Bars, bare.Marks = "", nil, nil, false
	for _, r := range s.Bars {
		bare.Bars = append(bare.Bars, Bar{Label: r.Label, Pieces: r.Pieces})
	}
	return &bare
}
