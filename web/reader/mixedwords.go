package reader

import (
	"math"
	"time"

	"shaftbook/kernel/words"
)

// dayFrom says how far a time is ahead, in days: the zone of the reader is not known.
func dayFrom(now, at time.Time) string {
	days := int(math.Ceil(at.Sub(now).Hours() / 24))
	switch {
	case days <= 0:
		return "now"
	case at.Sub(now) <= time.Hour:
		return "within an hour"
	case days == 1:
		return "within a day"
	}
	return "in " + words.CountOf(days, "day", "days")
}
