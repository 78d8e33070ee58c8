package marking

import (
	"testing"
)

func TestSlipWords(t *testing.T) {
	pick := &Scheme{Kind: Pick, Options: []Option{{Name: "softer", Text: "The shaft is softer."}}}
	for _, c := range []struct {
		name       string
		ask        *Scheme
		kept, want string
	}{
		{"one", &Scheme{}, "radius-for-diameter", "radius for diameter"},
		{"two that cannot be told apart", &Scheme{}, "small-end dropped-factor", "small end or dropped factor"},
		{"a sentence", pick, "softer", "The shaft is softer."},
		{"of no part", nil, "small-end", "small end"},
		{"none", &Scheme{}, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.ask.SlipWords(c.kept); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
	if got := pick.Said("softer"); got != "The shaft is softer." {
		t.Errorf("picked: %q", got)
	}
	if got := pick.Said("0.97 deg"); got != "0.97 deg" {
		t.Errorf("typed: %q", got)
	}
}
