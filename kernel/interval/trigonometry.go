package interval

import "math"

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

// sine returns sin(x + turn·π/2) at one point.
func (a angle) sine(turn int64) Interval {
	switch (a.quarter + turn) & 3 {
	case 0:
		return sineNear0(a.rest)
	case 1:
		return cosineNear0(a.rest)
	case 2:
		return Neg(sineNear0(a.rest))
	}
	return Neg(cosineNear0(a.rest))
}

// sineNear0 and cosineNear0 take |r| ≤ 0.8, where sin grows and cos falls off
// on both sides.
func sineNear0(r Interval) Interval {
	return Interval{oddDown(math.Sin, r.Lo), -oddDown(math.Sin, -r.Hi)}
}

func cosineNear0(r Interval) Interval {
	a := Abs(r)
	lo, hi := 1.0, 1.0
	if a.Hi != 0 {
		lo = lower(math.Cos(a.Hi))
	}
	if a.Lo != 0 {
		hi = min(upper(math.Cos(a.Lo)), 1)
	}
	return Interval{lo, hi}
}

// oddDown bounds an odd, growing function of the library from below; it is
// exact at 0 and keeps the sign of v.
func oddDown(f func(float64) float64, v float64) float64 {
	if v == 0 {
		return 0
	}
	y := lower(f(v))
	if v > 0 {
		return max(y, 0)
	}
	return y
}

// Sin returns sin x, x in radians. It never fails. If x reaches past ±2⁵⁰ rad
// the result is all of [−1, 1].
func Sin(x Interval) Interval { return wave(x, 0) }

// Cos returns cos x, x in radians. It never fails. If x reaches past ±2⁵⁰ rad
// the result is all of [−1, 1].
func Cos(x Interval) Interval { return wave(x, 1) }

// wave returns sin(x + turn·π/2): the hull of the values at the ends, and of
// the crests (+1) and troughs (−1) between them.
func wave(x Interval, turn int64) Interval {
	if x.Lo < -largeAngle || x.Hi > largeAngle {
		return Interval{-1, 1}
	}
	from, to := reduce(x.Lo), reduce(x.Hi)
	b := from.sine(turn)
	if x.IsPoint() {
		return b
	}
	b = Hull(b, to.sine(turn))
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

// Tan returns tan x, x in radians, as sin x/cos x at the ends. It fails with
// ErrDomain if x holds an odd multiple of π/2, or reaches past ±2⁵⁰ rad, where
// it cannot be told.
func Tan(x Interval) (Interval, error) {
	if x.Lo < -largeAngle || x.Hi > largeAngle {
		return Interval{}, &Error{"tan", x, ErrDomain}
	}
	from, to := reduce(x.Lo), reduce(x.Hi)
	first, last := between(from, to)
	if !x.IsPoint() && (holds(first, last, 1) || holds(first, last, 3)) {
		return Interval{}, &Error{"tan", x, ErrDomain}
	}
	lo, errLo := Div(from.sine(0), from.sine(1))
	hi, errHi := Div(to.sine(0), to.sine(1))
	if errLo != nil || errHi != nil {
		return Interval{}, &Error{"tan", x, ErrDomain}
	}
	return Interval{lo.Lo, hi.Hi}, nil
}
