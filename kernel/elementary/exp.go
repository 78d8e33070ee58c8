package elementary

import "math"

const (
	// expLargest is ln of the largest float64, rounded down.
	expLargest = 0x1.62e42fefa39efp+9
	// expNormal is where e^x may leave the normal numbers.
	expNormal = 708
	// expLeast is below ln 2^−1076, where e^x rounds to 0.
	expLeast = -746
)

// expReduce returns e^(xh+xl) = 2^k·T·e^r: the entry of T, and r as a sum. It
// takes |xh| ≤ 800, |xl| ≤ 2^−40.
func expReduce(xh, xl float64) (t *split, rh, rl float64, k int) {
	n, j := atWhole(float64(xh * expPerStep))
	u := xh - float64(n*expStep1) // exact
	v := float64(n*expStep2) - xl
	rh = u - v
	rl = (u - rh) - v
	return &exp2[j&127], rh, rl, j >> 7
}

// expRest returns e^r − 1 − r for |r| ≤ 0.0028: the terms r²/2 to r⁶/720.
func expRest(r float64) float64 {
	r2 := float64(r * r)
	a := 0.5 + float64(r*(1.0/6))
	b := (1.0/24 + float64(r*(1.0/120))) + float64(r2*(1.0/720))
	return float64(r2 * (a + float64(r2*b)))
}

// Exp returns e^x: 0 where that is below half the smallest float64, +Inf where
// it is too large.
func Exp(x float64) float64 {
	if math.Abs(x) < expNormal {
		n, j := atWhole(float64(x * expPerStep))
		r := (x - float64(n*expStep1)) - float64(n*expStep2)
		t := &exp2[j&127]
		p := r + expRest(r)
		y := t.head + (t.rest + float64(t.near*p))
		return math.Float64frombits(math.Float64bits(y) + uint64(j>>7)<<52)
	}
	return expFar(x, 0)
}

// expFar returns e^(xh+xl) for every xh.
func expFar(xh, xl float64) float64 {
	switch {
	case xh != xh:
		return xh
	case xh > expLargest+1:
		return math.Inf(1)
	case xh < expLeast:
		return 0
	}
	t, rh, rl, k := expReduce(xh, xl)
	p := rh + (rl + expRest(rh))
	hi, lo := fastSum(t.head, t.rest+float64(t.near*p))
	return scaled(hi, lo, k)
}

// scaled returns (hi+lo)·2^k rounded once, for 0.9 ≤ hi ≤ 2.1 and |k| ≤ 1200.
func scaled(hi, lo float64, k int) float64 {
	switch {
	case k >= 1024:
		if k > 1025 {
			return math.Inf(1)
		}
		return float64(float64(hi*0x1p1023) * scale(k-1023))
	case k > -1022:
		return float64(hi * scale(k))
	case k < -1080:
		return 0
	}
	// The sum with 1 rounds where the subnormal result must: to multiples of
	// 2^−52 = 2^−1074·2^1022.
	hi, lo = float64(hi*scale(k+1022)), float64(lo*scale(k+1022))
	if hi >= 1 {
		return float64(hi * 0x1p-1022)
	}
	s, e := fastSum(1, hi)
	return float64(((s + (e + lo)) - 1) * 0x1p-1022)
}

// Expm1 returns e^x − 1, to its last digits also near x = 0.
func Expm1(x float64) float64 {
	switch {
	case math.Abs(x) < 0x1p-54 || x != x:
		return x
	case x < -40:
		return -1
	case x < -18:
		return Exp(x) - 1
	case x > 60:
		return Exp(x)
	}
	t, rh, rl, k := expReduce(x, 0)
	s := scale(k)
	hs := head(rh)
	ht := (rh - hs) + rl
	q := expRest(rh)
	lo := float64(t.rest*(1+rh)) + float64(t.head*ht) + float64(t.near*q)
	if x > 18 {
		hi := t.head + float64(t.head*hs)
		lo += float64(t.head*hs) - (hi - t.head)
		return float64((hi + (lo - scale(-k))) * s)
	}
	one := float64(t.head*s) - 1 // exact
	hi, e := fastSum(one, float64(float64(t.head*hs)*s))
	return hi + (e + float64(lo*s))
}

// Cosh returns (e^x + e^−x)/2.
func Cosh(x float64) float64 {
	a := math.Abs(x)
	if a > 40 {
		h := Exp(a / 2)
		return float64(float64(0.5*h) * h)
	}
	e := Exp(a)
	return float64(0.5*e) + 0.5/e
}

// Sinh returns (e^x − e^−x)/2.
func Sinh(x float64) float64 {
	a := math.Abs(x)
	if a > 40 {
		return math.Copysign(Cosh(a), x)
	}
	e := Expm1(a)
	return math.Copysign(0.5*(e+e/(1+e)), x)
}
