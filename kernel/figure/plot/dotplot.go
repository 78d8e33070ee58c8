package plot

import (
	"io"
	"strings"

	"shaftbook/kernel/figure"
)

// A DotPlot shows the answers of many people as signs stacked over an axis of
// answer ÷ correct value, so that answers to other numbers can stand on one axis.
// The axis is logarithmic. Answers are told apart by the shape of their sign.
type DotPlot struct {
	Heading string
	Finding string
	// Low and High are the bounds of what is possible, as multiples of the right
	// value, 0 < Low < High; both are 0 without bounds. The axis is
	// hatched outside them.
	Low, High float64
	Groups    []DotGroup
}

// A DotGroup is the answers of one kind.
type DotGroup struct {
	Label  string
	Sign   DotSign
	Letter string    // in the sign, of a LetterSign
	Values []float64 // as multiples of the right value
}

// A DotSign is the shape of a group's signs.
type DotSign int

// The signs.
const (
	FullSign    DotSign = iota // a filled disc
	DiamondSign                // a hollow diamond
	LetterSign                 // a letter in a square
)

var _ stripFigure = (*DotPlot)(nil)

// Title returns the heading.
func (d *DotPlot) Title() string {
	if d.Heading == "" {
		return "Answers compared with the correct value"
	}
	return d.Heading
}

// Caption returns the title and the finding.
func (d *DotPlot) Caption() string { return figure.CaptionOf(d.Title(), d.Finding) }

// Check returns an error for what cannot be drawn.
func (d *DotPlot) Check() error {
	n := 0
	for _, g := range d.Groups {
		n += len(g.Values)
		for _, v := range g.Values {
			if err := checkRatio("answers "+figure.Quoted(g.Label), v); err != nil {
				return err
			}
		}
	}
	if n == 0 {
		return figure.Errorf("the dot plot", "has no answer")
	}
	for _, v := range []float64{d.Low, d.High} {
		if err := checkRatio("the bounds", v); err != nil {
			return err
		}
	}
	if d.bounded() && !(d.Low > 0 && d.Low < d.High) {
		return figure.Errorf("the bounds", "are not two numbers above zero, the lower one first")
	}
	return nil
}

func (d *DotPlot) bounded() bool { return d.Low != 0 || d.High != 0 }

// Description counts the answers of each kind and describes the axis.
func (d *DotPlot) Description() string {
	var kinds []string
	n := 0
	for _, g := range d.Groups {
		n += len(g.Values)
		kinds = append(kinds, figure.FormatNumber(float64(len(g.Values)), 6)+" "+g.Label)
	}
	s := countOf(n, "answer", "answers") + " over an axis of answer ÷ correct value, which is logarithmic: " + strings.Join(kinds, ", ") + "."
	if d.bounded() {
		s += " The bounds are " + figure.FormatNumber(d.Low, 3) + " and " + figure.FormatNumber(d.High, 3) + " times the correct value; the axis is hatched outside them."
	}
	s += " Answers beyond the axis, and those of the opposite sign, are beside its ends."
	if d.Finding != "" {
		s = strings.TrimSuffix(d.Finding, ".") + ". " + s
	}
	return s
}

// Data lists the answers.
func (d *DotPlot) Data() *figure.Data {
	t := &figure.Data{Headers: []string{"answer ÷ correct", "kind"}}
	for _, g := range d.Groups {
		for _, v := range g.Values {
			t.Rows = append(t.Rows, []string{figure.FormatNumber(v, 4), g.Label})
		}
	}
	return t
}

// SVG returns the figure for the page.
func (d *DotPlot) SVG(o figure.Options) ([]byte, error) { return stripSVG(d, o) }

// PNG writes the figure in light colours.
func (d *DotPlot) PNG(w io.Writer, dpi float64) error { return stripPNG(d, w, dpi) }

// Trace returns the figure as lines, areas and texts.
func (d *DotPlot) Trace(o figure.Options) (*figure.Trace, error) { return stripTrace(d, o) }

// PDF writes the figure in light colours.
func (d *DotPlot) PDF(w io.Writer) error { return stripPDF(d, w) }
