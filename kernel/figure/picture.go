package figure

import (
	"fmt"
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
	// Description says in sentences what the figure shows, including
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
	// kept between 320 and 1280; 0 means 640.
	Width float64
	// Paper lays the figure out for print: the svg element says its size in
	// millimetres, a quarter of one for each unit, and a drawing of a shaft is
	// to one of the usual scales and names it.
	Paper bool
}

// MillimetresPerUnit is how large one unit of a figure is on paper: text of 16
// units is then set in 11 points.
const MillimetresPerUnit = 0.25

// Data is the table behind a figure: for each column a header with its unit,
// then rows of formatted numbers; a missing value is an empty string.
type Data struct {
	Caption string // what this table holds; empty for that of a plot
	Headers []string
	Rows    [][]string
	Further []*Data // the tables of the diagrams under a drawing
}

// An Error says why a figure cannot be drawn and which part of it is at fault.
type Error struct {
	Part   string // "curve “twist”", "y axis", "piece 2"
	Reason string // "has a value that is not a number"
	Repair string // what to do; may be empty
}

func (e *Error) Error() string {
	s := e.Part + " " + e.Reason
	if e.Repair != "" {
		s += ": " + e.Repair
	}
	return s
}

func errorf(part, format string, args ...any) *Error {
	return &Error{Part: part, Reason: fmt.Sprintf(format, args...)}
}

const (
	defaultWidth = 640
	minWidth     = 320
	maxWidth     = 1280
)

func (o Options) width() float64 {
	if o.Width == 0 || math.IsNaN(o.Width) {
		return defaultWidth
	}
	return math.Max(minWidth, math.Min(maxWidth, math.Round(o.Width)))
}

func (o Options) id() string {
	if o.ID == "" {
		return "figure"
	}
	return o.ID
}

func caption(title, finding string) string {
	if finding == "" {
		return title + "."
	}
	return title + ". " + strings.TrimSuffix(finding, ".") + "."
}
