package plot

import "shaftbook/kernel/figure"

// A Plot is one or more curves on a pair of axes.
type Plot struct {
	Heading string // the title: "Diameter along the quill"
	Finding string // what the reader should see in it, one sentence; may be empty
	X, Y    Axis
	// Quantity is what the upward axis shows; it decides the colour of the curves.
	Quantity figure.Quantity
	Curves   []Curve
	Marks    []Mark
	// Chosen are values of x whose points on the curves are ringed, such as the
	// number of segments that a slider is at.
	Chosen []float64
}

// An Axis is the quantity along one edge of a plot.
type Axis struct {
	Label string // the quantity: "x", "diameter d(x)"
	Unit  string // the unit as shown: "mm"; empty for a pure number
	Log   bool   // a logarithmic axis: every value on it must be above zero
	// Min and Max fix the range; if Min is not below Max the range is taken
	// from the numbers and rounded outward, so that it rarely changes while
	// a slider moves.
	Min, Max float64
}

// A Curve is a row of points (X[i], Y[i]) in the order in which they are
// joined, in the units of the axes.
type Curve struct {
	Label  string
	X, Y   []float64
	Points bool // separate points with a marker each, not joined by a line
	Plain  bool // a line without markers also beside other curves, such as one through points
}

// Way names the axis along which a mark is measured.
type Way int

const (
	AcrossX Way = iota // at a value of x: an upright line or band
	AcrossY            // at a value of y: a level line or band
)

// A Mark is a line (Low = High) or a hatched band from Low to High with a
// label, such as the bracket that a result must lie in.
type Mark struct {
	Way       Way
	Low, High float64
	Label     string
}
