package check

import (
	"strings"

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
