package classroom

import (
	"testing"
)

// A share is rounded as a person would round it: (57.5 + 0)/2 is 28.75.
func TestPercentRoundsAsAPersonWould(t *testing.T) {
	for _, c := range []struct {
		share float64
		want  string
	}{{100 * (4.6 / 8) / 2, "28.8"}, {0, "0"}, {100, "100"}, {100.0 / 3, "33.3"}, {99.94, "99.9"}} {
		if got := percent(c.share); got != c.want+"\u00a0%" {
			t.Errorf("%v: %q, want %s", c.share, got, c.want)
		}
	}
}
