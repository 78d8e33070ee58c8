package class

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Central European Time is UTC+1, its summer time UTC+2; they change at 01:00
// UTC on the last Sundays of March and October (directive 2000/84/EC).
func TestReadLocal(t *testing.T) {
	oslo, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, in, want, remark, fault string }{
		{"winter", "2026-11-25T23:59", "2026-11-25T22:59:00Z", "", ""},
		{"summer", "2026-08-25T23:59", "2026-08-25T21:59:00Z", "", ""},
		{"with seconds", "2026-11-25T23:59:30", "2026-11-25T22:59:30Z", "", ""},
		{"just before the hour that comes twice", "2026-10-25T01:59", "2026-10-24T23:59:00Z", "", ""},
		{"first minute that comes twice", "2026-10-25T02:00", "2026-10-25T01:00:00Z", "UTC", ""},
		{"last minute that comes twice", "2026-10-25T02:59", "2026-10-25T01:59:00Z", "UTC", ""},
		{"just after it", "2026-10-25T03:00", "2026-10-25T02:00:00Z", "", ""},
		{"just before the hour that is left out", "2027-03-28T01:59", "2027-03-28T00:59:00Z", "", ""},
		{"first minute left out", "2027-03-28T02:00", "", "", "01:00 or 03:00"},
		{"in the middle of it", "2027-03-28T02:30", "", "", "01:30 or 03:30"},
		{"just after it was left out", "2027-03-28T03:00", "2027-03-28T01:00:00Z", "", ""},
		{"nothing", "", "", "", "date"},
		{"a day that is not there", "2026-02-30T10:00", "", "", "date"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadLocal(c.in, oslo)
			if c.fault != "" {
				if err == nil || !strings.Contains(err.Error(), c.fault) {
					t.Fatalf("error %v, want one with %q", err, c.fault)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if at := got.At.UTC().Format(time.RFC3339); at != c.want {
				t.Errorf("%s, want %s", at, c.want)
			}
			if (got.Remark == "") != (c.remark == "") || !strings.Contains(got.Remark, c.remark) {
				t.Errorf("remark %q, want %q", got.Remark, c.remark)
			}
		})
	}
}

// Whatever a form shows of an instant is read as an instant that shows the same.
func TestReadLocalReadsWhatIsShown(t *testing.T) {
	zones := []string{"Europe/Oslo", "UTC", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu"}
	rapid.Check(t, func(r *rapid.T) {
		zone, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(r, "zone"))
		if err != nil {
			r.Fatal(err)
		}
		shown := time.Unix(60*rapid.Int64Range(28_000_000, 32_000_000).Draw(r, "minute"), 0).In(zone).Format(LocalForm)
		got, err := ReadLocal(shown, zone)
		if err != nil {
			r.Fatalf("%s: %v", shown, err)
		}
		if again := got.At.Format(LocalForm); again != shown {
			r.Fatalf("%s read as %s", shown, again)
		}
	})
}
