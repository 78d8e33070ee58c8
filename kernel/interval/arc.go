package interval

import "math"

// halfPi is the tightest bracket of π/2.
var halfPi = Interval{Pi.Lo / 2, Pi.Hi / 2}

// Atan returns the arc tangent in radians, within [−π/2, π/2]. It never fails.
func Atan(x Interval) Interval {
	lo, hi := oddDown(math.Atan, x.Lo), -oddDown(math.Atan, -x.Hi)
	return Interval{max(lo, -halfPi.Hi), min(hi, halfPi.Hi)}
}

// Asin returns the arc sine in radians, atan(x/√((1−x)(1+x))), within
// [−π/2, π/2]. It fails with ErrDomain if x reaches past ±1.
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
	// With |v| < 1 both factors are at least 2^-53, so neither they nor the
	// root leave the range or reach 0.
	down := mulDown(addDown(1, -v), addDown(1, v))
	up := mulUp(addUp(1, -v), addUp(1, v))
	root := Interval{sqrtDown(down), sqrtUp(up)}
	far, near := root.Lo, root.Hi
	if v < 0 {
		far, near = near, far
	}
	return Atan(Interval{divDown(v, near), divUp(v, far)})
}

// Acos returns the arc cosine in radians, 2·atan √((1−x)/(1+x)), within [0, π].
// It fails with ErrDomain if x reaches past ±1.
func Acos(x Interval) (Interval, error) {
	if x.Lo < -1 || x.Hi > 1 {
		return Interval{}, &Error{"acos", x, ErrDomain}
	}
	return Interval{acosAt(x.Hi).Lo, acosAt(x.Lo).Hi}, nil
}

func acosAt(v float64) Interval {
	if v < 0 {
		a := acosAt(-v)
		return Interval{addDown(Pi.Lo, -a.Hi), addUp(Pi.Hi, -a.Lo)}
	}
	down := divDown(addDown(1, -v), addUp(1, v))
	up := divUp(addUp(1, -v), addDown(1, v))
	half := Atan(Interval{sqrtDown(down), sqrtUp(up)})
	return Interval{2 * half.Lo, 2 * half.Hi}
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
	// so its extremes are at corners.
	b := direction(y.Lo, x.Lo)
	for _, corner := range [...][2]float64{{y.Lo, x.Hi}, {y.Hi, x.Lo}, {y.Hi, x.Hi}} {
		b = Hull(b, direction(corner[0], corner[1]))
	}
	return b, nil
}

// direction is Atan2 at one point, not the origin. The quotients are taken so
// that they are at most 1.
func direction(y, x float64) Interval {
	switch {
	case math.Abs(y) > math.Abs(x):
		a := Atan(Interval{divDown(x, y), divUp(x, y)})
		quarter := halfPi
		if y < 0 {
			quarter = Neg(halfPi)
		}
		return Interval{addDown(quarter.Lo, -a.Hi), addUp(quarter.Hi, -a.Lo)}
	case x > 0:
		return Atan(Interval{divDown(y, x), divUp(y, x)})
	}
	a := Atan(Interval{divDown(y, x), divUp(y, x)})
	half := Pi
	if y < 0 {
		half = Neg(Pi)
	}
	return Interval{max(addDown(half.Lo, a.Lo), -Pi.Hi), min(addUp(half.Hi, a.Hi), Pi.Hi)}
}
