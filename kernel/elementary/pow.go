package elementary

import "math"

// Pow returns x^y. A result that a float64 can hold is exact. x^0 and 1^y are
// 1; a negative x has powers for whole y only, else the result is NaN; what is
// too large is infinite. (−0, infinities and NaN follow IEEE 754-2019, 9.2.1.)
func Pow(x, y float64) float64 {
	if x > 0 && x-x == 0 && y-y == 0 {
		return powPositive(x, y, 1)
	}
	return powSpecial(x, y)
}

func powSpecial(x, y float64) float64 {
	whole, odd := parity(y)
	switch {
	case y == 0 || x == 1:
		return 1
	case x != x || y != y:
		return math.NaN()
	case y-y != 0: // infinite
		a := math.Abs(x)
		switch {
		case a == 1:
			return 1
		case (a > 1) == (y > 0):
			return math.Inf(1)
		}
		return 0
	case x == 0 || x-x != 0:
		size := 0.0
		if (x == 0) == (y < 0) {
			size = math.Inf(1)
		}
		if odd {
			return math.Copysign(size, x)
		}
		return size
	case !whole:
		return math.NaN()
	case odd:
		return powPositive(-x, y, -1)
	}
	return powPositive(-x, y, 1)
}

// parity reports whether y is a whole number, and an odd one.
func parity(y float64) (whole, odd bool) {
	a := math.Abs(y)
	if a >= 0x1p53 {
		return true, false
	}
	if y != math.Trunc(y) {
		return false, false
	}
	return true, int64(a)&1 == 1
}

// powPositive returns sign·x^y for finite x > 0 and finite y.
func powPositive(x, y, sign float64) float64 {
	shift := 0
	if x < minNormal {
		x, shift = x*0x1p52, 52
	}
	entry, rh, rl, k := logReduce(x, 0)
	n := float64(k - shift)

	// ln x = hi + lo to about 2^−67.
	w := float64(n*ln2Hi) + entry.hi
	hi, e1 := fastSum(w, rh)
	rs := head(rh)
	hi, e2 := fastSum(hi, float64(float64(-0.5*rs)*rs)) // the square is exact
	tail := float64(float64(0.5*(rh+rs))*(rh-rs)) + float64(rh*rl)
	lo := ((e1 + e2) + ((rl + entry.lo) + (float64(n*ln2Lo) - tail))) + logRest(rh)
	hi, lo = fastSum(hi, lo)

	p := float64(y * hi)
	switch {
	case p > expLargest+1:
		return sign * math.Inf(1)
	case p < expLeast:
		return sign * 0
	case math.Abs(p) < 0x1p-60:
		return sign
	}
	hs, ys := head(hi), head(y)
	ht, yt := hi-hs, y-ys
	q := (((float64(hs*ys) - p) + float64(hs*yt)) + float64(ht*ys)) + float64(ht*yt) + float64(lo*y)
	return sign * expFar(p, q)
}
