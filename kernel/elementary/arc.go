package elementary

import "math"

// sum returns the function of s at its point + hs + ht, as a sum of two; hs is
// a head, |hs| ≤ 1/128 + 2^−20, |ht| ≤ 2^−25·|hs|.
func (s *series) sum(hs, ht float64) (hi, lo float64) {
	h := hs + ht
	h2 := float64(h * h)
	h4 := float64(h2 * h2)
	a := &s.more
	low := (a[0] + float64(a[1]*h)) + float64(h2*(a[2]+float64(a[3]*h)))
	high := (a[4] + float64(a[5]*h)) + float64(h2*a[6])
	hi, e := fastSum(s.value.hi, float64(s.slope.head*hs))
	lo = (e + (s.value.lo + (float64(s.slope.head*ht) + float64(s.slope.rest*h)))) + float64(h2*(low+float64(h4*high)))
	return hi, lo
}

// step returns the whole number nearest to perUnit·q, and that over perUnit, a
// power of two.
func step(q, perUnit float64) (j int, c float64) {
	n, j := atWhole(float64(q * perUnit))
	return j, float64(n / perUnit)
}

// from returns base + hi + lo, for |base| ≥ |hi|.
func from(base *double, hi, lo float64) float64 {
	h, e := fastSum(base.hi, hi)
	return h + (e + (base.lo + lo))
}

// Atan returns the arc tangent in radians, within ±π/2.
func Atan(x float64) float64 {
	a := math.Abs(x)
	if a <= 1 {
		if a < tinyAngle {
			return x
		}
		j, c := step(a, 64)
		h := a - c // exact
		hs := head(h)
		hi, lo := atans[j&127].sum(hs, h-hs)
		return math.Copysign(hi+lo, x)
	}
	if a < 0x1p60 {
		as := head(a)
		q := 1 / a
		qs := head(q)
		qt := float64(((1 - float64(qs*as)) - float64(qs*(a-as))) * q)
		j, c := step(qs, 64)
		hi, lo := atans[j&127].sum(qs-c, qt) // qs − c is exact, and a head
		return math.Copysign(from(&piHalf, -hi, -lo), x)
	}
	if x != x {
		return x
	}
	return math.Copysign(piHalf.hi, x)
}

// Atan2 returns the direction of the point (x, y) in radians, within ±π. (−0
// and infinities follow IEEE 754-2019, 9.2.1.)
func Atan2(y, x float64) float64 {
	n, d := math.Abs(y), math.Abs(x)
	swap := n > d
	if swap {
		n, d = d, n
	}
	// The angle from the nearer axis is the arc tangent of n/d ≤ 1.
	left := math.Signbit(x)
	var hi, lo float64
	if 0x1p-900 < d && d < 0x1p900 && n > float64(d*0x1p-30) {
		hi, lo = ratioArc(n, d)
	} else {
		switch {
		case x != x || y != y:
			return math.NaN()
		case n-n != 0: // both infinite: a diagonal
			hi, lo = ratioArc(1, 1)
		case n <= float64(d*0x1p-30): // also 0 and 0, and d infinite
			if n != 0 {
				hi = n / d
			}
			if !swap && !left {
				return math.Copysign(hi, y)
			}
		default:
			k := exponent(d)
			if d < minNormal {
				n, d = n*0x1p52, d*0x1p52
				k = exponent(d)
			}
			hi, lo = ratioArc(scaleBy(n, -k), scaleBy(d, -k))
		}
	}
	theta := hi + lo
	switch {
	case swap && left:
		theta = from(&piHalf, hi, lo)
	case swap:
		theta = from(&piHalf, -hi, -lo)
	case left:
		theta = from(&piOne, -hi, -lo)
	}
	return math.Copysign(theta, y)
}

// ratioArc returns the arc tangent of n/d as a sum, for 2^−31 ≤ n/d ≤ 1.
func ratioArc(n, d float64) (hi, lo float64) {
	inv := 1 / d
	q := head(float64(n * inv))
	ds := head(d)
	left := (n - float64(q*ds)) - float64(q*(d-ds))
	j, c := step(q, 64)
	return atans[j&127].sum(q-c, float64(left*inv)) // q − c is exact, and a head
}

// scaleBy returns x·2^k in two steps, since 2^k may be no float64.
func scaleBy(x float64, k int) float64 {
	half := k / 2
	return float64(float64(x*scale(half)) * scale(k-half))
}

// halfArc returns the arc sine of √((1 − a)/2) as a sum, for ½ < a < 1.
func halfArc(a float64) (hi, lo float64) {
	z := float64(0.5 * (1 - a)) // exact
	root := math.Sqrt(z)
	rs := head(root)
	rt := root - rs
	left := (z - float64(rs*rs)) - float64((root+rs)*rt)
	j, c := step(rs, 128)
	return asins[j&127].sum(rs-c, rt+float64(left*(0.5/root)))
}

// sineArc returns the arc sine of x as a sum, for |x| ≤ ½.
func sineArc(a float64) (hi, lo float64) {
	j, c := step(a, 128)
	h := a - c
	hs := head(h)
	return asins[j&127].sum(hs, h-hs)
}

// Asin returns the arc sine in radians, within ±π/2; NaN past ±1.
func Asin(x float64) float64 {
	a := math.Abs(x)
	if a <= 0.5 {
		if a < tinyAngle {
			return x
		}
		hi, lo := sineArc(a)
		return math.Copysign(hi+lo, x)
	}
	if a < 1 {
		hi, lo := halfArc(a)
		return math.Copysign(from(&piHalf, -(hi+hi), -(lo+lo)), x)
	}
	if a == 1 {
		return math.Copysign(piHalf.hi, x)
	}
	return math.NaN()
}

// Acos returns the arc cosine in radians, from 0 to π; NaN past ±1.
func Acos(x float64) float64 {
	a := math.Abs(x)
	if a <= 0.5 {
		if a < 0x1p-60 {
			return piHalf.hi
		}
		hi, lo := sineArc(a)
		if x < 0 {
			return from(&piHalf, hi, lo)
		}
		return from(&piHalf, -hi, -lo)
	}
	if a < 1 {
		hi, lo := halfArc(a)
		if x < 0 {
			return from(&piOne, -(hi + hi), -(lo + lo))
		}
		return 2 * (hi + lo)
	}
	switch x {
	case 1:
		return 0
	case -1:
		return piOne.hi
	}
	return math.NaN()
}
