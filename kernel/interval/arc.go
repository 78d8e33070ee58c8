package interval

import (
	"math"

	"shaftbook/kernel/elementary"
)

// halfPi is the tightest bracket of π/2.
var halfPi = Interval{Pi.Lo / 2, Pi.Hi / 2}

// Atan returns the arc tangent in radians, within [−π/2, π/2]. It never fails.
func Atan(x Interval) Interval {
	lo, hi := around(elementary.Atan, x.Lo), around(elementary.Atan, x.Hi)
	return Interval{max(lo.Lo, -halfPi.Hi), min(hi.Hi, halfPi.Hi)}
}

// around returns the neighbours of f(v), between which the true value lies, for
// an f with f(0) = 0, which is exact.
func around(f func(float64) float64, v float64) Interval {
	if v == 0 {
		return Interval{}
	}
	y := f(v)
	return Interval{below(y), above(y)}
}

// Asin returns the arc sine in radians, within [−π/2, π/2]. It fails with
// ErrDomain if x reaches past ±1.
func Asin(x Interval) (Interval, error) {
	if x.Lo < -1 || x.Hi > 1 {
		return Interval{}, &Error{"asin", x, ErrDomain}
	}
	return Interval{asinAt(x.Lo).Lo, asinAt(x.Hi).Hi}, nil
}

func asinAt(v float64) Interval {
	switch v {
	case 1:
		return halfPi
	case -1:
		return Neg(halfPi)
	}
	return around(elementary.Asin, v)
}

// Acos returns the arc cosine in radians, within [0, π]. It fails with ErrDomain
// if x reaches past ±1.
func Acos(x Interval) (Interval, error) {
	if x.Lo < -1 || x.Hi > 1 {
		return Interval{}, &Error{"acos", x, ErrDomain}
	}
	return Interval{acosAt(x.Hi).Lo, acosAt(x.Lo).Hi}, nil
}

func acosAt(v float64) Interval {
	switch v {
	case 1:
		return Interval{}
	case 0:
		return halfPi
	case -1:
		return Pi
	}
	y := elementary.Acos(v)
	return Interval{below(y), min(above(y), Pi.Hi)}
}

// Atan2 returns the direction of the points (x, y) in radians, within [−π, π];
// on the negative x axis it is π. If the points lie on both sides of that axis,
// where the direction jumps, the result is all of [−π, π]. It fails with
// ErrDomain if the origin may be among them.
func Atan2(y, x Interval) (Interval, error) {
	if y.Contains(0) && x.Contains(0) {
		return Interval{}, &Error{"atan2", x, ErrDomain}
	}
	if x.Lo < 0 && y.Lo < 0 && y.Hi >= 0 {
		return Interval{-Pi.Hi, Pi.Hi}, nil
	}
	// Along each side of the rectangle the direction only grows or only falls,
	// so its extremes stand at corners.
	b := direction(y.Lo, x.Lo)
	for _, corner := range [...][2]float64{{y.Lo, x.Hi}, {y.Hi, x.Lo}, {y.Hi, x.Hi}} {
		b = Hull(b, direction(corner[0], corner[1]))
	}
	return b, nil
}

// direction is Atan2 at one point, not the origin.
func direction(y, x float64) Interval {
	switch {
	case y < 0:
		return Neg(direction(-y, x))
	case y == 0 && x > 0:
		return Interval{}
	case y == 0:
		return Pi
	case x == 0:
		return halfPi
	}
	t := elementary.Atan2(math.Abs(y), x)
	return Interval{max(below(t), 0), min(above(t), Pi.Hi)}
}
