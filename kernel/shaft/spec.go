package shaft

import (
	"shaftbook/kernel/certify"
	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
)

// A Spec describes a shaft as its author wrote it, in SI base units. Pieces
// follow one another from x = 0 in their order.
type Spec struct {
	Name               string // for messages, for example "S"; may be empty
	Pieces             []Piece
	Torques            []Torque
	DistributedTorques []DistributedTorque
	Supports           []Support
	Limits             []Limit
	At                 source.Span // the shaft as a whole, for errors that have no better place

	// Off returns how far the numbers may be from what the author's text means,
	// as a share of each, where they are worked out from other numbers; nil
	// takes them for decimals in their units. An error says that one of them is
	// an estimate, so that nothing is certain of the shaft. It is called once,
	// when certain values are first asked for.
	Off func() (float64, error)

	// bounds enclose the last of the Torques, N·m, which are those of gears and
	// were worked out here; all before them are numbers of the author's.
	bounds []func() (interval.Interval, error)

	// Show prints a value for messages; nil prints in SI units.
	Show func(value float64, q Quantity) string
}

// A Piece is one stretch of a shaft. It is round, with an outline Outer and
// perhaps a bore or a bonded core, unless Stations or Section is set.
type Piece struct {
	Length   float64 // m; 0 is allowed with Stations only and means as far as the last one
	G        float64 // shear modulus, Pa
	Yield    float64 // yield stress in shear, Pa; 0 takes the piece as elastic under any stress
	Outer    Profile // outside diameter; ignored with Stations or Section
	Bore     *Profile
	Core     *Core
	Stations []Station // measured outside diameters; nil if not measured
	Section  *Section  // a section that is not a solid or hollow circle; nil if round
	At       source.Span
	YieldAt  source.Span // where Yield is given
}

// A Profile is a diameter along a piece: linear from Start to End, or Func.
type Profile struct {
	Start, End float64 // m, at the two ends of the piece; ignored with Func

	// Func writes the diameter (m) at each x (m, from the start of the piece)
	// to dst, which has the length of x. It must be safe for concurrent use:
	// a solved shaft calls it again for values between its nodes.
	Func func(dst, x []float64) error

	// Enclose returns a bracket that holds Func at every x of a bracket.
	// Without it a Func has no guaranteed Bracket. Safe for concurrent use too.
	Enclose func(x interval.Interval) (interval.Interval, error)

	// Build writes Func as operations of a certified function. Without it
	// nothing is proven of what lies between the places where Func was asked.
	Build func(b *certify.Builder, x certify.Expr) certify.Expr
}

// Uniform returns the profile of constant diameter d (m).
func Uniform(d float64) Profile { return Profile{Start: d, End: d} }

// A Core is a solid round bar of another material, bonded inside a piece so
// that both twist as one.
type Core struct {
	Diameter float64 // m
	G        float64 // shear modulus of the core, Pa
	At       source.Span
}

// A Station is a measured diameter. Between stations the diameter follows the
// shape-preserving cubic of Fritsch and Butland, which has no bump that the
// measurements do not have.
type Station struct {
	X        float64 // m, from the start of the piece
	Diameter float64 // m
	At       source.Span
}

// A Torque is a couple about +x at one section.
type Torque struct {
	X     float64 // m, along the shaft
	Value float64 // N·m
	At    source.Span
}

// A DistributedTorque is a torque per length that runs linearly from Start at From to End
// at To.
type DistributedTorque struct {
	From, To   float64 // m, along the shaft, From < To
	Start, End float64 // N·m/m
	At         source.Span
}

// A Support keeps a section from turning: rigidly, or like a torsion spring to
// ground that turns by −R/Stiffness when it exerts the torque R on the shaft.
type Support struct {
	X         float64 // m, along the shaft
	Elastic   bool
	Stiffness float64 // N·m/rad, read with Elastic only
	At        source.Span
}

// A Limit is an allowable value that the shaft is checked against.
type Limit struct {
	Of    Quantity // Stress (Pa) or TwistRate (rad/m)
	Value float64
	At    source.Span
}

// A Quantity is what a number measures, so that a caller can print it in the
// reader's units.
type Quantity int

const (
	Length           Quantity = iota // m
	Diameter                         // m
	Moment                           // N·m, a torque
	MomentPer                        // N·m/m, a spread torque
	Modulus                          // Pa, a shear modulus
	Stress                           // Pa
	TwistRate                        // rad/m
	SupportStiffness                 // N·m/rad, the stiffness of a hold
)
