package class

import (
	"fmt"
	"time"
)

// LocalForm is how a form writes a date and a time of day: a local date and time
// of the HTML standard, without seconds.
const LocalForm = "2006-01-02T15:04"

// A LocalTime is a date and a time of day in a zone. On a day on which the clocks
// change it may mean two instants, or none.
type LocalTime struct {
	At     time.Time // the instant; of two the later one, which is on the student's side
	Remark string    // what a reader must know of the choice, or empty
}

// ReadLocal reads a date and time of day as LocalForm, or with seconds. The
// error is in words for the person who wrote it, with a time that can be meant.
func ReadLocal(s string, zone *time.Location) (LocalTime, error) {
	wall, err := time.Parse(LocalForm, s)
	if err != nil {
		if wall, err = time.Parse(LocalForm+":05", s); err != nil {
			return LocalTime{}, fmt.Errorf("%q is not a date and time: write it like %s", s, "2026-11-25T23:59")
		}
	}
	before := offsetAt(wall.Add(-26*time.Hour), zone)
	after := offsetAt(wall.Add(26*time.Hour), zone)
	early, late := wall.Add(-before).In(zone), wall.Add(-after).In(zone)
	if late.Before(early) {
		early, late = late, early
	}
	switch isEarly, isLate := sameWall(early, wall), sameWall(late, wall); {
	case isEarly && isLate && !early.Equal(late):
		return LocalTime{late, fmt.Sprintf("%s occurs twice on %s in %s, because the clocks go back. The second one is used, at %s UTC.",
			wall.Format("15:04"), wall.Format("2006-01-02"), zone, late.UTC().Format("15:04"))}, nil
	case isLate:
		return LocalTime{At: late}, nil
	case isEarly:
		return LocalTime{At: early}, nil
	}
	return LocalTime{}, fmt.Errorf("%s does not exist on %s in %s, because the clocks go forward: write %s or %s",
		wall.Format("15:04"), wall.Format("2006-01-02"), zone, early.Format("15:04"), late.Format("15:04"))
}

func offsetAt(t time.Time, zone *time.Location) time.Duration {
	_, seconds := t.In(zone).Zone()
	return time.Duration(seconds) * time.Second
}

func sameWall(t, wall time.Time) bool {
	const form = "2006-01-02T15:04:05"
	return t.Format(form) == wall.Format(form)
}
