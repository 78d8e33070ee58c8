package unit

import (
	"math/big"
	"strings"
)

// An exact is the factor of a unit before rounding: rat·π^pi. The zero exact
// is not valid.
type exact struct {
	rat *big.Rat
	pi  int
}

func one() exact { return exact{rat: big.NewRat(1, 1)} }

// readExact reads the Exact field of an Entry. The table is ours, so a field
// that cannot be read is a mistake in it and panics.
func readExact(text string) exact {
	above, below, _ := strings.Cut(text, "/")
	x := one()
	for _, f := range strings.Split(above, "*") {
		x = x.times(readFactor(f), 1)
	}
	if below == "" {
		return x
	}
	for _, f := range strings.Split(strings.Trim(below, "()"), "*") {
		x = x.times(readFactor(f), -1)
	}
	return x
}

func readFactor(text string) exact {
	if text == "π" {
		return exact{rat: big.NewRat(1, 1), pi: 1}
	}
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		panic("unit: factor in the table cannot be read: " + text)
	}
	return exact{rat: r}
}

func powerOfTen(n int) exact {
	ten := exact{rat: big.NewRat(10, 1)}
	return one().times(ten, n)
}

// isOne reports whether x is exactly 1, as of all coherent SI units.
func (x exact) isOne() bool {
	return x.pi == 0 && x.rat.IsInt() && x.rat.Num().IsUint64() && x.rat.Num().Uint64() == 1
}

// times returns x·y^n.
func (x exact) times(y exact, n int) exact {
	if n == 0 || y.isOne() {
		return x
	}
	e := big.NewInt(int64(max(n, -n)))
	num := new(big.Int).Exp(y.rat.Num(), e, nil)
	den := new(big.Int).Exp(y.rat.Denom(), e, nil)
	if n < 0 {
		num, den = den, num
	}
	power := new(big.Rat).SetFrac(num, den)
	return exact{rat: power.Mul(power, x.rat), pi: x.pi + n*y.pi}
}

// pi100 is π to 100 digits (OEIS A000796).
const pi100 = "3.141592653589793238462643383279502884197169399375105820974944592307816406286208998628034825342117068"

// float returns the nearest float64; it may be 0 or infinite where the value
// is out of range.
func (x exact) float() float64 {
	if x.pi == 0 {
		f, _ := x.rat.Float64()
		return f
	}
	v, _ := x.big().Float64()
	return v
}

// compare returns the sign of x − v.
func (x exact) compare(v float64) int {
	if x.pi == 0 {
		return x.rat.Cmp(new(big.Rat).SetFloat64(v))
	}
	return x.big().Cmp(big.NewFloat(v)) // an irrational number is never v itself
}

// big returns x to 300 bits, which leaves more than 200 guard bits after the few
// hundred products that limits on exponents allow, so that what follows rounds
// once.
func (x exact) big() *big.Float {
	const precision = 300
	f := new(big.Float).SetPrec(precision).SetRat(x.rat)
	pi, _, err := big.ParseFloat(pi100, 10, precision, big.ToNearestEven)
	if err != nil {
		panic("unit: the digits of π cannot be read")
	}
	for range max(x.pi, -x.pi) {
		if x.pi > 0 {
			f.Mul(f, pi)
		} else {
			f.Quo(f, pi)
		}
	}
	return f
}
