package page

import "testing"

func TestValueHTML(t *testing.T) {
	const s, e = `<span class="thousand">`, `</span>`
	for _, c := range []struct{ name, text, want string }{
		{"four digits stay together", "1024 mm", "1024 mm"},
		{"five digits", "16490 mm⁴", s + "16" + e + "490 mm⁴"},
		{"seven digits", "1234567", s + "1" + e + s + "234" + e + "567"},
		{"before a decimal sign", "164900.25 mm", s + "164" + e + "900.25 mm"},
		{"decimals are not grouped", "0.123456", "0.123456"},
		{"a negative number", "−164900", "−" + s + "164" + e + "900"},
		{"the digits of a name are no number", "M164900", "M164900"},
		{"a degree", "0.6933 deg", "0.6933°"},
		{"two of them", "between 0.38 deg and 0.66 deg", "between 0.38° and 0.66°"},
		{"a degree in a unit", "0.4 deg/m", "0.4°/m"},
		{"words are left alone", "degrees", "degrees"},
		{"marks of HTML", "a < b", "a &lt; b"},
		{"a character by its number", "a ' b", "a &#39; b"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := valueHTML(c.text); got != c.want {
				t.Errorf("%s\nwant %s", got, c.want)
			}
		})
	}
}

func TestFractionOf(t *testing.T) {
	for _, c := range []struct {
		text, want string
		ok         bool
	}{
		{"12", "", true}, {"0.0627", ".0627", true}, {"7.83×10⁻⁵", ".83×10⁻⁵", true}, {"≈ 4.5", ".5", true},
		{"−3", "", true}, {"2×10⁸", "×10⁸", true}, {"thick end", "", false}, {"", "", false}, {"3 mm", "", false},
	} {
		if got, ok := fractionOf(c.text); got != c.want || ok != c.ok {
			t.Errorf("%q: %q, %v; want %q, %v", c.text, got, ok, c.want, c.ok)
		}
	}
}
