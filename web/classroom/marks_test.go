package classroom

import (
	"math"
	"shaftbook/exercises/class"
	"testing"
)

// What an instructor types as points is refused at its field, or is a number
// that the exercise can give.
func FuzzReadOverride(f *testing.F) {
	for _, seed := range []string{"2", "2,5", "-0", "NaN", "1e400", "0x1p1", "", "٣", "2.5.1", "+Inf"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		form := overrideForm("exercise-twist", &class.Mark{Full: 3}, text, "on paper")
		points, ok := readOverride(form, 3)
		if ok != (form[0].Wrong == "") || ok && (!(points >= 0 && points <= 3) || math.Signbit(points)) {
			t.Errorf("%q: %v, taken %v, told %q", text, points, ok, form[0].Wrong)
		}
	})
}

// A share is rounded as a person would round it: (57.5 + 0)/2 is 28.75.
func TestPercentRoundsAsAPersonWould(t *testing.T) {
	for _, c := range []struct {
		share float64
		want  string
	}{{100 * (4.6 / 8) / 2, "28.8"}, {0, "0.0"}, {100, "100.0"}, {100.0 / 3, "33.3"}, {99.94, "99.9"}} {
		if got := percent(c.share); got != c.want+"\u00a0%" {
			t.Errorf("%v: %q, want %s", c.share, got, c.want)
		}
	}
}
