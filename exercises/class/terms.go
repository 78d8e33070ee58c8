package class

import "time"

// Terms are the times and costs under which one student works in an assignment.
type Terms struct {
	Opens  time.Time // zero if it was always open
	Due    time.Time // zero if it is never due
	Closes time.Time // not before Due; zero as Due is

	LateOff float64 // percent for each day, or part of one, after Due
	Tries   int     // for each part; 0 leaves it to the exercise
	TryOff  float64 // percent for each wrong try before the best one
	Test    bool    // whether there is no practice before it closes
}

// TermsFor returns the terms of the assignment for a student with an extension,
// or without one (nil). The times are in the assignment's zone, or in UTC if
// this machine does not know the zone. An extension without Closes moves the
// closing only as far as its Due needs.
func (a *Assignment) TermsFor(x *Extension) Terms {
	zone, err := time.LoadLocation(a.Zone)
	if err != nil {
		zone = time.UTC
	}
	due, closes := a.Due, a.Closes
	if x != nil && !x.Due.IsZero() {
		due = x.Due
		if !x.Closes.IsZero() {
			closes = x.Closes
		}
	}
	if closes.Before(due) || due.IsZero() {
		closes = due
	}
	return Terms{
		Opens: inZone(a.Opens, zone), Due: inZone(due, zone), Closes: inZone(closes, zone),
		LateOff: a.LateOff, Tries: a.Tries, TryOff: a.TryOff, Test: a.Test,
	}
}

// ExtensionOf returns the extension of a student among those of an assignment, or
// nil.
func ExtensionOf(list []Extension, person string) *Extension {
	for i := range list {
		if list[i].Person == person {
			return &list[i]
		}
	}
	return nil
}

func inZone(t time.Time, zone *time.Location) time.Time {
	if t.IsZero() {
		return t
	}
	return t.In(zone)
}

// Opened reports whether answers are taken already: from Opens itself on.
func (t Terms) Opened(at time.Time) bool { return !at.Before(t.Opens) }

// PastDue reports whether it is after Due. At Due itself it is not.
func (t Terms) PastDue(at time.Time) bool { return !t.Due.IsZero() && at.After(t.Due) }

// Late returns how many days after Due an answer comes, part of a day as a whole
// one, and whether it comes after Closes. An answer at Due itself is not late, and
// one at Closes itself is taken.
//
// A day lasts until the same time of day comes round again in the zone of Due,
// which is 23 or 25 hours where the clocks change in between.
func (t Terms) Late(at time.Time) (days int, closed bool) {
	if !t.PastDue(at) {
		return 0, false
	}
	days = max(1, DaysBetween(t.Due, at, t.Due.Location()))
	for at.After(t.Due.AddDate(0, 0, days)) {
		days++
	}
	return days, at.After(t.Closes)
}
