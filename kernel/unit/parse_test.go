package unit

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseText(t *testing.T) {
	for text, want := range map[string]string{
		"":           "",
		"1":          "",
		"N*m":        "N·m",
		"N·m/m":      "N·m/m",
		"kg/m^3":     "kg/m³",
		"mm^4":       "mm⁴",
		"m^-2":       "m⁻²",
		"m⁻²":        "m⁻²",
		"m^−2":       "m⁻²",
		"m^(1/2)":    "m^(1/2)",
		"m^(2/4)":    "m^(1/2)",
		"m^(3)":      "m³",
		"1/s":        "1/s",
		"N/(m·s)":    "N/(m·s)",
		"N/(m)":      "N/m",
		"N · m / s":  "N·m/s",
		"µm":         "μm",
		"\u2126":     "Ω",
		"rad/s":      "rad/s",
		"°/m":        "°/m",
		"lbf × in":   "lbf·in",
		"m¹":         "m",
		"W÷(m ⋅ K)":  "W/(m·K)",
		"kN·m·m/m^2": "kN·m·m/m²",
	} {
		u, err := Parse(text)
		if err != nil || u.Text != want {
			t.Errorf("Parse(%q) = %q, %v; want %q", text, u.Text, err, want)
		}
	}
}

func TestParseErrors(t *testing.T) {
	cases := []struct {
		text           string
		offset, length int
		instead        string
	}{
		{"frob", 0, 4, ""},
		{"N·frob", 3, 4, ""},
		{"G", 0, 1, ""},
		{"Nm", 0, 2, "N·m"},
		{"kg/sec", 3, 3, "s"},
		{"um", 0, 2, "μm"},
		{"°C", 0, 3, ""},
		{"N/m·s", 3, 2, "N/(m·s)"},
		{"N/m/s", 3, 1, "N/(m·s)"},
		{"N/(m", 2, 1, ""},
		{"N·", 3, 0, ""},
		{"N/", 2, 0, ""},
		{"N)", 1, 1, ""},
		{"m^", 1, 1, ""},
		{"m^31", 1, 3, ""},
		{"m^(1/0)", 1, 6, ""},
		{"m^(1/2", 1, 5, ""},
		{"m^1.5", 3, 1, ""},
		{"Qm^30", 0, 5, ""},
		{"qm^30", 0, 5, ""},
	}
	for _, c := range cases {
		u, err := Parse(c.text)
		var e *ParseError
		if !errors.As(err, &e) {
			t.Errorf("Parse(%q) = %v, %v", c.text, u, err)
			continue
		}
		if e.Offset != c.offset || e.Length != c.length || e.Message == "" || e.Instead != c.instead {
			t.Errorf("Parse(%q): %d+%d %q, %q", c.text, e.Offset, e.Length, e.Message, e.Instead)
		}
	}
	for _, text := range []string{strings.Repeat("m·", 16) + "m", strings.Repeat(" ", 201) + "m"} {
		if _, err := Parse(text); err == nil {
			t.Errorf("Parse(%q) passed", text)
		}
	}
}

func TestSpelling(t *testing.T) {
	for text, want := range map[string]string{
		"sec": "s", "SEC": "s", "hrs": "h", "lbs": "lb", "kips": "kip", "degrees": "deg", "Degree": "deg",
		"metres": "m", "meter": "m", "millimetres": "mm", "Newton": "N", "kilonewtons": "kN", "inches": "in",
		"feet": "ft", "Nm": "N·m", "kNm": "kN·m", "kN.m": "kN·m", "N-m": "N·m", "Nmm": "N·mm", "kWh": "kW·h",
		"ftlb": "lbf·ft", "inlb": "lbf·in", "uN": "μN", "mps": "m/s", "mph": "mi/h", "cc": "cm³",
		"KW": "kW", "Kg": "kg", "KN": "kN", "gpa": "GPa", "Gpa": "GPa", "HP": "hp", "ft-lb": "ft·lbf", "lb-ft": "lbf·ft",
		"kip-ft": "kip·ft", "N.m": "N·m", "pounds": "lb", "Mpa": "MPa", "revolutions": "rev", "horsepower": "hp", "um": "μm",
	} {
		got, ok := Spelling(text)
		if !ok || got != want {
			t.Errorf("Spelling(%q) = %q, %v; want %q", text, got, ok, want)
		}
		if _, err := Parse(got); err != nil {
			t.Errorf("Spelling(%q) = %q: %v", text, got, err)
		}
		if Refuse(text) == "" {
			t.Errorf("Refuse(%q) says nothing", text)
		}
	}
	for _, text := range []string{"gal", "mil", "grad", "mdeg", "PS", "mpa", "MM", "kn", "°C", "furlong", "is", "long"} {
		if got, ok := Spelling(text); ok {
			t.Errorf("Spelling(%q) = %q, which is not sure", text, got)
		}
	}
	for text, want := range map[string]string{
		"mpa": "MPa mPa", "MM": "mm Mm", "mw": "MW mW", "PS": "735.49875 W", "lbs": "lb", "gal": "3.785411784 L 4.54609 L",
		"grad": "deg 0.9 deg", "N": "", "frob": "", "bar": "100 kPa",
	} {
		if got := strings.Join(Meanings(text), " "); got != want {
			t.Errorf("Meanings(%q) = %q, want %q", text, got, want)
		}
	}
	for _, text := range []string{"N", "GPa", "frob", "", "x"} {
		if got, ok := Spelling(text); ok {
			t.Errorf("Spelling(%q) = %q", text, got)
		}
		if got := Refuse(text); got != "" {
			t.Errorf("Refuse(%q) = %q", text, got)
		}
	}
	for text, r := range refused {
		if _, ok := Lookup(text); ok {
			t.Errorf("%s is refused and known", text)
		}
		for _, v := range r.values {
			number, symbol, found := strings.Cut(v, " ")
			if !found {
				symbol = number
			}
			if _, err := Parse(symbol); err != nil {
				t.Errorf("%s is said to be %s: %v", text, v, err)
			}
		}
		if r.instead == "" && r.reason == "" {
			t.Errorf("%s is refused without a reason", text)
		}
	}
}

func TestNearest(t *testing.T) {
	for text, want := range map[string]string{
		"gpa": "GPa", "mpa": "MPa", "KN": "kN", "Kg": "kg", "rmp": "rpm", "dge": "deg", "lbff": "lbf", "MM": "mm",
		"kpi": "kip", "HZ": "Hz", "Rad": "rad", "frobnicate": "", "N": "", "": "",
	} {
		got := Nearest(text, 1)
		if want == "" && len(got) > 0 || want != "" && (len(got) == 0 || got[0] != want) {
			t.Errorf("Nearest(%q) = %v, want %q", text, got, want)
		}
	}
	if got := Nearest("gpa", 0); len(got) != 0 {
		t.Errorf("none asked for: %v", got)
	}
}

// anyUnit draws a compound that Parse reads.
var anyUnit = rapid.Custom(func(t *rapid.T) Unit {
	u := One
	for range rapid.IntRange(0, 4).Draw(t, "parts") {
		e := rapid.SampledFrom(table).Draw(t, "entry")
		next, _ := Lookup(e.Symbols[0])
		n := rapid.IntRange(-3, 3).Filter(func(n int) bool { return n != 0 }).Draw(t, "exponent")
		raised, ok := Pow(next, Whole(n))
		if !ok {
			continue
		}
		if product, ok := Mul(u, raised); ok {
			u = product
		}
	}
	return u
})

func TestTextReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := anyUnit.Draw(t, "unit")
		if v := anyUnit.Draw(t, "below"); rapid.Bool().Draw(t, "divide") {
			if q, ok := Div(u, v); ok {
				u = q
			}
		}
		got, err := Parse(u.Text)
		if err != nil || got != u {
			t.Fatalf("%+v reads back as %+v, %v", u, got, err)
		}
	})
}

func TestAlgebra(t *testing.T) {
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-14*math.Abs(b) }
	rapid.Check(t, func(t *rapid.T) {
		u, v := anyUnit.Draw(t, "u"), anyUnit.Draw(t, "v")
		uv, ok := Mul(u, v)
		if !ok {
			return
		}
		vu, _ := Mul(v, u)
		if uv.Dim != vu.Dim || uv.Factor != vu.Factor {
			t.Fatalf("%v·%v and %v·%v differ", u, v, v, u)
		}
		back, ok := Div(uv, v)
		if ok && (back.Dim != u.Dim || !near(back.Factor, u.Factor)) {
			t.Fatalf("(%v·%v)/%v = %v", u, v, v, back)
		}
		if d, ok := u.Dim.Mul(v.Dim); !ok || d != uv.Dim {
			t.Fatalf("dimension of %v", uv)
		}
		square, ok := Pow(u, Whole(2))
		half, _ := NewRational(1, 2)
		if !ok {
			return
		}
		if root, ok := Pow(square, half); ok && (root.Dim != u.Dim || !near(root.Factor, u.Factor)) {
			t.Fatalf("√(%v)² = %v", u, root)
		}
	})
}

func TestMulRefusesStrangers(t *testing.T) {
	m, _ := Lookup("m")
	stranger := Unit{Text: "frob", Factor: 2}
	if _, ok := Mul(m, stranger); ok {
		t.Error("Mul took a unit that it cannot read")
	}
	if _, ok := Div(stranger, m); ok {
		t.Error("Div took a unit that it cannot read")
	}
	if _, ok := Pow(stranger, Whole(2)); ok {
		t.Error("Pow took a unit that it cannot read")
	}
	if _, ok := Pow(m, Whole(31)); ok {
		t.Error("an exponent out of range passed")
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"N·m/m", "kg/m^3", "mm⁴", "1/s", "N/(m·s)", "m^(1/2)", "°C", "Qm^30", "N·m/m·s", "lbf*in", "%", "m^-", "µΩ", "ftlb", "kN.m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		Nearest(text, 3)
		Refuse(text)
		u, err := Parse(text)
		if err != nil {
			var e *ParseError
			if !errors.As(err, &e) || e.Offset < 0 || e.Offset > len(text) || e.Message == "" {
				t.Fatalf("Parse(%q): %#v", text, err)
			}
			return
		}
		if !(u.Factor > 0) || math.IsInf(u.Factor, 0) {
			t.Fatalf("Parse(%q) has the factor %v", text, u.Factor)
		}
		if again, err := Parse(u.Text); err != nil || again != u {
			t.Fatalf("Parse(%q) = %+v, which reads as %+v, %v", text, u, again, err)
		}
		if lo, hi := Bounds(u); !(lo <= u.Factor && u.Factor <= hi) {
			t.Fatalf("bounds of %q: %v, %v", text, lo, hi)
		}
	})
}
