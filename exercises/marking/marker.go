package marking

import (
	"context"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Marker marks the answers to one part with one learner's numbers. It is not
// safe for concurrent use, since slips are worked out by changing the numbers
// for a while.
type Marker struct {
	Scheme  *Scheme
	Key     *Key // nil for a Pick
	Numbers Numbers

	// Random starts the sequence of random numbers from which the points are
	// drawn where two formulas are compared. Each call starts the same sequence.
	Random func() func() uint64

	// Lines judges what fills the gap of a Line; nil for other parts.
	Lines func(ctx context.Context, answer string) Verdict

	samples *formulaKey           // made when first needed
	found   map[string]SlipValues // of slips that are not listed, by name; made when first needed
}

// Numbers are one learner's numbers and the evaluation of expressions with
// them.
type Numbers interface {
	// Givens lists the given names in their order in the exercise.
	Givens() []*Given
	// GivenValue returns the present value of the i-th given; ok is false for
	// functions and for what has no value.
	GivenValue(i int) (v kernel.Value, text string, ok bool)
	// Eval evaluates any expression.
	Eval(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List)
	// Value evaluates an expression that must be one number.
	Value(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List)
	// Pieces returns what an expression adds up, piece by piece of the shaft or term
	// by term of a sum; one or none for what is not such a sum.
	Pieces(x notation.Expr) []notation.Expr
	// Possible reports whether the conditions of the exercise hold.
	Possible(ctx context.Context) bool
	// WithValues gives names other values, in SI units, while f runs. It may be
	// nested.
	WithValues(ctx context.Context, values map[int]float64, f func() error) error
	// WithEnclosures is WithValues with each value as a bracket of no width, so
	// that everything worked out from them is a guaranteed bracket.
	WithEnclosures(ctx context.Context, values map[int]float64, f func() error) error
}

// ShaftName is the name of an exercise's shaft in its expressions. A learner
// may not use it.
const ShaftName = "S"

// A Given is a name that a learner has a value of.
type Given struct {
	Name    string     // canonical
	Head    string     // "d_0", or "J(x)" for a function
	Derived bool       // follows from the names above it
	IsFunc  bool       // has no one value
	Range   [2]float64 // what it can be drawn from, in SI units; both 0 for anything else
	Uses    []string   // names in the expression of a derived given
}

// A Key holds the values that answers to a part are compared with, worked out with
// one learner's numbers, in SI base units.
type Key struct {
	Value     float64
	Dim       unit.Dimension
	Angle     bool
	Factor    float64 // of the unit in which the author thinks of the answer
	Low, High float64
	Bounded   bool
	Slips     []SlipValues
}

type SlipValues struct {
	Slip   *Slip
	Values []float64
}

// SlipValues returns what a slip leads to with these numbers; several values for
// a slip such as a lost power of a thousand. The error is for a slip that has no
// value.
func (m *Marker) SlipValues(ctx context.Context, s *Slip) ([]float64, error) {
	c := m.slipCase(ctx, s)
	return c.values()
}

// CheckFormula reports why formulas cannot be compared with the answer: it has
// a value at too few points of the given domain.
func (m *Marker) CheckFormula(ctx context.Context) error {
	_, err := m.formulaKey(ctx)
	return err
}
