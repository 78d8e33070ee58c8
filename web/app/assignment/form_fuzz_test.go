package assignment

import (
	"math"
	"net/url"
	"testing"
	"time"

	"shaftbook/lessons"
)

// Whatever a form of terms holds: it is taken only as terms that make sense, and
// otherwise something is said at a field.
func FuzzTerms(f *testing.F) {
	f.Add("Wheel shaft", "2026-11-25T08:00", "2026-12-02T23:59", "", "Europe/Oslo", "10", "", "5", "1.5", "exercise-twist")
	f.Add("", "", "2027-03-28T02:30", "2027-10-31T02:30", "Local", "NaN", "-1", "1e400", "0x1p-2", "")
	f.Add("x", "9999-12-31T23:59", "0000-01-01T00:00", "2026-12-02T23:59:30", "UTC", "100%", "20", "100 %", "1000", "exercise-none")
	cells := []lessons.Cell{{ID: "exercise-twist"}, {ID: "exercise-drawn"}}
	f.Fuzz(func(t *testing.T, title, opens, due, closes, zone, late, tries, try, weight, exercise string) {
		form := url.Values{
			"title": {title}, "opens": {opens}, "due": {due}, "closes": {closes}, "zone": {zone},
			"lateoff": {late}, "tries": {tries}, "tryoff": {try}, "weight": {weight}, "exercise": {exercise},
		}
		read, a := ReadForm(form, cells, time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC))
		if read.IsWrong() {
			return
		}
		within := func(v, most float64) bool { return !math.IsNaN(v) && v >= 0 && v <= most }
		switch {
		case a.Title == "" || a.Due.IsZero():
			t.Errorf("no title or due time: %+v", a)
		case a.Opens.IsZero() || !a.Due.After(a.Opens), a.Closes.Before(a.Due):
			t.Errorf("the times are in another order: %+v", a)
		case !within(a.LateOff, 100) || !within(a.TryOff, 100) || !within(a.Weight, mostWeight) || a.Tries < 0 || a.Tries > mostTries:
			t.Errorf("a number is out of its range: %+v", a)
		case len(a.Exercises) == 0 || !a.Counts("exercise-twist") && !a.Counts("exercise-drawn"):
			t.Errorf("no exercise counts, or all of them where one was chosen: %+v", a)
		}
		if _, err := LoadZone(a.Zone); err != nil {
			t.Errorf("the zone %q: %v", a.Zone, err)
		}
	})
}
