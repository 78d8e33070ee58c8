package interval

import "math"

// Neg returns −x.
func Neg(x Interval) Interval { return Interval{-x.Hi, -x.Lo} }

// Add returns x+y, as tight as float64 ends allow. It fails with ErrOverflow.
func Add(x, y Interval) (Interval, error) {
	return checked("sum", x, addDown(x.Lo, y.Lo), addUp(x.Hi, y.Hi))
}

// Sub returns x−y, as tight as float64 ends allow. It fails with ErrOverflow.
func Sub(x, y Interval) (Interval, error) {
	return checked("difference", x, addDown(x.Lo, -y.Hi), addUp(x.Hi, -y.Lo))
}

// Mul returns x·y, as tight as float64 ends allow. It fails with ErrOverflow.
// For the square of one value use Sqr: here the two factors vary apart.
func Mul(x, y Interval) (Interval, error) {
	if x.Lo >= 0 && y.Lo >= 0 {
		return checked("product", x, mulDown(x.Lo, y.Lo), mulUp(x.Hi, y.Hi))
	}
	if x.Lo > 0 { // and y.Lo < 0, which takes the product farthest down with x.Hi
		far := x.Hi
		if y.Hi < 0 {
			far = x.Lo
		}
		return checked("product", x, mulDown(x.Hi, y.Lo), mulUp(far, y.Hi))
	}
	lo := min(mulDown(x.Lo, y.Lo), mulDown(x.Lo, y.Hi), mulDown(x.Hi, y.Lo), mulDown(x.Hi, y.Hi))
	hi := max(mulUp(x.Lo, y.Lo), mulUp(x.Lo, y.Hi), mulUp(x.Hi, y.Lo), mulUp(x.Hi, y.Hi))
	return checked("product", x, lo, hi)
}

// Div returns x/y, as tight as float64 ends allow. It fails with
// ErrDivideByZero if y holds 0, and with ErrOverflow.
func Div(x, y Interval) (Interval, error) {
	if y.Contains(0) {
		return Interval{}, &Error{"division", y, ErrDivideByZero}
	}
	if y.Hi < 0 {
		x, y = Neg(x), Neg(y)
	}
	// y is positive, so each end of x is divided by the end of y that takes the
	// quotient farther out.
	small, large := y.Hi, y.Hi
	if x.Lo < 0 {
		small = y.Lo
	}
	if x.Hi >= 0 {
		large = y.Lo
	}
	return checked("division", y, divDown(x.Lo, small), divUp(x.Hi, large))
}

// Abs returns |x|.
func Abs(x Interval) Interval {
	switch {
	case x.Lo >= 0:
		return x
	case x.Hi <= 0:
		return Neg(x)
	}
	return Interval{0, max(-x.Lo, x.Hi)}
}

// Sqr returns x², as tight as float64 ends allow: never below 0, and 0 if x
// holds 0. It fails with ErrOverflow.
func Sqr(x Interval) (Interval, error) {
	a := Abs(x)
	return checked("square", x, mulDown(a.Lo, a.Lo), mulUp(a.Hi, a.Hi))
}

// Sqrt returns √x, as tight as float64 ends allow. It fails with ErrDomain if x
// reaches below 0.
func Sqrt(x Interval) (Interval, error) {
	if x.Lo < 0 {
		return Interval{}, &Error{"square root", x, ErrDomain}
	}
	return checked("square root", x, sqrtDown(x.Lo), sqrtUp(x.Hi))
}

// Min returns the bracket of min(u, v) for u in x and v in y.
func Min(x, y Interval) Interval { return Interval{min(x.Lo, y.Lo), min(x.Hi, y.Hi)} }

// Max returns the bracket of max(u, v) for u in x and v in y.
func Max(x, y Interval) Interval { return Interval{max(x.Lo, y.Lo), max(x.Hi, y.Hi)} }

// Floor returns the bracket of ⌊u⌋ for u in x; its ends are whole numbers.
func Floor(x Interval) Interval { return Interval{math.Floor(x.Lo), math.Floor(x.Hi)} }

// Ceil returns the bracket of ⌈u⌉ for u in x; its ends are whole numbers.
func Ceil(x Interval) Interval { return Interval{math.Ceil(x.Lo), math.Ceil(x.Hi)} }

// Round returns the bracket of u rounded to the nearest whole number, halves
// away from 0, for u in x.
func Round(x Interval) Interval { return Interval{math.Round(x.Lo), math.Round(x.Hi)} }

// A Sum adds brackets up, far tighter than repeated Add: the rounding errors
// are carried along in a second float64 (compensated summation) and only those
// of that second sum are rounded outward. The zero Sum is 0.
type Sum struct{ lo, loRest, hi, hiRest float64 }

// Add adds x.
func (s *Sum) Add(x Interval) {
	var e float64
	s.lo, e = twoSum(s.lo, x.Lo)
	s.loRest = addDown(s.loRest, e)
	s.hi, e = twoSum(s.hi, x.Hi)
	s.hiRest = addUp(s.hiRest, e)
}

// Value returns the sum so far. It fails with ErrOverflow.
func (s *Sum) Value() (Interval, error) {
	return checked("sum", Interval{s.lo, s.hi}, addDown(s.lo, s.loRest), addUp(s.hi, s.hiRest))
}
