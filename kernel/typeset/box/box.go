package box

// A Box is a piece of a formula that is laid out but not yet written in a
// language. Each kind is written by mathmlWriter and by texWriter.
type Box interface{}

type (
	// Row is boxes side by side.
	Row []Box

	// Ident is one identifier; upright is set for words, functions, π and d.
	Ident struct {
		Name    string
		Upright bool
	}

	// Digits is a number without exponent.
	Digits string

	// Op is an operator.
	Op struct {
		Sign string
		Form Form
	}

	// Text is running words; it carries the spaces it needs.
	Text string

	// Thin is a thin space.
	Thin struct{}

	// Apply joins a function to its argument; it is not seen.
	Apply struct{}

	// Fraction is a numerator over a denominator.
	Fraction struct{ Num, Den Box }

	// Script is a base with a subscript and a superscript, either nil.
	Script struct{ Base, Sub, Sup Box }

	// Limits is a sign or a word with boxes below and above, either nil.
	Limits struct{ Base, Under, Over Box }

	// Root is a square root.
	Root struct{ X Box }

	// Fence is x between two delimiters.
	Fence struct {
		Open, Close string
		X           Box
	}

	// At is a value at a place: x | place.
	At struct{ X, Place Box }

	// Cases is one line for each condition.
	Cases []CaseLine

	// Unit is the upright symbol of one unit.
	Unit string
)

type CaseLine struct {
	Value Box
	When  Box // nil for otherwise
}

// Form says how an operator stands.
type Form int

const (
	Infix    Form = iota // between two operands, with the usual room
	Prefix               // a sign
	Tight                // no room: in units and in exponents
	Dot                  // the product of two symbols: a little room
	Large                // ∑ ∏ ∫
	Relation             // = < ≤ …
	Comma
)

// Unwrap returns the only box of a row.
func Unwrap(r Row) Box {
	if len(r) == 1 {
		return r[0]
	}
	return r
}
