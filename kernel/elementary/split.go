package elementary

import "math"

// headMask clears the last 27 of the 53 significant bits.
const headMask = ^uint64(1<<27 - 1)

// head returns the first 26 significant bits of x. The product of two heads is
// exact, and so is that of a head and a rest x − head(x), which has 27 bits.
func head(x float64) float64 { return math.Float64frombits(math.Float64bits(x) & headMask) }

// fastSum returns a+b rounded to nearest and its exact error, for |a| ≥ |b| or
// a = 0 (Dekker 1971).
func fastSum(a, b float64) (s, e float64) {
	s = a + b
	return s, b - (s - a)
}

// sum returns a+b rounded to nearest and its exact error (Knuth, The Art of
// Computer Programming, vol. 2, 4.2.2).
func sum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

// scale returns 2^k for −1022 ≤ k ≤ 1023.
func scale(k int) float64 { return math.Float64frombits(uint64(k+1023) << 52) }

// exponent returns k with 2^k ≤ |x| < 2^(k+1), for a normal x.
func exponent(x float64) int { return int(math.Float64bits(x)>>52&0x7ff) - 1023 }

const (
	// roundWhole added to |v| < 2^50 leaves the nearest whole number (ties to
	// even) in the last bits of the sum.
	roundWhole = 0x1.8p52
	infinite   = 0x7ff0000000000000
)

// atWhole returns the whole number nearest to v, as a float64 and as an int32.
func atWhole(v float64) (float64, int) {
	t := v + roundWhole
	return t - roundWhole, int(int32(math.Float64bits(t)))
}

// Hypot returns √(x² + y²) to a unit in the last place, for sizes between
// 1e-150 and 1e150: those of a drawing.
func Hypot(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }
