package page

import (
	"regexp"
	"testing"
)

func TestNamed(t *testing.T) {
	tags := regexp.MustCompile(`<[^>]*>`)
	for _, c := range []struct{ name, text, symbols, seen string }{
		{"no name", "a < b & c", "", "a < b & c"},
		{"a name with an index", "because θ_soft is too large", "θsoft", "because θsoft is too large"},
		{"two of them in a power", "(d_0 + d_1)^4 is meant", "d0 d1", "(d0 + d1)⁴ is meant"},
		{"a power of two digits stays", "x^12", "", "x^12"},
		{"what closes a sentence is no index", "the slope of d_1, and θ_n.", "d1 θn", "the slope of d1, and θn."},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := string(Named(c.text))
			symbols := ""
			for _, m := range regexp.MustCompile(`<math.*?</math>`).FindAllString(got, -1) {
				if symbols != "" {
					symbols += " "
				}
				symbols += tags.ReplaceAllString(m, "")
			}
			if symbols != c.symbols {
				t.Errorf("symbols %q, want %q", symbols, c.symbols)
			}
			if seen := textOf(got); seen != c.seen {
				t.Errorf("%q, want %q", seen, c.seen)
			}
		})
	}
}
