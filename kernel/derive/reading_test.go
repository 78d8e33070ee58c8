package derive

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestNamesAndUnits judges lines in which a given name is also the symbol of a unit,
// or is written together with another.
func TestNamesAndUnits(t *testing.T) {
	const given = "given T: torque > 0, L: length > 0, d: diameter > 0, r: radius > 0, G: shear modulus > 0, J: second moment of area > 0, θ: angle > 0, m: number > 0, s: length > 0\n"
	for _, test := range []struct{ name, text string }{
		{"torque, not tesla", "τ = 16·T/(π·d^3)|= 16 T/(π d^3)"},
		{"without a blank", "y = 32·T·L|= 32T·L"},
		{"over a bracket", "y = 2·T/(π·r^3)|= 2T/(π·r³)"},
		{"half of a product", "y = 1/2·T·θ|= 1/2 T θ"},
		{"diameter, not days", "y = 2·d|= 2 d"},
		{"length, not litres", "y = 3·L|= 3 L"},
		{"second moment, not joules", "y = 2·J|= 2 J"},
		{"two names, not gigajoules", "y = 2·G·J|= 2GJ"},
		{"number, not metres", "y = 2·m|= 2 m"},
		{"length, not seconds", "y = 3·s|= 3 s"},
		{"a defined name", "U = T·θ/2|y = 2·U|= 2 U"},
		{"unit where it must be one", "y = 3 mm + L|= L + 3 mm"},
		{"π before a letter", "y = π·d^4/32|= πd^4/32"},
		{"π in a bracket", "τ = 16·T/(π·d^3)|= 16T/(πd³)"},
		{"π after a fraction", "V = 4/3·π·r^3|= 4/3 πr³"},
		{"bracket behind a blank and a number", "y = π/32·d^4·(1 − m^4)|= πd^4/32 (1 − m^4)"},
		{"bracket behind a quantity", "τ = T·(d/2)/J|= T (d/2)/J"},
		{"change behind a quotient", "φ = T·L/(G·J)|= T/(G J) [x]_0^L"},
		{"integral behind a quotient", "φ = T·L/(G·J)|= T/(G·J) ∫_0^L 1 dx"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := JudgeText(t.Context(), source.NewText("", given+strings.ReplaceAll(test.text, "|", "\n")), Settings{})
			for _, d := range r.Diagnostics {
				if d.Severity != source.Note {
					t.Errorf("says %v", d)
				}
			}
			if n := len(r.Verdicts); n != 1 || r.Verdicts[0].Kind != Follows {
				t.Errorf("verdicts %v", r.Verdicts)
			}
		})
	}
}
