package class

import (
	"testing"
	"time"
	_ "time/tzdata" // so that the test needs no zones of the machine
)

// Days on which clocks change: the last Sundays of October and March (directive
// 2000/84/EC of the European Union, which Norway follows).
func TestMovedToKeepsTheTimeOfDay(t *testing.T) {
	oslo, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, due, want string
		days            int
	}{
		{"within winter", "2026-11-25 23:59", "2026-12-02 23:59", 7},
		{"from summer into winter", "2026-10-20 23:59", "2026-10-27 23:59", 7},
		{"from winter into summer", "2027-03-25 23:59", "2027-04-01 23:59", 7},
		{"a year", "2026-11-25 23:59", "2027-11-24 23:59", 364},
		{"back", "2026-11-02 08:00", "2026-10-19 08:00", -14},
		{"to a time that is not there", "2027-03-21 02:30", "2027-03-28 03:30", 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			due, err := time.ParseInLocation("2006-01-02 15:04", c.due, oslo)
			if err != nil {
				t.Fatal(err)
			}
			a := Assignment{ID: "A", Class: "old", Title: "T", Zone: "Europe/Oslo", Due: due, Closes: due, Revision: 3}
			b, err := a.MovedTo("new", c.days, "B", due)
			if err != nil {
				t.Fatal(err)
			}
			if got := b.Due.In(oslo).Format("2006-01-02 15:04"); got != c.want {
				t.Errorf("due %s, want %s", got, c.want)
			}
			if b.ID != "B" || b.Class != "new" || b.Revision != 0 || !b.Opens.IsZero() || !b.Closes.Equal(b.Due) || a.ID != "A" {
				t.Errorf("copied as %+v", b)
			}
			if got := DaysBetween(a.Due, b.Due, oslo); got != c.days {
				t.Errorf("%d days between, want %d", got, c.days)
			}
		})
	}
	if _, err := (Assignment{Zone: "Nowhere/None"}).MovedTo("new", 7, "B", time.Now()); err == nil {
		t.Error("a zone that is not there was taken")
	}
}
