package unit

import (
	"strings"
	"testing"
)

func parseAll(t *testing.T, texts ...string) []Unit {
	t.Helper()
	units := make([]Unit, len(texts))
	for i, s := range texts {
		u, err := Parse(s)
		if err != nil {
			t.Fatal(err)
		}
		units[i] = u
	}
	return units
}

func TestChoose(t *testing.T) {
	cases := []struct {
		name   string
		value  float64
		like   string // a unit of the dimension
		prefer []string
		hint   Hint
		want   string
	}{
		{"diameter", 0.036, "m", nil, NoHint, "mm"},
		{"shaft length", 1.3, "m", nil, NoHint, "m"},
		{"way", 2e4, "m", nil, NoHint, "km"},
		{"thin film", 2e-6, "m", nil, NoHint, "μm"},
		{"no length", 0, "m", nil, NoHint, "mm"},
		{"shear modulus", 79e9, "Pa", nil, NoHint, "GPa"},
		{"stress", 45e6, "Pa", nil, NoHint, "MPa"},
		{"negative stress", -45e6, "Pa", nil, NoHint, "MPa"},
		{"no stress", 0, "Pa", nil, NoHint, "MPa"},
		{"torque", 420, "N·m", nil, NoHint, "N·m"},
		{"large torque", 42e3, "N·m", nil, NoHint, "kN·m"},
		{"energy", 420, "J", nil, Energy, "J"},
		{"second moment", 1.6e-7, "m⁴", nil, NoHint, "mm⁴"},
		{"large second moment", 0.02, "m⁴", nil, NoHint, "m⁴"},
		{"force", 420, "N", nil, NoHint, "N"},
		{"spread torque", 150, "N", nil, TorquePerLength, "N·m/m"},
		{"power", 12e3, "W", nil, NoHint, "kW"},
		{"angular speed", 151, "rpm", nil, NoHint, "rad/s"},
		{"frequency", 24, "Hz", nil, Frequency, "Hz"},
		{"angle", 0.017, "rad", nil, Angle, "rad"},
		{"ratio", 1.5, "rad", nil, NoHint, ""},
		{"twist per length", 0.02, "1/m", nil, Angle, "rad/m"},
		{"no word for it", 3, "m⁷", nil, NoHint, "m⁷"},
		{"energy hint on a length", 3, "m", nil, Energy, "m"},

		{"preferred mm", 1.3, "m", []string{"in", "mm"}, NoHint, "in"},
		{"preferred stress", 79e9, "Pa", []string{"mm", "MPa"}, NoHint, "MPa"},
		{"preferred angle", 0.017, "rad", []string{"deg"}, Angle, "deg"},
		{"a ratio is no angle", 1.5, "rad", []string{"deg"}, NoHint, ""},
		{"a ratio in per cent", 0.015, "rad", []string{"%"}, NoHint, "%"},
		{"an angle is no percentage", 0.015, "rad", []string{"%"}, Angle, "rad"},
		{"a torque is no energy", 420, "N·m", []string{"J"}, NoHint, "N·m"},
		{"an energy in kilowatt hours", 3.6e6, "J", []string{"N·m", "kW·h"}, Energy, "kW·h"},
		{"an angular speed in rpm", 151, "rad/s", []string{"Hz", "rpm"}, NoHint, "rpm"},
		{"a spread torque is no force", 150, "N", []string{"kN"}, TorquePerLength, "N·m/m"},
		{"a spread torque as preferred", 150, "N", []string{"lbf·in/in"}, TorquePerLength, "lbf·in/in"},
		{"twist per length as preferred", 0.02, "1/m", []string{"deg/m"}, Angle, "deg/m"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := parseAll(t, c.like)[0].Dim
			got := Choose(c.value, d, parseAll(t, c.prefer...), c.hint)
			if got.Text != c.want || got.Dim != d {
				t.Errorf("got %q of dimension %v, want %q", got.Text, got.Dim, c.want)
			}
		})
	}
}

// TestLadders checks that every unit of the ladders has the dimension it stands
// under and that the steps rise.
func TestLadders(t *testing.T) {
	for d, byHint := range ladders {
		for hint, ladder := range byHint {
			last := -1.0
			for _, r := range ladder {
				if u := parseAll(t, r.symbol)[0]; u.Dim != d || speaksOf(u) != hint && hint != Angle {
					t.Errorf("%s stands under %v, hint %d", r.symbol, d, hint)
				}
				if r.from <= last {
					t.Errorf("%s does not rise", r.symbol)
				}
				last = r.from
			}
		}
	}
}

func TestDescribe(t *testing.T) {
	for like, want := range map[string]string{
		"m": "a length", "N·m": "a torque", "MPa": "a stress", "mm⁴": "a second moment of area or torsion constant", "rad": "a pure number",
		"N·m/m": "a force or torque per length", "rpm": "an angular speed", "kW": "a power", "m^(1/2)": "a quantity in m^(1/2)",
		"m²·kg²": "a quantity in m²·kg²", "rad/m": "an angle per length", "N·m²": "a torsional rigidity",
	} {
		if got := Describe(parseAll(t, like)[0].Dim); got != want {
			t.Errorf("Describe(%s) = %q, want %q", like, got, want)
		}
	}
}

func TestWords(t *testing.T) {
	for word, like := range map[string]string{
		"length": "m", "torque": "N·m", "force": "N", "stress": "Pa", "angle": "rad", "number": "rad", "speed": "rad/s",
		"velocity": "m/s", "power": "W", "second moment of area": "m⁴", "area": "m²", "volume": "m³", "time": "s",
		"energy": "J", "stiffness": "N·m/rad", "pressure": "psi", "modulus": "GPa", "mass": "kg", "density": "kg/m³",
		"rotational stiffness": "N·m", "torque per length": "N·m/m",
	} {
		d, ok := Word(word)
		if want := parseAll(t, like)[0].Dim; !ok || d != want {
			t.Errorf("%s is %v, want %v", word, d, want)
		}
	}
	if _, ok := Word("frob"); ok {
		t.Error("frob is a word")
	}
	seen := map[string]bool{}
	for _, w := range Words() {
		if _, ok := Word(w); !ok || seen[w] {
			t.Errorf("%s is listed twice or unknown", w)
		}
		seen[w] = true
	}
	dims := map[Dimension]string{}
	for _, q := range quantities {
		if other, twice := dims[q.dim]; twice {
			t.Errorf("%s and %s share a row", q.shown, other)
		}
		dims[q.dim] = q.shown
		if !strings.HasPrefix(q.shown, "a ") && !strings.HasPrefix(q.shown, "an ") {
			t.Errorf("%q has no article", q.shown)
		}
	}
}
