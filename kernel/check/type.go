// Package check finds what every name means and which dimension every
// expression has, before anything is evaluated. It never evaluates: what it
// finds depends on the text alone, so a change of a slider checks nothing
// again.
//
// Functions of the lesson have no dimensions of their own; their bodies are
// checked for each use with the dimensions of that use.
package check

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Kind is the nature of a value.
type Kind int

const (
	Invalid Kind = iota // already reported; silent from here on
	Number              // a quantity or pure number
	Bracket             // a guaranteed lower and upper value
	Truth               // a comparison
)

// Angle is whether a pure number is known to be an angle. It is a display
// matter only: an angle has no dimension, and nothing is refused over it.
type Angle int

const (
	Unknown  Angle = iota
	IsAngle        // written with deg or rad, a twist, an arc function, or a multiple of these
	NotAngle       // a ratio of two angles, a count
)

// A Type is what is known of a value before it is evaluated.
type Type struct {
	Kind  Kind
	Dim   unit.Dimension
	Angle Angle
	Unit  *unit.Unit // the unit in which the reader wrote it or wants it, or nil
	Zero  bool       // a bare 0, which fits every dimension in comparisons and ranges
	Speed unit.Speed // of the dimension 1/s: a rotational speed, a frequency, or not known
	Pi    bool       // a product or quotient with π in it, so that turns may have become radians
}

// IsQuantity reports whether t is a number or a bracket.
func (t Type) IsQuantity() bool { return t.Kind == Number || t.Kind == Bracket }

var invalid = Type{}

// A Symbol is the meaning of a name of the working. Type is filled for
// values; it is Invalid if the definition is in error.
type Symbol struct {
	Ident string
	Kind  SymbolKind
	At    source.Span          // where it is defined
	Type  Type                 // values
	Expr  notation.Expr        // values: the defining expression; nil for a vary
	Func  *notation.DefineFunc // functions
	Axes  [2]Type              // readings, and a line through them: x and y

	// Result, if set, is taken for the type of every value of a function,
	// whatever its body says; see Checker.Clashes.
	Result *Type
}

// SymbolKind is the kind of a name of the working.
type SymbolKind int

const (
	Value        SymbolKind = iota // a definition, or the name of a vary
	Function                       // f(x) = …
	ShaftName                      // the name of a shaft cell
	ReadingsName                   // readings test of …
	LineName                       // line fit through test
)

// A Scope finds the symbols of a working. ok is false for a name that is not
// defined. All lists the defined names, so that a near miss can be offered.
type Scope interface {
	Symbol(ident string) (*Symbol, bool)
	All() []string
}

// Codes of the diagnostics of this package.
const (
	// CodeUndefined: a name is used that is nowhere defined.
	// Example: θ = 2·q
	CodeUndefined source.Code = "undefined-name"
	// CodeDimension: two values are added, compared or joined whose dimensions
	// differ, or a function or form is given a value of the wrong dimension.
	// Example: a = 36 mm + 420 N·m
	CodeDimension source.Code = "dimension"
	// CodeExponent: a value with a dimension is raised to a power that is not a
	// fraction known before evaluation.
	// Example: a = (36 mm)^π
	CodeExponent source.Code = "exponent"
	// CodeArguments: a function is given too few or too many arguments.
	// Example: a = sqrt(1, 2)
	CodeArguments source.Code = "arguments"
	// CodeNotFunction: a value is used as a function, or a function as a value.
	// Example: T = 3 N·m; a = T(2)
	CodeNotFunction source.Code = "not-a-function"
	// CodeRadians (a note): a sine, cosine or tangent of a number of more than a turn
	// without a unit, where degrees may be meant.
	// Example: a = sin(30)
	CodeRadians source.Code = "read-as-radians"
	// CodeLog: log does not say which logarithm is meant.
	// Example: a = log(10)
	CodeLog source.Code = "which-logarithm"
	// CodeKind: a truth, a shaft or a bracket is where a number must be.
	// Example: a = 1 + (2 < 3)
	CodeKind source.Code = "wrong-kind"
	// CodeField: a shaft has no such field, or a value has no fields.
	// Example: a = 3; b = a.twist
	CodeField source.Code = "field"
	// CodeUnitShown: a value is to be shown in a unit of another dimension.
	// Example: a = 36 mm in deg
	CodeUnitShown source.Code = "shown-unit"
	// CodeUnitOrName: a symbol is a unit and also a name that is defined, and both
	// make sense; a note where only the name does.
	// Example: J = 3 mm^4; a = 5 J
	CodeUnitOrName source.Code = "unit-or-name"
	// CodePounds: a pound, which is a mass, is where a force must be.
	// Example: a = 20 N + 5 lb
	CodePounds source.Code = "pounds"
	// CodeTurns: a frequency is where a rotational speed must, or the other
	// way round; or a power is divided by 2π times a rotational speed (a note).
	// Example: a = 5 rpm + 3 Hz
	CodeTurns source.Code = "turns"

	// CodeShare (a note): a percentage beside a pure number.
	// Example: a = 100 ± 5 %
	CodeShare source.Code = "share"
	// CodeLimitForm: a limit outside a derivation.
	// Example: a = limit of x as x → 0
	CodeLimitForm source.Code = "limit"
)
