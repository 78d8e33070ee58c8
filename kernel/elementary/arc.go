package elementary

import "math"

// angle returns the arc tangent of n/d as a sum, for 0 ≤ n ≤ d(1 + 2^−20); both
// are given as a sum of a head and a rest, below 2^−25 of it. n and d lie
// between 2^−200 and 2^200, or n is 0.
func angle(ns, nt, ds, dt float64, j int) (hi, lo float64) {
	c := float64(j) * (1.0 / 64)
	nh, nl := fastSum(ns-float64(c*ds), nt-float64(c*dt))
	dh, dl := fastSum(ds+float64(c*ns), dt+float64(c*nt))
	t, rest := quotient(nh, nl, dh, dl)
	near := t + rest
	t2 := float64(near * near)
	cube := float64(float64(t2*near) * (float64(t2*(0.2-float64(t2*(1.0/7-float64(t2*(1.0/9)))))) - 1.0/3))
	a := &arcs[j]
	hi, e := fastSum(a.hi, t)
	return hi, e + (a.lo + (rest + cube))
}

// nearest64 returns the whole number nearest to 64·q, for 0 ≤ q ≤ 1.01.
func nearest64(q float64) int {
	_, j := atWhole(float64(q * 64))
	return min(j, 64)
}

// from returns base ± (hi+lo).
func from(base *double, sign, hi, lo float64) float64 {
	h, e := fastSum(base.hi, float64(sign*hi))
	return h + (e + (base.lo + float64(sign*lo)))
}

// Atan returns the arc tangent in radians, within ±π/2.
func Atan(x float64) float64 {
	a := math.Abs(x)
	xs := head(a)
	switch {
	case a <= 1:
		if a < tinyAngle {
			return x
		}
		hi, lo := angle(xs, a-xs, 1, 0, nearest64(a))
		return math.Copysign(hi+lo, x)
	case a < 0x1p60:
		hi, lo := angle(1, 0, xs, a-xs, nearest64(1/a))
		return math.Copysign(from(&piHalf, -1, hi, lo), x)
	case x != x:
		return x
	}
	return math.Copysign(piHalf.hi, x)
}

// Atan2 returns the direction of the point (x, y) in radians, within ±π. (−0
// and infinities follow IEEE 754-2019, 9.2.1.)
func Atan2(y, x float64) float64 {
	n, d := math.Abs(y), math.Abs(x)
	if x != x || y != y {
		return math.NaN()
	}
	if n-n != 0 && d-d != 0 { // both infinite: a diagonal
		n, d = 1, 1
	}
	swap := n > d
	if swap {
		n, d = d, n
	}
	// The angle from the nearer axis is the arc tangent of n/d ≤ 1.
	q := 0.0
	if n != 0 {
		q = n / d
	}
	var hi, lo float64
	switch {
	case q < 0x1p-30:
		if !swap && !math.Signbit(x) {
			return math.Copysign(q, y)
		}
		hi = q
	default:
		k := exponent(d)
		if d < minNormal {
			n, d, k = n*0x1p52, d*0x1p52, exponent(d*0x1p52)
		}
		// In two steps, since 2^−k may be no float64; d becomes 1 … 2.
		n, d = scaleBy(n, -k), scaleBy(d, -k)
		ns, ds := head(n), head(d)
		hi, lo = angle(ns, n-ns, ds, d-ds, nearest64(q))
	}
	var theta float64
	switch {
	case swap && math.Signbit(x):
		theta = from(&piHalf, 1, hi, lo)
	case swap:
		theta = from(&piHalf, -1, hi, lo)
	case math.Signbit(x):
		theta = from(&piOne, -1, hi, lo)
	default:
		theta = hi + lo
	}
	return math.Copysign(theta, y)
}

func scaleBy(x float64, k int) float64 {
	half := k / 2
	return float64(float64(x*scale(half)) * scale(k-half))
}

// legOf returns √(1 − a²) as a head and a rest, for 0 ≤ a < 1.
func legOf(a float64) (s, rest float64) {
	var h, l float64
	if a < 0.5 {
		hi, lo := square(a)
		h = 1 - hi
		l = ((1 - h) - hi) - lo
	} else {
		w := 1 - a // exact, as 1 − a² = 2w − w²
		hi, lo := square(w)
		h = (w + w) - hi
		l = (((w + w) - h) - hi) - lo
	}
	h, l = fastSum(h, l)
	root := math.Sqrt(h)
	s = head(root)
	left := ((h - float64(s*s)) - float64((root+s)*(root-s))) + l
	return s, (root - s) + float64(left*(0.5/root))
}

// Asin returns the arc sine in radians, within ±π/2; NaN past ±1.
func Asin(x float64) float64 {
	a := math.Abs(x)
	switch {
	case a < tinyAngle:
		return x
	case a == 1:
		return math.Copysign(piHalf.hi, x)
	case !(a < 1):
		return math.NaN()
	}
	ls, lt := legOf(a)
	as := head(a)
	if a <= ls {
		hi, lo := angle(as, a-as, ls, lt, nearest64(a/ls))
		return math.Copysign(hi+lo, x)
	}
	hi, lo := angle(ls, lt, as, a-as, nearest64(ls/a))
	return math.Copysign(from(&piHalf, -1, hi, lo), x)
}

// Acos returns the arc cosine in radians, from 0 to π; NaN past ±1.
func Acos(x float64) float64 {
	a := math.Abs(x)
	switch {
	case a < 0x1p-60:
		return piHalf.hi
	case x == 1:
		return 0
	case x == -1:
		return piOne.hi
	case !(a < 1):
		return math.NaN()
	}
	ls, lt := legOf(a)
	as := head(a)
	if a <= ls {
		hi, lo := angle(as, a-as, ls, lt, nearest64(a/ls))
		return from(&piHalf, -math.Copysign(1, x), hi, lo)
	}
	hi, lo := angle(ls, lt, as, a-as, nearest64(ls/a))
	if x < 0 {
		return from(&piOne, -1, hi, lo)
	}
	return hi + lo
}
