package class

import "time"

// MovedTo is the assignment as a copy of it for another class, with its times
// moved by whole days in its zone: the time of day stays what it is when the
// clocks change in between. A time of day that does not exist on its new day is
// an hour later there, as time.Date has it.
func (a Assignment) MovedTo(to string, days int, id string, now time.Time) (Assignment, error) {
	zone, err := time.LoadLocation(a.Zone)
	if err != nil {
		return Assignment{}, err
	}
	a.ID, a.Class, a.Revision, a.MadeAt, a.ChangedAt = id, to, 0, now, now
	for _, t := range []*time.Time{&a.Opens, &a.Due, &a.Closes} {
		if !t.IsZero() {
			*t = t.In(zone).AddDate(0, 0, days).UTC()
		}
	}
	return a, nil
}

// DaysBetween counts the days of the calendar in a zone from one time to
// another.
func DaysBetween(from, to time.Time, zone *time.Location) int {
	day := func(t time.Time) time.Time {
		y, m, d := t.In(zone).Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	return int(day(to).Sub(day(from)) / (24 * time.Hour))
}
