package page

import (
	"slices"
	"testing"
	"time"
)

// TestShort takes Britain's clock from the time zone database: an hour ahead of UTC
// until the last Sunday of October.
func TestShort(t *testing.T) {
	now := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name, home string
		at         time.Time
		want       string
	}{
		{"the class's clock", "Europe/London", time.Date(2026, 12, 1, 18, 0, 0, 0, time.UTC), "Tue\u00a01\u00a0Dec\u00a018:00"},
		{"another clock", "Europe/Oslo", time.Date(2026, 10, 1, 17, 0, 0, 0, time.UTC), "Thu\u00a01\u00a0Oct\u00a018:00\u00a0BST"},
		{"another year", "Europe/London", time.Date(2027, 1, 4, 8, 30, 0, 0, time.UTC), "Mon\u00a04\u00a0Jan\u00a02027\u00a008:30"},
		{"no time", "Europe/London", time.Time{}, ""},
	} {
		if got := Short(c.at, "Europe/London", c.home, now); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestAlignDecimals(t *testing.T) {
	for _, c := range []struct {
		name        string
		texts, free []string
	}{
		{"whole numbers", []string{"0", "12"}, []string{"", ""}},
		{"one and two places", []string{"2", "1.5", "0.25"}, []string{".00", "0", ""}},
		{"a cell without a number", []string{"", "1.5"}, []string{".0", ""}},
		{"no column", nil, nil},
	} {
		var column []*Decimal
		for _, text := range c.texts {
			column = append(column, &Decimal{Text: text})
		}
		AlignDecimals(column)
		var got []string
		for _, d := range column {
			got = append(got, d.Free)
		}
		if !slices.Equal(got, c.free) {
			t.Errorf("%s: %q, want %q", c.name, got, c.free)
		}
	}
}
