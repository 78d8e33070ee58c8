package password

import (
	"strings"
	"testing"
)

func TestWrong(t *testing.T) {
	for _, c := range []struct{ name, password, want string }{
		{"a few words", "quill before lay shaft", ""},
		{"eight characters", "wh33lpit", ""},
		{"eight characters, not bytes", "häßlich1", ""},
		{"no composition rule", "onlylowercase", ""},
		{"spaces do not make it long", "       a", "tried first"},
		{"signs and emoji", "🪵🪵🪵mill!", ""},
		{"200 characters", strings.Repeat("wheel", 40), ""},
		{"7 characters", "wh33lpi", "at least 8"},
		{"7 characters with an accent set apart", "wh33lp" + "e\u0301", "at least 8"},
		{"201 characters", strings.Repeat("wheel", 40) + "s", "at most 200"},
		{"the sign-in name", "S01-millpond", "your name"},
		{"the sign-in name with a year", "s01-MillPond2026", "your name"},
		{"the sign-in name twice", "s01-millponds01-millpond", "your name"},
		{"the server", "ShaftBook1", "the name of this server"},
		{"common", "Password123", "tried first"},
		{"common with spaces", "pass word 123", "tried first"},
		{"one sign", "zzzzzzzzz", "tried first"},
		{"digits in order", "12345678", "tried first"},
		{"digits back", "87654321", "tried first"},
		{"a row of keys", "qwertyuio", "tried first"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Wrong(c.password, "s01-millpond", "")
			if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
				t.Errorf("%q: %q, want %q", c.password, got, c.want)
			}
		})
	}
}
