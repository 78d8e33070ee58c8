package program

import (
	"shaftbook/kernel/interval"
	"shaftbook/kernel/notation"
)

// An Object is the meaning of a name: a Scalar, an Interval, a *Function or a
// Fielder.
type Object any

// A Scalar is a number in SI base units.
type Scalar float64

// An Interval is a bracket in SI base units.
type Interval interval.Interval

// A Function is a function of the lesson. Its body sees its parameters and the
// names of the lesson, nothing of the place where it is used.
type Function struct {
	Params []string
	Body   notation.Expr
}

// A Fielder is a shaft: something that answers S.twist, S.twist(x) and so on.
// All methods take and return SI values and are safe for concurrent use.
type Fielder interface {
	// Field returns the value of a field that is a number.
	Field(name string, args []float64) (float64, error)
	// FieldBlock fills dst[i] with the field at args[0][i], args[1][i] and so
	// on. It may report a value that does not exist as NaN.
	FieldBlock(dst []float64, name string, args [][]float64) error
	// FieldBracket returns a field over brackets of arguments: a guaranteed
	// bracket of the values.
	FieldBracket(name string, args []interval.Interval) (interval.Interval, error)
	// Cost returns about what a field costs to evaluate, in the unit of
	// Limits.Work.
	Cost(name string, args []float64) int64
	// IsBracket reports whether a field is a bracket whatever its arguments.
	IsBracket(name string) bool
}

// A Scope finds the meaning of names. It must not change during an evaluation
// and must be safe for concurrent use.
type Scope interface {
	Lookup(ident string) (Object, bool)
}

// A Value is the value of an expression, in SI base units.
type Value struct {
	IsBracket     bool
	Number        float64           // the value, unless it is a bracket or a truth
	Bracket       interval.Interval // the guaranteed bracket, if IsBracket
	ErrorEstimate float64           // absolute, from quadrature; 0 if nothing was estimated
	Noise         float64           // of Number: first-order bound of its relative rounding error
	IsTruth       bool              // the expression is a condition
	Truth         bool              // whether it holds
}
