// Package box holds the parts that a formula is built from (rows, scripts,
// fractions, roots, brackets, tables) and writes them as MathML and as TeX.
//
// Formulas come from the notation (package typeset) and from TeX in the prose
// of lessons (package tex); package measure gives each part its place in a PDF
// and in the labels of figures, where no browser does.
package box

// A Box is a piece of a formula: one of the types below, or nil for nothing.
type Box interface{}

type (
	// Row is boxes side by side.
	Row []Box

	// Ident is one identifier; Upright is set for words, functions, π and d.
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

	// Space is a space of so many em; it may be negative.
	Space float64

	// Apply joins a function to its argument; it is not seen.
	Apply struct{}

	// Fraction is a numerator over a denominator.
	Fraction struct {
		Num, Den Box
		Size     Size
	}

	// Script is a base with a subscript and a superscript, either nil.
	Script struct{ Base, Sub, Sup Box }

	// Limits is a sign or a word with boxes below and above, either nil.
	Limits struct{ Base, Under, Over Box }

	// Root is a root; Degree is nil for a square root.
	Root struct{ X, Degree Box }

	// Fence is X between two delimiters, either of them empty for none.
	Fence struct {
		Open, Close string
		X           Box
		Growth      Growth
	}

	// At is a value at a place: X | place.
	At struct{ X, Place Box }

	// Cases is one line for each condition.
	Cases []CaseLine

	// Unit is the upright symbol of one unit.
	Unit string

	// Accent is a sign over X, or under it.
	Accent struct {
		X     Box
		Sign  string // ¯ ^ ˙ ¨ ~ →, or ⏞ and ⏟
		Below bool
		Wide  bool // as wide as X
	}

	// Table is lines of cells.
	Table struct {
		Lines   [][]Box
		Columns Columns
	}
)

// Spaces of TeX in em (The TeXbook, chapter 18, from memory: 3, 4 and 5 mu, of
// which 18 are one em).
const (
	Narrow Space = 3.0 / 18
	Medium Space = 4.0 / 18
	Thick  Space = 5.0 / 18
)

// A CaseLine is one line of Cases.
type CaseLine struct {
	Value Box
	When  Box // nil for otherwise
}

// A Form is the place of an operator among its operands, and so its room.
type Form int

// The forms of operators.
const (
	Infix    Form = iota // between two operands, with the usual room
	Prefix               // a sign
	Tight                // no room: in units and in exponents
	Dot                  // the product of two symbols: a little room
	Large                // ∑ ∏ ∫
	Relation             // = < ≤ …
	Comma
	Opening // a bracket of its own, of the height of a letter
	Closing
)

// A Size is how large a fraction is set.
type Size int

// The sizes of fractions.
const (
	ByPlace Size = iota // full on a line of its own, small within a sentence
	Full
	Small
)

// A Growth is whether a bracket grows with what it holds.
type Growth int

// The growths of brackets.
const (
	WhereTall Growth = iota // only around what is higher than a line of symbols
	Always
	Never
)

// Columns are how the cells of a table are aligned.
type Columns int

// The alignments of tables.
const (
	Conditions Columns = iota // after a brace, each to the left, a space between them
	Equation                  // by turns to the right and to the left, without a space within a pair
)

// Table returns the lines of a brace as a table of values and conditions.
func (c Cases) Table() Table {
	t := Table{Columns: Conditions}
	for _, line := range c {
		when := Box(Text("otherwise"))
		if line.When != nil {
			when = Row{Text("if "), line.When}
		}
		t.Lines = append(t.Lines, []Box{line.Value, when})
	}
	return t
}

// Unwrap returns the only box of a row, or the row.
func Unwrap(r Row) Box {
	if len(r) == 1 {
		return r[0]
	}
	return r
}

// Grows reports whether the brackets of a fence grow with what it holds.
func (f Fence) Grows() bool {
	return f.Growth == Always || f.Growth == WhereTall && tall(f.X)
}

// tall reports whether a box is higher than a line of symbols.
func tall(b Box) bool {
	switch b := b.(type) {
	case Row:
		for _, child := range b {
			if tall(child) {
				return true
			}
		}
	case Script:
		_, sign := b.Base.(Op)
		return sign || tall(b.Base)
	case Fence:
		return tall(b.X)
	case Fraction, Limits, At, Cases, Root, Table:
		return true
	}
	return false
}
