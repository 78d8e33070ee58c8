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
		{"spaces do not make it long", "       a", tooCommon},
		{"signs and emoji", "🪵🪵🪵mill!", ""},
		{"200 characters", strings.Repeat("wheel", 40), ""},
		{"7 characters", "wh33lpi", tooShort},
		{"7 characters with an accent set apart", "wh33lp" + "e\u0301", tooShort},
		{"201 characters", strings.Repeat("wheel", 40) + "s", tooLong},
		{"the sign-in name", "S01-millpond", guessable},
		{"the sign-in name with a year", "s01-MillPond2026", guessable},
		{"the sign-in name twice", "s01-millponds01-millpond", guessable},
		{"the server", "ShaftBook1", guessable},
		{"common", "Password123", tooCommon},
		{"common with spaces", "pass word 123", tooCommon},
		{"one sign", "zzzzzzzzz", tooCommon},
		{"digits in order", "12345678", tooCommon},
		{"digits back", "87654321", tooCommon},
		{"a row of keys", "qwertyuio", tooCommon},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Wrong(c.password, "s01-millpond", "")
			if got != c.want {
				t.Errorf("%q: %q, want %q", c.password, got, c.want)
			}
		})
	}
}
