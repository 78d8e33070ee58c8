package certify

import (
	"math"

	"shaftbook/kernel/interval"
)

// mostPoints is the most points of a rule in the table.
const mostPoints = 32

// nodeOf returns the enclosure of a number of the table.
func nodeOf(v float64) interval.Interval {
	if v == 0 {
		return interval.Interval{}
	}
	return interval.Interval{Lo: v, Hi: math.Nextafter(v, 2)}
}
