package notation

import "shaftbook/kernel/source"

// The codes of the errors and notes of reading. Each comment gives when it occurs, the
// rule behind it, and an example that draws it; a test reads the examples from
// these comments. An example is a calculation cell unless it begins with
// "shaft:" or "derive:"; ⏎ is a line end. Codes never change.
const (
	// StrayCharacter: a character without a meaning. The notation uses letters,
	// digits, round brackets and the signs listed in the README.
	// Example: T = 420 N·m;
	StrayCharacter source.Code = "stray-character"

	// SmartQuote: a typographic quotation mark, often from pasted text. Labels
	// are written in straight marks.
	// Example: plot x as “twist” for x from 0 to 1
	SmartQuote source.Code = "smart-quote"

	// UnclosedLabel: a label without its second quotation mark. A label ends on
	// its line.
	// Example: plot x as "twist for x from 0 to 1
	UnclosedLabel source.Code = "unclosed-label"

	// ForeignOperator: a sign that other notations use. Each sign has one
	// meaning here. Of ** a note says that it is read as ^.
	// Example: A = d**2
	ForeignOperator source.Code = "foreign-operator"

	// LeadingPoint (a note): a number that begins with its decimal point, where the
	// point is easily lost (ISO 80000-1:2009, 7.3.2).
	// Example: a = .5
	LeadingPoint source.Code = "leading-point"

	// TrailingPoint: a decimal point without a digit after it; a note unless a
	// name follows.
	// Example: a = 5. + 1
	TrailingPoint source.Code = "trailing-point"

	// DecimalComma: a comma between digits. A comma separates; the decimal mark
	// is the point.
	// Example: a = 0,3
	DecimalComma source.Code = "decimal-comma"

	// DigitGroups: digits in groups, or two decimal points. Digits stand
	// together; spaces and underscores in groups of three draw a note only.
	// Example: G = 79_000 MPa
	DigitGroups source.Code = "digit-groups"

	// NumberTooLarge: a literal beyond the largest float64.
	// Example: a = 1e400
	NumberTooLarge source.Code = "number-too-large"

	// NumberTooSmall: a literal that is not 0 and would count as 0.
	// Example: a = 1e-400
	NumberTooSmall source.Code = "number-too-small"

	// LiteralTooLong: a literal of more than 64 characters, or an exponent of
	// more than six superscript digits.
	// Example: a = 0.33333333333333333333333333333333333333333333333333333333333333333
	LiteralTooLong source.Code = "literal-too-long"

	// InvalidText: a byte that is not UTF-8.
	// Example: a = \xff
	InvalidText source.Code = "invalid-text"

	// InvisibleCharacter: a character that cannot be seen, often from pasted
	// text.
	// Example: a = 5\u200b
	InvisibleCharacter source.Code = "invisible-character"

	// UnitSpelling (a note): a unit in another spelling than usual that can mean
	// only one: mm2, lbs, Nm, KW, lb-ft, 5'.
	// Example: J = 164900 mm4
	UnitSpelling source.Code = "unit-spelling"

	// RareUnit (a note): a unit that was perhaps meant for another.
	// Example: L = 5 Mm
	RareUnit source.Code = "rare-unit"

	// MixedUnits (a note): a quantity of two units, which is their sum.
	// Example: L = 5 ft 3 in
	MixedUnits source.Code = "mixed-units"

	// UnknownUnit: a number followed by a word that is not a unit and not a name,
	// or a suffix with such a word.
	// Example: L in furlong
	UnknownUnit source.Code = "unknown-unit"

	// MissingUnit: no unit after in or in the list of prefer.
	// Example: θ in
	MissingUnit source.Code = "missing-unit"

	// UnitDividesTwice: a second stroke in a unit. A unit divides once
	// (SI Brochure, 9th edition, 5.2).
	// Example: a = 9.81 m/s/s
	UnitDividesTwice source.Code = "unit-divides-twice"

	// UnitAmbiguous: a factor after the stroke of a unit, which some read as
	// dividing and some as multiplying (SI Brochure, 9th edition, 5.2).
	// Example: k = 5 N/m·s
	UnitAmbiguous source.Code = "unit-ambiguous"

	// UnitPower: a power on a unit that is not a small whole number or fraction,
	// or a power that may belong to the unit or to the quantity.
	// Example: A = 36 mm^n
	UnitPower source.Code = "unit-power"

	// UnitInExponent: an exponent with a unit, because a unit binds to the
	// number before it. Of a power of ten a note says that it multiplies the unit.
	// Example: F = 10^3 N
	UnitInExponent source.Code = "unit-in-exponent"

	// UnitNeedsNumber: a unit after a bracket. A unit is written only after a
	// number literal, after in and after prefer.
	// Example: d = (1/2) mm
	UnitNeedsNumber source.Code = "unit-needs-number"

	// ImplicitProduct (a note): factors side by side, which are multiplied.
	// Example: θ = T L
	ImplicitProduct source.Code = "implicit-product"

	// MissingMultiply: two pieces side by side that may not be factors.
	// Example: θ = T 2
	MissingMultiply source.Code = "missing-multiply"

	// FunctionBrackets: a function without brackets around its argument; a note
	// where only one thing can be the argument.
	// Example: y = sin x
	FunctionBrackets source.Code = "function-brackets"

	// Exponential (a note): a power of e, where no name e is defined, which package
	// check finds out.
	Exponential source.Code = "exponential"

	// Unfinished: something is missing at the end of a statement.
	// Example: T = 420 N·m +
	Unfinished source.Code = "unfinished"

	// UnclosedBracket: a bracket or a bar without its partner.
	// Example: a = (1 + 2
	UnclosedBracket source.Code = "unclosed-bracket"

	// UnopenedBracket: a closing bracket too many.
	// Example: a = 1 + 2)
	UnopenedBracket source.Code = "unopened-bracket"

	// UnexpectedEqual: an = that neither defines nor compares.
	// Example: T·L = 3
	UnexpectedEqual source.Code = "unexpected-equal"

	// Unexpected: a piece that is not allowed at its place.
	// Example: a = 1 : 2 : 3
	Unexpected source.Code = "unexpected"

	// ReservedName: a word of the notation used as a name.
	// Example: to = 5
	ReservedName source.Code = "reserved-name"

	// BuiltinName: the name of a function, or π, given another meaning.
	// Example: sin = 5
	BuiltinName source.Code = "builtin-name"

	// ParameterForm: brackets of a function definition that hold more than
	// names, or a name twice.
	// Example: f(2) = 5
	ParameterForm source.Code = "parameter-form"

	// MissingWord: a form lacks a word or a part.
	// Example: s = sum of i for i from 1
	MissingWord source.Code = "missing-word"

	// MisspeltWord: a word of the notation that is misspelt.
	// Example: tabel x for x from 0 to 1
	MisspeltWord source.Code = "misspelt-word"

	// SuffixTwice: a unit or a rounding for display named twice.
	// Example: θ in deg in rad
	SuffixTwice source.Code = "suffix-twice"

	// RoundingRange: more figures or places than a number has, or none.
	// Example: θ to 40 figures
	RoundingRange source.Code = "rounding-range"

	// ExpectForm: a check that does not say what holds.
	// Example: expect θ
	ExpectForm source.Code = "expect-form"

	// StrayInfinity: infinity elsewhere than in a limit or as an end of an integral. It is not a number to calculate with.
	// Example: a = ∞
	StrayInfinity source.Code = "stray-infinity"

	// TextTooLong: a text of more than MaxText bytes.
	TextTooLong source.Code = "text-too-long"

	// TooDeep: nesting of more than MaxDepth levels.
	TooDeep source.Code = "too-deep"

	// TooManyParts: a statement of more than MaxNodes parts.
	TooManyParts source.Code = "too-many-parts"

	// TooManyErrors: a text of more than MaxFound errors.
	TooManyErrors source.Code = "too-many-errors"

	// DivideThenMultiply (a note): a product after a quotient on one level. The
	// stroke divides by the one factor after it.
	// Example: θ = T·L/J·G
	DivideThenMultiply source.Code = "divide-then-multiply"

	// PowerOfTenDivides (a note): a number with a power of ten after a stroke
	// divides as a whole.
	// Example: a = b/2·10^3
	PowerOfTenDivides source.Code = "power-of-ten-divides"

	// ShaftLineForm: a line of a shaft cell that does not begin with a word of shaft cells.
	// Example: shaft: cube 40 mm for 1 m
	ShaftLineForm source.Code = "shaft-line"

	// GivenForm: an item of given that names no dimension and no domain.
	// Example: derive: given T
	GivenForm source.Code = "given-form"

	// GapPlace: a gap that is not a whole step.
	// Example: derive: θ = T + ?
	GapPlace source.Code = "gap-place"

	// TwoReadings: a text that readers take in two ways. Both ways to write it are offered.
	// Example: derive: A = ∫_0^L a + b dx
	TwoReadings source.Code = "two-readings"

	// StepWithoutStart: a step with nothing above it to be equal to.
	// Example: derive: = 3
	StepWithoutStart source.Code = "step-without-start"

	// DeriveLineForm: a line of a derivation that neither gives, defines nor
	// claims.
	// Example: derive: T·L
	DeriveLineForm source.Code = "derive-line"
)
