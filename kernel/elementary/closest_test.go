package elementary

import (
	"math"
	"math/big"
	"testing"
)

// TestClosest finds the float64 that lies closest to a multiple of π/2: for each
// exponent e the whole numbers m < 2⁵³ for which m·2^e·2/π is nearest to a whole
// number are denominators of the convergents of its continued fraction (Khinchin,
// Continued Fractions, theorem 16, from memory).
func TestClosest(t *testing.T) {
	whole := new(big.Int)
	for _, w := range turns {
		whole.Add(whole.Lsh(whole, 64), new(big.Int).SetUint64(w))
	}
	const bits = 64 * (len(turns) - 1)
	least, at := math.Inf(1), 0
	for e := -60; e <= 971; e++ {
		// α = 4·2^e/(2π) = n/2^bits, less its whole part.
		n := new(big.Int).Set(whole)
		if e+2 >= 0 {
			n.Lsh(n, uint(e+2))
		} else {
			n.Rsh(n, uint(-e-2))
		}
		one := new(big.Int).Lsh(big.NewInt(1), uint(bits))
		n.Mod(n, one)
		a, b := new(big.Int).Set(one), new(big.Int).Set(n)
		q0, q1 := big.NewInt(0), big.NewInt(1)
		for b.Sign() != 0 && q1.BitLen() <= 53 {
			// The distance of q1·α from a whole number.
			r := new(big.Int).Mul(q1, n)
			r.Mod(r, one)
			if twice := new(big.Int).Lsh(r, 1); twice.Cmp(one) > 0 {
				r.Sub(one, r)
			}
			d, _ := new(big.Float).Quo(new(big.Float).SetInt(r), new(big.Float).SetInt(one)).Float64()
			if q1.Sign() > 0 && d < least {
				least, at = d, e
			}
			quotient, rest := new(big.Int).QuoRem(a, b, new(big.Int))
			a, b = b, rest
			q0, q1 = q1, new(big.Int).Add(q0, new(big.Int).Mul(quotient, q1))
		}
	}
	t.Logf("closest to a multiple of π/2: 2^%.2f rad, for a float64 of unit 2^%d", math.Log2(least*math.Pi/2), at)
	if least*math.Pi/2 < 0x1p-62 {
		t.Errorf("a float64 lies %g rad from a multiple of π/2", least*math.Pi/2)
	}
}
