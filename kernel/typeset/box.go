package typeset

// A box is a piece of a formula that is laid out but not yet written in a
// language. Each kind is written by mathmlWriter and by texWriter.
type box interface{}

type (
	// row is boxes side by side.
	row []box

	// ident is one identifier; upright is set for words, functions, π and d.
	ident struct {
		name    string
		upright bool
	}

	// digits is a number without exponent.
	digits string

	// op is an operator.
	op struct {
		sign string
		form opForm
	}

	// text is running words; it carries the spaces it needs.
	text string

	// thin is a thin space.
	thin struct{}

	// apply joins a function to its argument; it is not seen.
	apply struct{}

	// fraction is a numerator over a denominator.
	fraction struct{ num, den box }

	// script is a base with a subscript and a superscript, either nil.
	script struct{ base, sub, sup box }

	// limits is a sign or a word with boxes below and above, either nil.
	limits struct{ base, under, over box }

	// root is a square root.
	root struct{ x box }

	// fence is x between two delimiters.
	fence struct {
		open, close string
		x           box
	}

	// at is a value at a place: x | place.
	at struct{ x, place box }

	// cases is one line for each condition.
	cases []caseLine

	// unit is the upright symbol of one unit.
	unit string
)

type caseLine struct {
	value box
	when  box // nil for otherwise
}

// opForm says how an operator stands.
type opForm int

const (
	infix    opForm = iota // between two operands, with the usual room
	prefix                 // a sign
	tight                  // no room: in units and in exponents
	dot                    // the product of two symbols: a little room
	large                  // ∑ ∏ ∫
	relation               // = < ≤ …
	comma
)
