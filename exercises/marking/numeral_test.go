package marking

import (
	"strings"
	"testing"
)

// TestNumerals reads numbers out of longer texts.
func TestNumerals(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       string
	}{
		{"a comma between arguments is no decimal mark", "max(1,2)", "1 2"},
		{"a comma before the first argument", "max(,5)", "5"},
		{"a point there", "max(.5)", ".5"},
		{"a comma in front of a number", "≈ ,5", ",5"},
		{"brackets that are not a function's", "(0,3)", "0,3"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, n := range numeralsOf(c.text) {
				got = append(got, n.text)
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("%q holds %q, want %q", c.text, s, c.want)
			}
		})
	}
}

// FuzzNumerals holds that reading ends, and that every number stands where it says.
func FuzzNumerals(f *testing.F) {
	for _, text := range []string{"max(,5)", "1.000,5", "x²(,1", "5. deg", "1'000", "log10(2,5)", ",.,5"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		end := 0
		for _, n := range numeralsOf(text) {
			if n.text == "" || n.at < end || !strings.HasPrefix(text[n.at:], n.text) {
				t.Fatalf("%q: %q at %d", text, n.text, n.at)
			}
			end = n.at + len(n.text)
		}
	})
}
