package class

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// timeIn reads a time of day in a zone. The changes of clocks of Europe/Oslo are the
// last Sundays of October and March at 01:00 UTC (directive 2000/84/EC).
func timeIn(t testing.TB, s, zone string) time.Time {
	t.Helper()
	loc, err := time.LoadLocation(zone)
	if err != nil {
		t.Fatal(err)
	}
	if s == "" {
		return time.Time{}
	}
	v, err := time.ParseInLocation("2006-01-02 15:04:05", s, loc)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestLateCountsBegunDays(t *testing.T) {
	const zone = "Europe/Oslo"
	for _, c := range []struct {
		name, due, closes, at string
		days                  int
		closed                bool
	}{
		{"well before", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-20 08:00:00", 0, false},
		{"at the second it is due", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-25 23:59:00", 0, false},
		{"a second later", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-25 23:59:01", 1, false},
		{"after midnight of the same day late", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-26 00:00:01", 1, false},
		{"at the end of the first day", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-26 23:59:00", 1, false},
		{"a second into the second day", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-26 23:59:01", 2, false},
		{"at the second it closes", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-28 23:59:00", 3, false},
		{"a second after it closed", "2026-11-25 23:59:00", "2026-11-28 23:59:00", "2026-11-28 23:59:01", 4, true},
		{"never late", "2026-11-25 23:59:00", "2026-11-25 23:59:00", "2026-11-25 23:59:01", 1, true},
		{"a day of 25 hours ends", "2026-10-24 12:00:00", "2026-10-31 12:00:00", "2026-10-25 12:00:00", 1, false},
		{"a second after 25 hours", "2026-10-24 12:00:00", "2026-10-31 12:00:00", "2026-10-25 12:00:01", 2, false},
		{"a day of 23 hours ends", "2027-03-27 12:00:00", "2027-04-03 12:00:00", "2027-03-28 12:00:00", 1, false},
		{"a second after 23 hours", "2027-03-27 12:00:00", "2027-04-03 12:00:00", "2027-03-28 12:00:01", 2, false},
		{"never due", "", "", "2026-11-25 23:59:01", 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Assignment{Zone: zone, Due: timeIn(t, c.due, zone).UTC(), Closes: timeIn(t, c.closes, zone).UTC()}
			if c.due == "" {
				a.Due, a.Closes = time.Time{}, time.Time{}
			}
			days, closed := a.TermsFor(nil).Late(timeIn(t, c.at, zone).UTC())
			if days != c.days || closed != c.closed {
				t.Errorf("%d days, closed %t; want %d, %t", days, closed, c.days, c.closed)
			}
		})
	}
}

func TestTermsForAnExtension(t *testing.T) {
	const zone = "Europe/Oslo"
	due, closes := timeIn(t, "2026-11-25 23:59:00", zone), timeIn(t, "2026-11-28 23:59:00", zone)
	later, muchLater := timeIn(t, "2026-11-27 23:59:00", zone), timeIn(t, "2026-12-05 23:59:00", zone)
	for _, c := range []struct {
		name               string
		x                  *Extension
		wantDue, wantClose time.Time
	}{
		{"none", nil, due, closes},
		{"ended", &Extension{}, due, closes},
		{"due before the closing", &Extension{Due: later}, later, closes},
		{"due after the closing", &Extension{Due: muchLater}, muchLater, muchLater},
		{"both", &Extension{Due: later, Closes: muchLater}, later, muchLater},
		{"closes before it is due", &Extension{Due: muchLater, Closes: later}, muchLater, muchLater},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Assignment{Zone: zone, Due: due, Closes: closes, Tries: 3, TryOff: 10, LateOff: 5}
			got := a.TermsFor(c.x)
			if !got.Due.Equal(c.wantDue) || !got.Closes.Equal(c.wantClose) {
				t.Errorf("due %s, closes %s; want %s, %s", got.Due, got.Closes, c.wantDue, c.wantClose)
			}
			if got.Tries != 3 || got.TryOff != 10 || got.LateOff != 5 {
				t.Errorf("costs %+v", got)
			}
		})
	}
}

func TestOpenedFromItsSecondOn(t *testing.T) {
	opens := timeIn(t, "2026-11-25 08:00:00", "Europe/Oslo")
	terms := Terms{Opens: opens}
	if terms.Opened(opens.Add(-time.Second)) || !terms.Opened(opens) || !(Terms{}).Opened(opens) {
		t.Error("an assignment opens at its second, or was always open")
	}
}

// Days late grow with time, and a later answer is never in an earlier day.
func TestLateGrows(t *testing.T) {
	zones := []string{"Europe/Oslo", "UTC", "America/New_York", "Australia/Lord_Howe"}
	rapid.Check(t, func(r *rapid.T) {
		due := time.Unix(rapid.Int64Range(1_700_000_000, 1_900_000_000).Draw(r, "due"), 0)
		a := Assignment{Zone: rapid.SampledFrom(zones).Draw(r, "zone"), Due: due, Closes: due}
		terms := a.TermsFor(nil)
		after := rapid.Int64Range(0, 40*86400).Draw(r, "after")
		days, _ := terms.Late(due.Add(time.Duration(after) * time.Second))
		more, _ := terms.Late(due.Add(time.Duration(after+rapid.Int64Range(0, 86400).Draw(r, "more")) * time.Second))
		if more < days {
			r.Fatalf("%d days late, later %d", days, more)
		}
		// A day is 23 to 25 hours, of 24 in the mean of a change and its return.
		if low, high := (after-3601)/86400, (after+3600)/86400+1; after > 0 && (int64(days) < low || int64(days) > high) {
			r.Fatalf("%d days for %d s", days, after)
		}
	})
}
