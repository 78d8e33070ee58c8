package symbol

import (
	"testing"

	"shaftbook/kernel/unit"
)

func TestMeaning(t *testing.T) {
	for _, c := range []struct{ name, ident, quantity, want string }{
		{"a letter", "T", "torque", "torque"},
		{"with an index", "d_0", "length", "diameter"},
		{"a pair of letters", "Δθ", "angle", "twist of a segment"},
		{"a letter of another quantity", "T", "temperature", ""},
		{"a stiffness has the dimension of a torque", "K_c", "torque", "stiffness"},
		{"a letter without a usual meaning", "q", "length", ""},
		{"two quantities of one letter", "n", "angular speed", "speed of rotation"},
		{"the same letter, a count", "n", "number", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			dim, ok := unit.Word(c.quantity)
			if !ok {
				t.Fatalf("no quantity %s", c.quantity)
			}
			if got := Meaning(c.ident, dim); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
