package unit

import "testing"

// Names from the SI Brochure, 9th edition, tables 4, 7 and 8.
func TestPrefixedName(t *testing.T) {
	for _, c := range []struct{ text, name string }{
		{"TL", "teralitre"}, {"GJ", "gigajoule"}, {"dL", "decilitre"}, {"kN", "kilonewton"}, {"μm", "micrometre"}, {"\u00b5m", "micrometre"},
		{"Pa", ""}, {"hp", ""}, {"N", ""}, {"kg", "kilogram"}, {"GT2", ""}, {"", ""},
	} {
		name, ok := PrefixedName(c.text)
		if name != c.name || ok != (c.name != "") {
			t.Errorf("%q: %q, %v; want %q", c.text, name, ok, c.name)
		}
	}
}
