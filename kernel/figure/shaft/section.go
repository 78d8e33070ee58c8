package shaft

import (
	"fmt"
	"io"
	"math"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/figure"
)

// A Section is a cross-section with the shear stress on it. Lengths are in LengthUnit,
// stresses in StressUnit and without sign: the sign of Torque gives their sense. The
// section is round, in Layers, or has a Shape.
type Section struct {
	Heading                string
	Finding                string // what the reader should see in it; may be empty
	LengthUnit, StressUnit string
	Layers                 []Layer // from the middle outward, each from where the one before ends
	Shape                  *Shape  // a section that is not round
	Left                   []Left  // of a section that yields: what remains after unloading; joined by straight lines
	Ring                   *Ring   // an example of a thin ring; nil for none
	Torque                 float64 // internal torque on the face that looks along +x; only its sign is drawn
	TorqueText             string  // "T = 420 N·m"; empty for none
}

// A Layer is a ring of one material. The stress in it grows in proportion to the radius.
type Layer struct {
	Inner, Outer         float64 // radii
	AtInner, AtOuter     float64 // stress at these
	InnerText, OuterText string  // the same with unit, marked if an estimate
	Yielded              bool    // it yields: the stress is the same at all its radii
}

// Left is the stress that remains at a radius after unloading.
type Left struct {
	R, Stress  float64 // negative against the stress of the load
	Text       string  // the stress with its unit
	LoadedText string  // the stress under the load there
}

// A Ring is a thin ring of a section.
type Ring struct {
	R, Stress float64
	Text      string // the stress with its unit
}

// A Shape is a section that is not round.
type Shape struct {
	Kind     string       // "square", "rectangle", "ellipse", "triangle", "thin tube", "open wall"
	Outline  [][2]float64 // y and z of a closed line about the middle of the section
	Inner    [][2]float64 // of a tube; else empty
	Worst    [][2]float64 // where the stress is greatest
	Along    [][2]float64 // its direction there for a positive torque, length 1; empty if it goes round the middle
	Where    string       // the same in words: "in the middle of each side"
	Text     string       // the greatest stress with its unit
	SizeText string       // "square 40"
	Wall     *Wall        // across which the stress is drawn too; nil if the section is not a thin wall
	isRing   bool         // of a thin tube: its length around and its area leave only a circle
}

// A Wall is a thin wall with the stress across it.
type Wall struct {
	Thickness float64
	Open      bool      // the stress is equal and opposite on the two faces; else the same all across
	Faces     [2]string // "inner face", "outer face"
}

var _ sketch = (*Section)(nil)

// Title returns the heading, or just “Cross-section”.
func (s *Section) Title() string {
	if s.Heading != "" {
		return s.Heading
	}
	return "Cross-section"
}

// Caption returns the title and the finding.
func (s *Section) Caption() string { return figure.CaptionOf(s.Title(), s.Finding) }

// Description describes the section and the stress on it.
func (s *Section) Description() string {
	var b strings.Builder
	if s.Finding != "" {
		b.WriteString(strings.TrimSuffix(s.Finding, ".") + ". ")
	}
	if s.Check() != nil {
		return strings.TrimSpace(b.String())
	}
	length := func(v float64) string { return figure.NumberWithUnit(figure.FormatNumber(v, 5), s.LengthUnit) }
	for i, l := range s.Layers {
		name := "The section"
		if len(s.Layers) > 1 {
			name = [...]string{"The core", "The material around it"}[min(i, 1)]
		}
		if s.yields() {
			name = [...]string{"The elastic core", "The ring that yields"}[min(i, 1)]
		}
		fmt.Fprintf(&b, "%s reaches from radius %s to %s", name, length(l.Inner), length(l.Outer))
		switch {
		case l.Yielded:
			fmt.Fprintf(&b, "; the shear stress in it is %s everywhere", l.OuterText)
		case s.isLoaded():
			fmt.Fprintf(&b, "; the shear stress grows in a straight line from %s to %s", l.InnerText, l.OuterText)
		}
		b.WriteString(". ")
	}
	for i, p := range s.Left {
		if i == 0 {
			b.WriteString("After unloading the shear stress is")
		} else {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, " %s at radius %s", p.Text, length(p.R))
		if i == len(s.Left)-1 {
			b.WriteString(", in straight lines between these. ")
		}
	}
	if r := s.Ring; r != nil {
		fmt.Fprintf(&b, "A ring of radius r = %s and width dr is marked", length(r.R))
		if s.isLoaded() {
			fmt.Fprintf(&b, "; the stress on it is %s, along the ring, with the arm r about the middle", r.Text)
		}
		b.WriteString(". ")
	}
	if f := s.Shape; f != nil {
		fmt.Fprintf(&b, "The section: %s. ", f.SizeText)
		if s.isLoaded() {
			fmt.Fprintf(&b, "The greatest shear stress, %s, is %s. ", f.Text, f.Where)
			if w := f.Wall; w != nil {
				b.WriteString(w.course() + ". ")
			}
		}
	}
	for _, n := range s.notes("x") {
		b.WriteString(n + " ")
	}
	return strings.TrimSpace(b.String())
}

// yields reports whether a part of the section yields.
func (s *Section) yields() bool {
	return len(s.Layers) > 0 && s.Layers[len(s.Layers)-1].Yielded
}

// isLoaded reports whether there is a stress to draw.
func (s *Section) isLoaded() bool { return s.Torque != 0 }

// notes are the sentences under the figure; x is how the axis of the shaft is written.
func (s *Section) notes(x string) []string {
	notes := []string{"Dimensions in " + unitWord(s.LengthUnit) + "."}
	if s.isLoaded() {
		notes = append(notes, "Seen from the far end, against "+x+".")
	}
	if len(s.Left) > 0 {
		notes = append(notes, "The tinted ring yields. Dashed: the shear stress that remains after unloading, negative against that of the load.")
	}
	if s.Shape != nil {
		switch s.Shape.Kind {
		case "thin tube":
			if s.Shape.isRing {
				notes = append(notes, "The form of the tube is not given: with this area and length around it can only be a circle.")
				break
			}
			notes = append(notes, "The form of the tube is not given: it is drawn with straight sides and round ends of the same area and length around.")
		case "open wall":
			notes = append(notes, "The form of the wall is not given and plays no part. The section is taken as free to warp; where something keeps it flat, it is stiffer.")
		}
	}
	return notes
}

// Data returns the stress at the radii of the layers and of the ring.
func (s *Section) Data() *figure.Data {
	d := &figure.Data{Headers: []string{figure.ColumnHeader("radius", "", s.LengthUnit), "shear stress"}}
	add := func(r float64, text string) {
		d.Rows = append(d.Rows, []string{figure.FormatNumber(r, 5), text})
	}
	for _, l := range s.Layers {
		add(l.Inner, l.InnerText)
		if r := s.Ring; r != nil && r.R > l.Inner && r.R < l.Outer {
			add(r.R, r.Text)
		}
		add(l.Outer, l.OuterText)
	}
	if len(s.Left) > 0 {
		d.Headers = append(d.Headers, "after unloading")
		d.Rows = nil
		for _, p := range s.Left {
			d.Rows = append(d.Rows, []string{figure.FormatNumber(p.R, 5), p.LoadedText, p.Text})
		}
	}
	if f := s.Shape; f != nil {
		d.Headers = []string{"section", "greatest shear stress", "where"}
		d.Rows = [][]string{{f.SizeText, f.Text, f.Where}}
		if w := f.Wall; w != nil && w.Open && s.isLoaded() {
			d.Rows = append(d.Rows, []string{"", "0", "on the median line"})
		}
	}
	return d
}

// Check returns an error for what cannot be drawn.
func (s *Section) Check() error {
	if (len(s.Layers) == 0) == (s.Shape == nil) {
		return figure.Errorf("the section", "has no outline")
	}
	at := 0.0
	for i, l := range s.Layers {
		part := fmt.Sprintf("layer %d", i+1)
		if err := checkAll(part, l.Inner, l.Outer, l.AtInner, l.AtOuter); err != nil {
			return err
		}
		if l.Inner < at*(1-1e-9) || i > 0 && l.Inner > at*(1+1e-9) || !(l.Outer > l.Inner) || l.AtInner < 0 || l.AtOuter < 0 {
			return figure.Errorf(part, "does not lie around the one before it")
		}
		at = l.Outer
	}
	for _, p := range s.Left {
		if err := checkAll("the stress that remains", p.R, p.Stress); err != nil {
			return err
		}
	}
	if r := s.Ring; r != nil {
		if err := checkAll("the ring", r.R, r.Stress); err != nil {
			return err
		}
		if !(r.R > 0 && r.R < at) {
			return figure.Errorf("the ring", "is not on the section")
		}
	}
	if f := s.Shape; f != nil {
		if len(f.Outline) < 3 || len(f.Outline) > maxParts || len(f.Inner) > maxParts {
			return figure.Errorf("the section", "has no outline")
		}
		if len(f.Along) > 0 && len(f.Along) != len(f.Worst) {
			return figure.Errorf("the section", "has a place of greatest stress without a direction")
		}
		if w := f.Wall; w != nil && !(w.Thickness > 0) {
			return figure.Errorf("the wall", "has no thickness")
		}
		for _, line := range [][][2]float64{f.Outline, f.Inner, f.Worst, f.Along} {
			for _, q := range line {
				if err := checkAll("the section", q[0], q[1]); err != nil {
					return err
				}
			}
		}
		if f.radius() == 0 {
			return figure.Errorf("the section", "has no size")
		}
	}
	return checkAll("the torque", s.Torque)
}

// radius is how far a shape reaches from its middle.
func (f *Shape) radius() float64 {
	r := 0.0
	for _, q := range f.Outline {
		r = math.Max(r, elementary.Hypot(q[0], q[1]))
	}
	return r
}

// SVG returns the figure for the page.
func (s *Section) SVG(o figure.Options) ([]byte, error) { return svgOf(s, o) }

// Trace returns the figure as lines, areas and texts.
func (s *Section) Trace(o figure.Options) (*figure.Trace, error) { return traceOf(s, o) }

// PNG writes the figure in light colours.
func (s *Section) PNG(w io.Writer, dpi float64) error { return pngOf(s, w, dpi) }

// PDF writes the figure in light colours.
func (s *Section) PDF(w io.Writer) error { return pdfOf(s, w) }

// Bare returns the section without its stress.
func (s *Section) Bare() figure.Picture {
	bare := *s
	bare.Finding, bare.Torque, bare.TorqueText = "", 0, ""
	bare.Layers, bare.Left = nil, nil
	if s.yields() {
		// Where the core ends is a result too.
		bare.Layers = []Layer{{Inner: s.Layers[0].Inner, Outer: s.Layers[len(s.Layers)-1].Outer}}
	}
	for _, l := range s.Layers {
		if s.yields() {
			break
		}
		bare.Layers = append(bare.Layers, Layer{Inner: l.Inner, Outer: l.Outer})
	}
	if s.Ring != nil {
		bare.Ring = &Ring{R: s.Ring.R}
	}
	if s.Shape != nil {
		shape := *s.Shape
		shape.Text, shape.Worst, shape.Along = "", nil, nil
		bare.Shape = &shape
	}
	return &bare
}

// unitWord writes a unit of length within a sentence: “Dimensions in in” cannot be read.
func unitWord(u string) string {
	switch u {
	case "in":
		return "inches"
	case "ft":
		return "feet"
	}
	return u
}
