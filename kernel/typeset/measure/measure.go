// Package measure gives every letter and line of a formula its place, for
// writers that set type themselves: the PDF of a problem sheet and the labels of
// figures.
//
// It knows a font only by its Metrics. Lengths are in the unit of Options.Size,
// x to the right and y down, from the left end of the baseline. The shares of
// the size follow The TeXbook, appendix G (from memory), for a font of text.
package measure

import "shaftbook/kernel/typeset/box"

// A Face is how letters are drawn.
type Face struct{ Italic, Bold bool }

// Metrics are the measures of a font, in shares of the size.
type Metrics interface {
	// Width returns the advance of a text.
	Width(text string, f Face) float64
	// Extent returns how far the ink of a text reaches above the baseline and
	// below it; down is negative for a text that lies above the baseline.
	Extent(text string, f Face) (up, down float64)
}

// Options are how a formula is set.
type Options struct {
	Size    float64 // of the letters; the unit of all lengths
	Least   float64 // letters of scripts are not set smaller; 0 for no limit
	Display bool    // on a line of its own: full fractions, limits above and below
	Bold    bool
}

// A Layout is a formula with a place for everything.
type Layout struct {
	Width, Up, Down float64 // Up and Down from the baseline
	Glyphs          []Glyph
	Shapes          []Shape
}

// A Glyph is a run of letters, (X, Y) the left end of its baseline.
type Glyph struct {
	Text string
	Face Face
	Size float64
	X, Y float64
}

// A Shape is a line or an area: a bar, a root, a bracket.
type Shape struct {
	Path  []Step
	Width float64 // of the line; 0 for an area that is filled
}

// A Step is one step of a path, to (X, Y).
type Step struct {
	Kind StepKind
	X, Y float64

	// The control points of a cubic curve.
	X1, Y1, X2, Y2 float64
}

// A StepKind is the kind of a Step.
type StepKind int

// The kinds of steps.
const (
	Move StepKind = iota
	Line
	Curve
)

// Lay sets a formula.
func Lay(b box.Box, m Metrics, o Options) Layout {
	return setter{metrics: m, size: o.Size, least: o.Least, display: o.Display, bold: o.Bold}.box(b)
}

// add puts another layout into l, its origin at (x, y).
func (l *Layout) add(part Layout, x, y float64) {
	for _, g := range part.Glyphs {
		g.X += x
		g.Y += y
		l.Glyphs = append(l.Glyphs, g)
	}
	for _, s := range part.Shapes {
		path := make([]Step, len(s.Path))
		for i, p := range s.Path {
			path[i] = Step{p.Kind, p.X + x, p.Y + y, p.X1 + x, p.Y1 + y, p.X2 + x, p.Y2 + y}
		}
		l.Shapes = append(l.Shapes, Shape{path, s.Width})
	}
	l.Up = max(l.Up, part.Up-y)
	l.Down = max(l.Down, part.Down+y)
}

// rule adds a straight line.
func (l *Layout) rule(x1, y1, x2, y2, width float64) {
	l.Shapes = append(l.Shapes, Shape{[]Step{{Kind: Move, X: x1, Y: y1}, {Kind: Line, X: x2, Y: y2}}, width})
}
