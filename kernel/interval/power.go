package interval

// PowInt returns x^n; x^0 is 1. An even power is never below 0, and 0 only if x
// holds 0. The ends lie within about |n| units in the last place of the true
// ones. It fails with ErrDivideByZero if n < 0 and x holds 0, and with
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

// powDown and powUp bound v^n; for v < 0, n is odd.
func powDown(v float64, n uint64) float64 {
	if v < 0 {
		return -powUp(-v, n)
	}
	return power(v, n, mulDown)
}

func powUp(v float64, n uint64) float64 {
	if v < 0 {
		return -powDown(-v, n)
	}
	return power(v, n, mulUp)
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

// fewFactors is the largest exponent for which multiplying out is tighter than
// exp(n·ln x).
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
		root, err := Sqrt(x)
		if err != nil {
			return Interval{}, err
		}
		return PowInt(root, num)
	}
	exponent, err := Div(whole(float64(num)), whole(float64(den)))
	if err != nil {
		return Interval{}, err
	}
	return Pow(x, exponent)
}

// Pow returns x^y = exp(y·ln x) for x ≥ 0; 0^y is 0 for y > 0. The relative
// width that it adds is at most 18·|y·ln x| + 30 units in the last place, below
// 4e-12. An exponent that is one whole number of at most 256 is multiplied out
// by PowInt, for which x may be negative.
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

func powSpread(x, y Interval) (Interval, error) {
	l, err := Ln(x)
	if err != nil {
		return Interval{}, err
	}
	product, err := Mul(y, l)
	if err != nil {
		return Interval{}, &Error{"power", x, ErrOverflow}
	}
	return Exp(product)
}
