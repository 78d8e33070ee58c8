package interval

import "shaftbook/kernel/elementary"

// PowInt returns x^n; x^0 is 1. An even power is never below 0, and 0 only if x
// holds 0. The ends lie within a few units in the last place of the true ones,
// and an exact power stays exact. It fails with ErrDivideByZero if n < 0 and x holds 0, and with
// ErrOverflow.
func PowInt(x Interval, n int) (Interval, error) {
	switch {
	case n == 0:
		return whole(1), nil
	case n > 0:
		return powPositive(x, uint64(n))
	case x.Contains(0):
		return Interval{}, &Error{"negative power", x, ErrDivideByZero}
	}
	size := uint64(-int64(n)) // right for the least int too
	p, err := powPositive(x, size)
	if err == nil && !p.Contains(0) {
		return Div(whole(1), p)
	}
	// x^|n| left the range although 1/x^|n| may not.
	inverse, err := Div(whole(1), x)
	if err != nil {
		return Interval{}, err
	}
	return powPositive(inverse, size)
}

func powPositive(x Interval, n uint64) (Interval, error) {
	if n%2 == 0 {
		x = Abs(x)
	}
	lo, hi := powDown(x.Lo, n), powUp(x.Hi, n)
	return checked("power", x, lo, hi)
}

// fewProducts is the largest exponent for which multiplying out alone is as
// tight as the neighbours of elementary.Pow.
const fewProducts = 3

// powDown and powUp bound v^n; for v < 0, n is odd.
func powDown(v float64, n uint64) float64 {
	if v < 0 {
		return -powUp(-v, n)
	}
	p := power(v, n, mulDown)
	if n > fewProducts && n < 1<<53 {
		p = max(p, below(elementary.Pow(v, float64(n))))
	}
	return p
}

func powUp(v float64, n uint64) float64 {
	if v < 0 {
		return -powDown(-v, n)
	}
	p := power(v, n, mulUp)
	if n > fewProducts && n < 1<<53 && v > 0 {
		if q := above(elementary.Pow(v, float64(n))); q < p || p != p {
			p = q
		}
	}
	return p
}

// power multiplies v out by repeated squaring, every product rounded one way,
// which bounds the result since all factors are at least 0.
func power(v float64, n uint64, mul func(a, b float64) float64) float64 {
	result, first := 1.0, true
	for ; ; v = mul(v, v) {
		if n&1 == 1 {
			if first {
				result, first = v, false
			} else {
				result = mul(result, v)
			}
		}
		if n >>= 1; n == 0 {
			return result
		}
	}
}

// fewFactors is the largest exponent for which Pow calls PowInt.
const fewFactors = 256

// PowRational returns x^(num/den), den > 0. With den 1 it is PowInt; else x must
// not reach below 0 (an even root is then the tight Sqrt), nor hold 0 if num < 0.
// It fails with ErrDomain (also for den < 1), ErrDivideByZero or ErrOverflow.
func PowRational(x Interval, num, den int) (Interval, error) {
	switch {
	case den < 1 || den > 1 && x.Lo < 0:
		return Interval{}, &Error{"fractional power", x, ErrDomain}
	case den == 1:
		return PowInt(x, num)
	case den == 2 && -fewFactors <= num && num <= fewFactors:
		return powHalves(x, num)
	}
	exponent, err := Div(whole(float64(num)), whole(float64(den)))
	if err != nil {
		return Interval{}, err
	}
	return Pow(x, exponent)
}

// powHalves returns x^(num/2): a power of the root where that is exact.
func powHalves(x Interval, num int) (Interval, error) {
	root, err := Sqrt(x)
	if err != nil {
		return Interval{}, err
	}
	byRoot, err := PowInt(root, num)
	if err != nil || num == 1 {
		return byRoot, err
	}
	if direct, err := Pow(x, whole(float64(num)/2)); err == nil {
		byRoot, _ = Intersect(byRoot, direct) // both hold the power
	}
	return byRoot, nil
}

// Pow returns x^y for x ≥ 0; 0^y is 0 for y > 0. Each end is a neighbour of the
// float64 nearest to the true one, or of one next to it. An exponent that is one
// whole number of at most 256 is given to PowInt, for which x may be negative.
//
// It fails with ErrDomain if x reaches below 0, with ErrDivideByZero if x holds
// 0 and y reaches below 0, with ErrDomain for 0^0 unless y is exactly 0 (then
// the result is 1), and with ErrOverflow.
func Pow(x, y Interval) (Interval, error) {
	if n := int(min(max(y.Lo, -fewFactors-1), fewFactors+1)); y.IsPoint() && float64(n) == y.Lo && -fewFactors <= n && n <= fewFactors {
		return PowInt(x, n)
	}
	switch {
	case x.Lo < 0:
		return Interval{}, &Error{"power", x, ErrDomain}
	case x.Lo > 0:
		return powSpread(x, y)
	case y.Lo < 0:
		return Interval{}, &Error{"negative power", x, ErrDivideByZero}
	case y.Lo == 0:
		return Interval{}, &Error{"power", x, ErrDomain}
	case x.Hi == 0:
		return Interval{}, nil
	}
	// From 0 the power grows with x, so 0 is the lower end.
	top, err := powSpread(whole(x.Hi), y)
	return Interval{0, top.Hi}, err
}

// powSpread takes x > 0. The power only grows or only falls with x, and with y,
// so its extremes stand at corners.
func powSpread(x, y Interval) (Interval, error) {
	b := powerAt(x.Lo, y.Lo)
	for _, corner := range [...][2]float64{{x.Lo, y.Hi}, {x.Hi, y.Lo}, {x.Hi, y.Hi}} {
		if corner[0] == x.Lo && x.IsPoint() && corner[1] == y.Lo {
			continue
		}
		p := powerAt(corner[0], corner[1])
		b = Interval{min(b.Lo, p.Lo), max(b.Hi, p.Hi)} // NaN stays
	}
	return checked("power", x, b.Lo, b.Hi)
}

// powerAt is x^y at one point, x > 0; its upper end is NaN if that is too large.
func powerAt(x, y float64) Interval {
	if x == 1 || y == 0 {
		return whole(1)
	}
	p := elementary.Pow(x, y)
	return Interval{max(below(p), 0), above(p)}
}
