package check

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// The dimensions that the trade's usual symbols have; what follows an underscore
// does not matter. A symbol of another meaning is simply another case of "not
// known".
var usual = map[string]unit.Dimension{
	"T": unit.Base(2, 1, -2), "M": unit.Base(2, 1, -2),
	"L": unit.Base(1, 0, 0), "l": unit.Base(1, 0, 0), "d": unit.Base(1, 0, 0), "D": unit.Base(1, 0, 0), "r": unit.Base(1, 0, 0), "x": unit.Base(1, 0, 0),
	"G": unit.Base(-1, 1, -2), "E": unit.Base(-1, 1, -2), "τ": unit.Base(-1, 1, -2), "σ": unit.Base(-1, 1, -2),
	"F": unit.Base(1, 1, -2), "P": unit.Base(2, 1, -3),
	"J": unit.Base(4, 0, 0), "I": unit.Base(4, 0, 0),
	"θ": {}, "φ": {}, "ϑ": {}, "n": {}, "i": {}, "z": {},
}

// UsualDimension returns the dimension that a name has by the trade's custom: T and T_A
// are torques. ok is false where there is none.
func UsualDimension(ident string) (unit.Dimension, bool) {
	base, _, _ := strings.Cut(strings.TrimPrefix(ident, "Δ"), "_")
	d, ok := usual[base]
	return d, ok
}

// usualWords are what the trade calls a quantity of a symbol, where its dimension has
// another word first.
var usualWords = map[string]string{"G": "a shear modulus", "E": "an elastic modulus"}

// UsualWord returns what a name of a dimension is called, with its article: a stress G
// is a shear modulus, and F is a force.
func UsualWord(ident string, d unit.Dimension) string {
	base, _, _ := strings.Cut(strings.TrimPrefix(ident, "Δ"), "_")
	if word := usualWords[base]; word != "" && usual[base] == d {
		return word
	}
	if base == "F" && d == forceDim {
		return "a force"
	}
	return Word(d)
}

// WordOf returns what a value is, with its article; of a quantity, as it is written:
// 24 N is a force, 180 N·m/m a torque per length. e may be nil.
func WordOf(e notation.Expr, t Type) string {
	q, ok := notation.Unparen(e).(*notation.Quantity)
	if !ok || t.Dim != forceDim {
		return wordOf(t)
	}
	if strings.ContainsAny(q.Unit.Text, "/·") {
		return "a torque per length"
	}
	return "a force"
}
