package interval

import "math"

// Exp returns eˣ. Exp of 0 is exactly 1. It fails with ErrOverflow.
func Exp(x Interval) (Interval, error) {
	return checked("exp", x, expDown(x.Lo), expUp(x.Hi))
}

// earlyOverflow is where math.Exp of Go 1.26 on amd64 may begin to return
// infinity although eˣ is still in range (seen from 709.5 on; the range ends at
// 709.78). Above it eˣ is the square of e^(x/2).
const earlyOverflow = 709

func expDown(v float64) float64 {
	switch {
	case v == 0:
		return 1
	case v > earlyOverflow:
		h := lower(math.Exp(v / 2))
		return mulDown(h, h)
	}
	return max(lower(math.Exp(v)), 0)
}

func expUp(v float64) float64 {
	switch {
	case v == 0:
		return 1
	case v > earlyOverflow:
		h := upper(math.Exp(v / 2))
		return mulUp(h, h)
	}
	return upper(math.Exp(v))
}

// Ln returns the natural logarithm. Ln of 1 is exactly 0. It fails with
// ErrDomain unless all of x is above 0.
func Ln(x Interval) (Interval, error) {
	if x.Lo <= 0 {
		return Interval{}, &Error{"ln", x, ErrDomain}
	}
	var lo, hi float64
	if x.Lo != 1 {
		lo = lower(math.Log(x.Lo))
	}
	if x.Hi != 1 {
		hi = upper(math.Log(x.Hi))
	}
	return checked("ln", x, lo, hi)
}

// ln10 is the tightest bracket of ln 10 = 2.302585092994045684… (mpmath).
var ln10 = Interval{0x1.26bb1bbb55515p+1, 0x1.26bb1bbb55516p+1}

// Log10 returns the decimal logarithm, ln x/ln 10. Log10 of 1 is exactly 0. It
// fails with ErrDomain unless all of x is above 0.
func Log10(x Interval) (Interval, error) {
	l, err := Ln(x)
	if err != nil {
		return Interval{}, &Error{"log10", x, ErrDomain}
	}
	return Div(l, ln10)
}
