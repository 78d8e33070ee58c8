package shaft

import "shaftbook/kernel/figure"

// A Drawing is a to-scale drawing of one shaft with its loads and
// supports. All positions and diameters are in one unit, LengthUnit.
type Drawing struct {
	Heading            string
	Finding            string // what the reader should see in it; may be empty
	LengthUnit         string // "mm"
	Pieces             []Piece
	Supports           []Support
	Torques            []Torque
	DistributedTorques []DistributedTorque
	Segments           []Segment // the stepped model, drawn over the shaft; may be empty
	Twist              *Twist    // surface lines; may be nil
	Diagrams           []Diagram // curves on the same x axis, drawn under the shaft
	// Axial adds to every torque the double-headed arrow along the axis that the
	// right-hand rule gives it.
	Axial bool

	// part is set for a free body, which is one side of a cut; nil for a whole shaft.
	part *bodyPart
}

// A bodyPart is what a free body needs of the shaft that it is cut from.
type bodyPart struct {
	from, to float64 // ends of the whole shaft: both bodies are drawn in their places
	greatest float64 // the greatest diameter of the whole shaft
	note     string  // the sum of its torques
	last     bool    // the note about scales follows
}

// A Sample is a diameter D at a position X.
type Sample struct{ X, D float64 }

// A Piece is one stretch of the shaft. Outer, Bore and Core run from From to
// To in rising X; two samples describe a straight or tapered piece, more a
// curved one. Bore and Core may be empty.
type Piece struct {
	From, To float64
	Outer    []Sample
	Bore     []Sample
	Core     []Sample // a bonded core of another material

	// Tolerance and BoreTolerance are what follows ± at the two ends of the
	// piece, in the unit of the diameters; 0 for none.
	Tolerance, BoreTolerance [2]float64

	// Flat marks a section that is not round: the outline then shows its
	// depth, and thin diagonals mark the flat face.
	Flat bool
	// Text takes the place of the diameter on the drawing, for example
	// "square 30"; empty writes the diameters.
	Text string
}

// A Support is a support that keeps the section at X from turning.
type Support struct {
	X       float64
	Elastic bool // a hold with a stiffness, drawn as a spring
	Label   string
}

// A Torque acts at X about the +x axis by the right-hand rule. Only the sign
// of Value is drawn; Label carries the amount with its unit.
type Torque struct {
	X     float64
	Value float64
	Label string
}

// A DistributedTorque is torque along the length, from From to To, going linearly from
// Start to End (any unit: only ratios and signs are drawn).
type DistributedTorque struct {
	From, To   float64
	Start, End float64
	Label      string
}

// A Segment is one uniform step of the segment model.
type Segment struct{ From, To, D float64 }

// A Twist is the rotation θ of the sections along the shaft, in radians,
// drawn Times times larger.
type Twist struct {
	X, Angle []float64
	Times    float64
	Estimate bool // its angles are not certain at the digits written
}

// A Diagram is one curve under the drawing, on its x axis. A jump is two
// points with the same X.
type Diagram struct {
	Label    string // "internal torque"
	Unit     string // "N·m"
	Quantity figure.Quantity
	X, Y     []float64
	Estimate bool // its values are not certain at the digits written
}

// mark is put before values, whether they are estimates or not.
func mark(estimate bool) string {
	if estimate {
		return "≈ "
	}
	return ""
}
