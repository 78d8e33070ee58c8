package room

import (
	"testing"
	"time"
)

func TestStalls(t *testing.T) {
	for _, c := range []struct {
		name          string
		stuck, atWork int
		want          bool
	}{
		{"nobody there", 0, 0, false}, {"one of one", 1, 1, false}, {"two of two", 2, 2, false}, {"two of 29", 2, 29, false},
		{"three of three", 3, 3, true}, {"a fifth", 6, 30, true}, {"less than a fifth", 5, 30, false},
	} {
		if got := Stalls(c.stuck, c.atWork); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

func TestMinutes(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"just now": 59 * time.Second, "1 min": 119 * time.Second, "119 min": 119 * time.Minute,
		"2 h": 179 * time.Minute, "47 h": 47 * time.Hour, "2 days": 49 * time.Hour,
	} {
		if got := minutes(d); got != want {
			t.Errorf("%v is %q, want %q", d, got, want)
		}
	}
}
