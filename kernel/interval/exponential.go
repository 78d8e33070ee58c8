package interval

import (
	"math"

	"shaftbook/kernel/elementary"
)

// Exp returns eˣ. Exp of 0 is exactly 1. It fails with ErrOverflow.
func Exp(x Interval) (Interval, error) {
	lo, hi := 1.0, 1.0
	if x.Lo != 0 {
		lo = max(below(elementary.Exp(x.Lo)), 0)
	}
	if x.Hi != 0 {
		hi = above(elementary.Exp(x.Hi)) // NaN if it is too large
	}
	return checked("exp", x, lo, hi)
}

// Ln returns the natural logarithm. Ln of 1 is exactly 0. It fails with
// ErrDomain unless all of x is above 0.
func Ln(x Interval) (Interval, error) {
	if x.Lo <= 0 {
		return Interval{}, &Error{"ln", x, ErrDomain}
	}
	var lo, hi float64
	if x.Lo != 1 {
		lo = below(elementary.Ln(x.Lo))
	}
	if x.Hi != 1 {
		hi = above(elementary.Ln(x.Hi))
	}
	return checked("ln", x, lo, hi)
}

// Log10 returns the decimal logarithm. It is exact at 1, 10, 100 … 10²². It
// fails with ErrDomain unless all of x is above 0.
func Log10(x Interval) (Interval, error) {
	if x.Lo <= 0 {
		return Interval{}, &Error{"log10", x, ErrDomain}
	}
	lo, hi := elementary.Log10(x.Lo), elementary.Log10(x.Hi)
	if !isPowerOfTen(x.Lo, lo) {
		lo = below(lo)
	}
	if !isPowerOfTen(x.Hi, hi) {
		hi = above(hi)
	}
	return checked("log10", x, lo, hi)
}

// isPowerOfTen reports whether v = 10^n exactly, for 0 ≤ n ≤ 22, the powers that
// a float64 holds.
func isPowerOfTen(v, n float64) bool {
	return n == math.Trunc(n) && 0 <= n && n <= 22 && math.Pow10(int(n)) == v
}
