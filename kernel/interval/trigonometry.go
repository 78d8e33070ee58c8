package interval

import (
	"math"

	"shaftbook/kernel/elementary"
)

// π/2 as a sum of three float64 (mpmath, 120 digits); what is left is below
// piHalfRest.
const (
	piHalf1    = 0x1.921fb54442d18p+0
	piHalf2    = 0x1.1a62633145c07p-54
	piHalf3    = -0x1.f1976b7ed8fbcp-110
	piHalfRest = 5.6e-50
)

// largeAngle is the size past which the multiple of π/2 in an argument is no
// longer found. There the float64 next to each other are a quarter apart.
const largeAngle = 1 << 50

// An angle is x = quarter·π/2 + rest, |rest| at most a little above π/4.
type angle struct {
	quarter int64
	rest    Interval
}

// reduce takes |x| ≤ largeAngle. All terms but the last two are exact, and
// their sum is compensated, so rest is tight even next to a multiple of π/2.
func reduce(x float64) angle {
	k := math.RoundToEven(x * (2 / math.Pi))
	if k == 0 {
		return angle{rest: whole(x)}
	}
	p1 := float64(k * piHalf1)
	e1 := math.FMA(k, piHalf1, -p1)
	p2 := float64(k * piHalf2)
	e2 := math.FMA(k, piHalf2, -p2)
	var sum Sum
	sum.Add(whole(x))
	for _, term := range [...]float64{p1, e1, p2, e2} {
		sum.Add(whole(-term))
	}
	sum.Add(Interval{-mulUp(k, piHalf3), -mulDown(k, piHalf3)})
	left := mulUp(math.Abs(k), piHalfRest)
	sum.Add(Interval{-left, left})
	return angle{int64(k), Interval{addDown(sum.lo, sum.loRest), addUp(sum.hi, sum.hiRest)}}
}

// waveAt returns the sine of v for turn 0 and the cosine for turn 1.
func waveAt(v float64, turn int64) Interval {
	if turn == 1 {
		if v == 0 {
			return whole(1)
		}
		y := elementary.Cos(v)
		return Interval{max(below(y), -1), min(above(y), 1)}
	}
	b := around(elementary.Sin, v)
	return Interval{max(b.Lo, -1), min(b.Hi, 1)}
}

// Sin returns sin x, x in radians. It never fails. If x is more than one
// point and reaches past ±2⁵⁰ rad the result is all of [−1, 1].
func Sin(x Interval) Interval { return wave(x, 0) }

// Cos returns cos x, x in radians. It never fails. If x is more than one
// point and reaches past ±2⁵⁰ rad the result is all of [−1, 1].
func Cos(x Interval) Interval { return wave(x, 1) }

// wave returns sin(x + turn·π/2): the hull of the values at the ends, and of
// the crests (+1) and troughs (−1) between them.
func wave(x Interval, turn int64) Interval {
	if x.IsPoint() {
		return waveAt(x.Lo, turn)
	}
	if x.Lo < -largeAngle || x.Hi > largeAngle {
		return Interval{-1, 1}
	}
	from, to := reduce(x.Lo), reduce(x.Hi)
	b := Hull(waveAt(x.Lo, turn), waveAt(x.Hi, turn))
	first, last := between(from, to)
	if holds(first+turn, last+turn, 1) {
		b.Hi = 1
	}
	if holds(first+turn, last+turn, 3) {
		b.Lo = -1
	}
	return b
}

// between returns the first and the last multiple of π/2 that may lie from one
// angle to the other; first > last if there is none.
func between(from, to angle) (first, last int64) {
	first, last = from.quarter, to.quarter
	if from.rest.Lo > 0 {
		first++
	}
	if to.rest.Hi < 0 {
		last--
	}
	return first, last
}

// holds reports whether a number ≡ class (mod 4) lies from first to last.
func holds(first, last, class int64) bool {
	return first+(class-first)&3 <= last
}

// Tan returns tan x, x in radians. It fails with ErrDomain if x holds an odd
// multiple of π/2, or is more than one point and reaches past ±2⁵⁰ rad, where it
// cannot be told.
func Tan(x Interval) (Interval, error) {
	if !x.IsPoint() {
		if x.Lo < -largeAngle || x.Hi > largeAngle {
			return Interval{}, &Error{"tan", x, ErrDomain}
		}
		first, last := between(reduce(x.Lo), reduce(x.Hi))
		if holds(first, last, 1) || holds(first, last, 3) {
			return Interval{}, &Error{"tan", x, ErrDomain}
		}
	}
	// No float64 but 0 is a multiple of π/2, so the ends have tangents.
	return Interval{around(elementary.Tan, x.Lo).Lo, around(elementary.Tan, x.Hi).Hi}, nil
}
