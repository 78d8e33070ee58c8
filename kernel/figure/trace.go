package figure

import "image/color"

// A Trace is a picture as it is drawn, stroke by stroke, from what lies behind to
// what lies in front. All coordinates, widths and sizes are in units of the
// figure, y down.
type Trace struct {
	Width, Height float64
	Strokes       []Stroke
}

// A Stroke is one line, area or text of a trace.
type Stroke struct {
	Colour color.NRGBA

	Steps []Step    // of a line or an area
	Fill  bool      // whether it is an area
	Width float64   // of a line
	Dash  []float64 // of a line: lengths drawn and left out in turn; nil for a whole line

	// Of a text: the runs one after another, the size of their letters, and the
	// place of the point that lies a share of Anchor along the baseline.
	Runs   []Run
	Size   float64
	Anchor float64 // 0 left, 0.5 middle, 1 right
	X, Y   float64
}

// A Run is a piece of text that is set in one way.
type Run struct {
	Text   string
	Italic bool
	Size   float64 // of the letters, a share of the size of the text
	Drop   float64 // below the baseline, a share of the size of the text
}

// A Step is one step of a path.
type Step struct {
	Kind StepKind
	X, Y float64 // where it leads; not of Close

	// Of a Curve: its control points.
	X1, Y1, X2, Y2 float64
}

// A StepKind is the kind of a step of a path.
type StepKind int

// The steps of a path.
const (
	MoveTo StepKind = iota
	LineTo
	CurveTo // a cubic curve
	ClosePath
)
