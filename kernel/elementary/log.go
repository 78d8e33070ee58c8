package elementary

import "math"

const (
	minNormal = 0x1p-1022
	rootHalf  = 0x3fe6a09e667f3bcd // bits of √½
)

// logReduce returns x·(1+…) = 2^k·z with √½ ≤ z < √2, the entry of logs for z,
// and r = (z + low)·inv − 1 as a sum; low is what x leaves out, times 2^−k. It
// takes positive normal x.
func logReduce(x, low float64) (e *logEntry, rh, rl float64, k int) {
	bits := math.Float64bits(x)
	k = int(int64(bits-rootHalf) >> 52)
	z := math.Float64frombits(bits - uint64(k)<<52)
	j := int(math.Float64bits(z+0x1.8p45) & 0xff)
	e = &logs[j-logFirst]
	zs := head(z)
	zt := z - zs
	if low != 0 && k < 200 { // else it is far below a unit of z
		zt += float64(low * scale(-k))
	}
	rh, rl = fastSum(float64(zs*e.inv)-1, float64(zt*e.inv))
	return e, rh, rl, k
}

// logRest returns ln(1+r) − r + r²/2 for |r| ≤ 0.0063: the terms r³/3 to r⁹/9.
func logRest(r float64) float64 {
	r2 := float64(r * r)
	a := 1.0/3 - float64(r*0.25)
	b := 0.2 - float64(r*(1.0/6))
	c := (1.0/7 - float64(r*0.125)) + float64(r2*(1.0/9))
	return float64(float64(r2*r) * (a + float64(r2*(b+float64(r2*c)))))
}

// logOf returns ln of an argument reduced to e, r and k, as a sum whose terms
// do not overlap by more than 2^−15.
func logOf(e *logEntry, rh, rl float64, k int) (hi, lo float64) {
	n := float64(k)
	w := float64(n*ln2Hi) + e.hi // exact
	hi, rest := fastSum(w, rh)
	lo = (rest + (rl + (e.lo + float64(n*ln2Lo)))) + (logRest(rh) - float64(float64(0.5*rh)*rh))
	return hi, lo
}

// Ln returns the natural logarithm: −Inf of 0, NaN of what is below 0.
func Ln(x float64) float64 {
	bits := math.Float64bits(x)
	shift := 0.0
	if bits-0x0010000000000000 >= infinite-0x0010000000000000 { // not positive and normal
		if v, special := logSpecial(x); special {
			return v
		}
		bits, shift = math.Float64bits(x*0x1p52), 52
	}
	k := int64(bits-rootHalf) >> 52
	z := math.Float64frombits(bits - uint64(k)<<52)
	e := &logs[int(math.Float64bits(z+0x1.8p45)&0xff)-logFirst]
	zs := head(z)
	rh, rl := fastSum(float64(zs*e.inv)-1, float64((z-zs)*e.inv))
	n := float64(k) - shift
	w := float64(n*ln2Hi) + e.hi
	hi, rest := fastSum(w, rh)
	lo := (rest + (rl + (e.lo + float64(n*ln2Lo)))) + (logRest(rh) - float64(float64(0.5*rh)*rh))
	return hi + lo
}

func logSpecial(x float64) (value float64, special bool) {
	switch {
	case x == 0:
		return math.Inf(-1), true
	case x < 0:
		return math.NaN(), true
	case x-x != 0:
		return x, true
	}
	return 0, false
}

// Log10 returns the decimal logarithm, exact at the powers of ten.
func Log10(x float64) float64 { return logTo(x, perLn10Head, perLn10Rest) }

// Log2 returns the logarithm to base 2, exact at the powers of two.
func Log2(x float64) float64 { return logTo(x, perLn2Head, perLn2Rest) }

// logTo returns ln x times a factor, given as a head and a rest.
func logTo(x, factor, rest float64) float64 {
	shift := 0
	if x < minNormal || x-x != 0 {
		if v, special := logSpecial(x); special {
			return v
		}
		x, shift = x*0x1p52, 52
	}
	e, rh, rl, k := logReduce(x, 0)
	h, l := logOf(e, rh, rl, k-shift)
	s := head(h)
	l += h - s
	hi, lo := fastSum(float64(s*factor), float64(l*factor)+float64((s+l)*rest))
	return hi + lo
}

// Log1p returns ln(1+x), to its last digits also near x = 0.
func Log1p(x float64) float64 {
	switch {
	case math.Abs(x) < 0x1p-54 || x-x != 0 && x > 0 || x != x:
		return x
	case x <= -1:
		return math.Inf(-1) + float64(math.Sqrt(x+1)*0) // NaN below −1
	case math.Abs(x) < 0x1p-8:
		return x + (logRest(x) - float64(float64(0.5*x)*x))
	}
	s, low := sum(1, x)
	hi, lo := logOf(logReduce(s, low))
	return hi + lo
}
