package figure

import (
	"io"
	"math"
	"strings"
)

// A Picture is a figure that can be shown, downloaded and read out.
//
// Every method that draws returns an *Error if the picture's numbers cannot be
// drawn; it never panics and never draws a picture that leaves values out
// silently.
type Picture interface {
	// Title names the figure in a few words.
	Title() string
	// Caption is the title and what the reader should see, for under the
	// figure.
	Caption() string
	// Description describes in sentences what the figure shows, including
	// whatever in it is not to scale.
	Description() string
	// Data returns the numbers of the figure as a table, for readers who
	// cannot see it.
	Data() *Data
	// Check returns an *Error if the figure cannot be drawn. It costs far
	// less than drawing.
	Check() error
	// SVG returns the figure for the page, one svg element.
	SVG(Options) ([]byte, error)
	// Trace returns the figure as lines, areas and texts in light colours, for
	// a page that is not this package's.
	Trace(Options) (*Trace, error)
	// PNG writes the figure in light colours on white.
	PNG(w io.Writer, dpi float64) error
	// PDF writes the figure in light colours on white.
	PDF(w io.Writer) error
}

// Options fit a figure to the place where it is shown.
type Options struct {
	// ID is the prefix of the element ids in the SVG, unique on the page:
	// a letter, then letters, digits and hyphens. Empty means "figure".
	ID string
	// Width is the room on the page in CSS pixels. One unit of the SVG is
	// meant to be shown as one CSS pixel, with text 16 units high. It is
	// kept between 320 and 1280; 0 means 640, and 760 on paper.
	Width float64
	// Paper lays the figure out for print: the svg element has its size in
	// millimetres, MillimetresPerUnit for each unit, and a drawing of a shaft is
	// at one of the usual scales and names it.
	Paper bool
	// Part leaves out a part of a drawing that has diagrams under it, so that a
	// page can set the two side by side.
	Part Part
}

// A Part is what of a drawing with diagrams is drawn.
type Part uint8

// The parts of a drawing.
const (
	Whole       Part = iota
	DrawingPart      // without the diagrams
	DiagramPart      // only the diagrams
)

// MillimetresPerUnit is how large one unit of a figure is on paper: text of 16
// units is then set in 9.5 points, 0.9 of a text of 10.5 points around it.
const MillimetresPerUnit = 0.21

const (
	DefaultWidth = 640
	paperWidth   = 760 // 160 mm
	minWidth     = 320
	maxWidth     = 1280
)

func (o Options) LayoutWidth() float64 {
	if o.Width == 0 && o.Paper {
		return paperWidth
	}
	if o.Width == 0 || math.IsNaN(o.Width) {
		return DefaultWidth
	}
	return math.Max(minWidth, math.Min(maxWidth, math.Round(o.Width)))
}

func (o Options) IDPrefix() string {
	if o.ID == "" {
		return "figure"
	}
	return o.ID
}

// CaptionOf joins a title and a finding, which may be empty, into a caption.
func CaptionOf(title, finding string) string {
	if finding == "" {
		return title + "."
	}
	return title + ". " + strings.TrimSuffix(finding, ".") + "."
}
