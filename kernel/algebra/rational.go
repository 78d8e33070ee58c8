package algebra

import (
	"math"
	"math/big"
	"math/bits"
)

// A rational is a fraction in lowest terms: num/den in words of the machine
// while both fit, wide where they do not. Rationals are not changed once made.
type rational struct {
	num, den int64 // den ≥ 1
	wide     *big.Rat
}

func whole(n int64) rational { return rational{num: n, den: 1} }

// rationalFrom returns r, in words if it fits. r is not changed afterwards.
func rationalFrom(r *big.Rat) rational {
	if r.Num().IsInt64() && r.Denom().IsInt64() && r.Num().Int64() != math.MinInt64 {
		return rational{num: r.Num().Int64(), den: r.Denom().Int64()}
	}
	return rational{wide: r}
}

// rat returns a as a Rat of its own.
func (a rational) rat() *big.Rat {
	if a.wide != nil {
		return new(big.Rat).Set(a.wide)
	}
	return big.NewRat(a.num, a.den)
}

func (a rational) sign() int {
	switch {
	case a.wide != nil:
		return a.wide.Sign()
	case a.num < 0:
		return -1
	case a.num > 0:
		return 1
	}
	return 0
}

func (a rational) isOne() bool { return a.wide == nil && a.num == 1 && a.den == 1 }

func (a rational) equals(b rational) bool {
	if a.wide == nil && b.wide == nil {
		return a.num == b.num && a.den == b.den
	}
	return a.rat().Cmp(b.rat()) == 0
}

func (a rational) neg() rational {
	if a.wide != nil {
		return rational{wide: new(big.Rat).Neg(a.wide)}
	}
	return rational{num: -a.num, den: a.den}
}

func (a rational) add(b rational) rational {
	if a.wide == nil && b.wide == nil {
		if a.den == b.den {
			if sum, ok := addWords(a.num, b.num); ok {
				return lowest(sum, a.den)
			}
		} else {
			left, ok1 := mulWords(a.num, b.den)
			right, ok2 := mulWords(b.num, a.den)
			den, ok3 := mulWords(a.den, b.den)
			sum, ok4 := addWords(left, right)
			if ok1 && ok2 && ok3 && ok4 {
				return lowest(sum, den)
			}
		}
	}
	return rationalFrom(new(big.Rat).Add(a.rat(), b.rat()))
}

func (a rational) mul(b rational) rational {
	if a.wide == nil && b.wide == nil {
		if a.den == 1 && b.den == 1 {
			if product, ok := mulWords(a.num, b.num); ok {
				return rational{num: product, den: 1}
			}
		}
		x, y := lowest(a.num, b.den), lowest(b.num, a.den)
		num, ok1 := mulWords(x.num, y.num)
		den, ok2 := mulWords(x.den, y.den)
		if ok1 && ok2 {
			return rational{num: num, den: den}
		}
	}
	return rationalFrom(new(big.Rat).Mul(a.rat(), b.rat()))
}

// inverse returns 1/a; a is not 0.
func (a rational) inverse() rational {
	switch {
	case a.wide != nil:
		return rationalFrom(new(big.Rat).Inv(a.wide))
	case a.num < 0:
		return rational{num: -a.den, den: -a.num}
	}
	return rational{num: a.den, den: a.num}
}

func (a rational) quo(b rational) rational { return a.mul(b.inverse()) }

// isLong reports whether numerator or denominator passes maxBits.
func (a rational) isLong() bool {
	return a.wide != nil && (a.wide.Num().BitLen() > maxBits || a.wide.Denom().BitLen() > maxBits)
}

func (a rational) String() string { return a.rat().RatString() }

func lowest(num, den int64) rational {
	if den == 1 {
		return rational{num: num, den: 1}
	}
	x, y := den, num
	if y < 0 {
		y = -y
	}
	for y != 0 {
		x, y = y, x%y
	}
	return rational{num: num / x, den: den / x}
}

func addWords(a, b int64) (int64, bool) {
	sum := a + b
	overflows := a > 0 && b > 0 && sum < 0 || a < 0 && b < 0 && sum >= 0
	return sum, !overflows && sum != math.MinInt64
}

func mulWords(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if hi != 0 || lo > math.MaxInt64 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}
