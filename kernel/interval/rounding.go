package interval

import "math"

// below returns the float64 next below v, above the one next above it.
func below(v float64) float64 { return -above(-v) }

func above(v float64) float64 {
	switch {
	case v > 0:
		return math.Float64frombits(math.Float64bits(v) + 1)
	case v == 0:
		return math.SmallestNonzeroFloat64
	}
	return math.Float64frombits(math.Float64bits(v) - 1)
}

// twoSum returns s = a+b rounded to nearest and its exact error, a+b−s.
func twoSum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

// The conditions below read so that a NaN error, which only an overflow on the
// way gives, moves the bound outward.

func addDown(a, b float64) float64 {
	s, e := twoSum(a, b)
	if e >= 0 {
		return s
	}
	return below(s)
}

func addUp(a, b float64) float64 {
	s, e := twoSum(a, b)
	if e <= 0 {
		return s
	}
	return above(s)
}

// tiny is the size below which the remainder of a product, quotient or root
// may lose bits to underflow: 2^-1074 for the last bit, 2·53 bits above it, and
// room.
const tiny = 1e-270

// product returns a·b rounded to nearest, and the sign of its error. exact is
// false where the sign is not known. The conversion keeps the compiler from
// fusing the product with what follows.
func product(a, b float64) (p, e float64, exact bool) {
	p = float64(a * b)
	if math.Abs(p) < tiny && a != 0 && b != 0 {
		return p, 0, false
	}
	return p, math.FMA(a, b, -p), true
}

func mulDown(a, b float64) float64 {
	p, e, exact := product(a, b)
	switch {
	case exact && e >= 0:
		return p
	case exact || p != 0:
		return below(p)
	case (a > 0) == (b > 0):
		return 0 // a tiny positive product
	}
	return below(0)
}

func mulUp(a, b float64) float64 { return -mulDown(-a, b) }

func divDown(a, b float64) float64 {
	q := a / b
	if a == 0 {
		return 0
	}
	if math.Abs(a) < tiny || math.Abs(q) < tiny {
		if q == 0 && (a > 0) == (b > 0) {
			return 0
		}
		return below(q)
	}
	// a/b − q has the sign of (a − q·b)/b.
	r := math.FMA(-q, b, a)
	if b < 0 {
		r = -r
	}
	if r >= 0 {
		return q
	}
	return below(q)
}

func divUp(a, b float64) float64 { return -divDown(-a, b) }

// sqrtDown and sqrtUp take a ≥ 0.
func sqrtDown(a float64) float64 {
	s := math.Sqrt(a)
	if s == 0 || a >= tiny && math.FMA(-s, s, a) >= 0 {
		return s
	}
	return below(s)
}

func sqrtUp(a float64) float64 {
	s := math.Sqrt(a)
	if s == 0 || a >= tiny && math.FMA(-s, s, a) <= 0 {
		return s
	}
	return above(s)
}
