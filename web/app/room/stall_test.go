package room

import (
	"testing"
	"time"
)

func TestStuck(t *testing.T) {
	now := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	ago := func(m int) time.Time { return now.Add(-time.Duration(m) * time.Minute) }
	for _, c := range []struct {
		name string
		work Work
		want string
	}{
		{"nothing begun", Work{Parts: 1, Here: true}, ""},
		{"just begun", Work{Begun: ago(1), Last: ago(1), Parts: 1}, ""},
		{"one wrong answer", Work{Begun: ago(9), Last: ago(2), Parts: 1, Wrong: 1}, ""},
		{"two wrong answers", Work{Begun: ago(3), Last: ago(1), Parts: 2, Right: 1, Wrong: 2}, "2 wrong answers"},
		{"every hint", Work{Begun: ago(3), Last: ago(1), Parts: 1, AllHints: true}, "every hint shown"},
		{"at the very end of ten minutes", Work{Begun: ago(10), Last: ago(10), Parts: 1}, "at it for 10 min"},
		{"a second before it", Work{Begun: ago(10).Add(time.Second), Last: ago(5), Parts: 1}, ""},
		{"no tries left", Work{Begun: ago(5), Last: ago(1), Parts: 1, Lost: 1, Wrong: 3}, "no tries left"},
		{"done", Work{Begun: ago(60), Last: ago(1), Parts: 2, Right: 2, Wrong: 2}, ""},
		{"gone home", Work{Begun: ago(60), Last: ago(16), Parts: 1, Wrong: 2}, ""},
		{"long silent but here", Work{Begun: ago(60), Last: ago(40), Here: true, Parts: 1}, "at it for 60 min"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.work.Stuck(now); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

func TestStalls(t *testing.T) {
	for _, c := range []struct {
		name          string
		stuck, atWork int
		want          bool
	}{
		{"nobody there", 0, 0, false}, {"one of one", 1, 1, false}, {"two of two", 2, 2, true},
		{"a third", 10, 30, true}, {"less than a third", 9, 30, false},
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
