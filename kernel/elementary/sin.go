package elementary

import (
	"math"
	"math/bits"
)

const (
	// nearAngle is the size up to which three terms of π/64 are enough.
	nearAngle = 3200
	// smallWave is the size of a result below which they are not.
	smallWave = 0x1p-30
	// tinyAngle is where x²/2 no longer counts.
	tinyAngle = 0x1p-27
)

// reduce returns x = j·π/64 + rh + rl, for |x| ≤ nearAngle.
func reduce(x float64) (j int, rh, rl float64) {
	n, j := atWhole(float64(x * anglePerStep))
	u := x - float64(n*angleStep1) // exact
	rh, e := sum(u, -float64(n*angleStep2))
	return j, rh, e - float64(n*angleStep3)
}

// reduceFar is reduce for every finite |x| ≥ 2^−10, to about 100 bits of r: it
// multiplies by 1/(2π) in binary and keeps what is right of the point (Payne
// and Hanek 1983).
func reduceFar(x float64) (j int, rh, rl float64) {
	b := math.Float64bits(x)
	m := b&(1<<52-1) | 1<<52
	skip := exponent(math.Abs(x)) - 52 + 64 // bits of turns that give whole turns
	first, by := skip/64, uint(skip%64)
	var w [4]uint64
	for i := range w {
		w[i] = turns[first+i] << by
		if by > 0 {
			w[i] |= turns[first+i+1] >> (64 - by)
		}
	}
	// f is the fraction of a turn, in 256 bits; the last 53 or so are unsure.
	var f [4]uint64
	var carry uint64
	for i := 3; i >= 0; i-- {
		h, l := bits.Mul64(m, w[i])
		var c uint64
		f[i], c = bits.Add64(l, carry, 0)
		carry = h + c
	}
	j = int(f[0] >> 57)
	for i := range 3 {
		f[i] = f[i]<<7 | f[i+1]>>57
	}
	f[3] <<= 7
	sign := 1.0
	if f[0]>>63 == 1 { // nearer to the next step
		j++
		sign = -1
		var borrow uint64
		for i := 3; i >= 0; i-- {
			f[i], borrow = bits.Sub64(0, f[i], borrow)
		}
	}
	at := -64
	for f[0] == 0 {
		f[0], f[1], f[2], f[3] = f[1], f[2], f[3], 0
		at -= 64
	}
	n := uint(bits.LeadingZeros64(f[0]))
	if n > 0 {
		f[0], f[1] = f[0]<<n|f[1]>>(64-n), f[1]<<n|f[2]>>(64-n)
	}
	unit := sign * scale(at-int(n))
	fh := float64(float64(f[0]>>11<<11) * unit)
	fl := float64(float64(float64(f[0]&(1<<11-1))+float64(float64(f[1]>>11)*0x1p-53)) * unit)
	if x < 0 {
		j, fh, fl = -j, -fh, -fl
	}
	rh = float64(fh * angleStepHi)
	rl = math.FMA(fh, angleStepHi, -rh) + (float64(fh*angleStepLo) + float64(fl*angleStepHi))
	return j, rh, rl
}

// wave returns sin(j·π/64 + rh + rl) as a sum of two, |rh| ≤ 0.0246.
func wave(j int, rh, rl float64) (hi, lo float64) {
	s, c := &sines[j&127], &sines[(j+32)&127]
	r2 := float64(rh * rh)
	u := float64(float64(r2*rh) * (float64(r2*(1.0/120-float64(r2*(1.0/5040)))) - 1.0/6))                         // sin r − r
	v := float64(r2 * ((float64(r2*(1.0/24)) - 0.5) - float64(float64(r2*r2)*(1.0/720-float64(r2*(1.0/40320)))))) // cos r − 1
	hs := head(rh)
	ht := (rh - hs) + rl
	hi, e := fastSum(s.head, float64(c.head*hs))
	lo = e + ((s.rest + (float64(c.head*ht) + float64(c.rest*rh))) + (float64(s.near*v) + float64(c.near*u)))
	return hi, lo
}

// Sin returns the sine of x, in radians.
func Sin(x float64) float64 { return turned(x, 0) }

// Cos returns the cosine of x, in radians.
func Cos(x float64) float64 { return turned(x, 32) }

// turned returns sin(x + turn·π/64), turn 0 or 32.
func turned(x float64, turn int) float64 {
	a := math.Abs(x)
	if a <= nearAngle {
		if a < tinyAngle {
			if turn == 0 {
				return x
			}
			return 1
		}
		j, rh, rl := reduce(x)
		hi, lo := wave(j+turn, rh, rl)
		if y := hi + lo; math.Abs(y) >= smallWave || j == 0 {
			return y
		}
	}
	if x-x != 0 {
		return math.NaN()
	}
	j, rh, rl := reduceFar(x)
	hi, lo := wave(j+turn, rh, rl)
	return hi + lo
}

// A fraction is (nh + nl)/(dh + dl), to be added to t; it is the tangent of
// j·π/64 + r. With u for the tangent of r that is
// t + (1 + t²)·u/(1 − t·u), and at the pole, j = 32 (mod 64), −1/u.
type fraction struct {
	nh, nl, dh, dl float64
	t              *split
}

func (f *fraction) set(j int, rh, rl float64) {
	r2 := float64(rh * rh)
	cube := float64(float64(r2*rh) * ((1.0/3 + float64(r2*(2.0/15))) + float64(float64(r2*r2)*(17.0/315+float64(r2*(62.0/2835))))))
	us := head(rh)
	ut := ((rh - us) + rl) + cube
	u := us + ut
	at := &tans[j&63]
	f.t = &at.t
	if j&63 == 32 {
		f.nh, f.nl, f.dh, f.dl = -1, 0, us, ut
		return
	}
	f.nh = float64(at.slope.head * us) // exact
	f.nl = float64(at.slope.head*ut) + float64(at.slope.rest*u)
	var e float64
	f.dh, e = fastSum(1, -float64(at.t.head*us))
	f.dl = e - (float64(at.t.head*ut) + float64(at.t.rest*u))
}

// value returns the tangent, and whether it is exact enough for a remainder of
// reduce: it is neither small nor large.
func (f *fraction) value() (y float64, sure bool) {
	inv := 1 / (f.dh + f.dl)
	q := head(float64((f.nh + f.nl) * inv))
	ds := head(f.dh)
	left := ((f.nh - float64(q*ds)) - float64(q*((f.dh-ds)+f.dl))) + f.nl
	hi, e := fastSum(f.t.head, q)
	y = hi + (e + (f.t.rest + float64(left*inv)))
	a := math.Abs(y)
	return y, smallWave <= a && a <= 1/smallWave
}

// Tan returns the tangent of x, in radians.
func Tan(x float64) float64 {
	a := math.Abs(x)
	if a <= nearAngle {
		if a < tinyAngle {
			return x
		}
		var f fraction
		j, rh, rl := reduce(x)
		f.set(j, rh, rl)
		if y, sure := f.value(); sure || j == 0 {
			return y
		}
	}
	if x-x != 0 {
		return math.NaN()
	}
	var f fraction
	f.set(reduceFar(x))
	y, _ := f.value()
	return y
}

// Sincos returns Sin(x) and Cos(x).
func Sincos(x float64) (sin, cos float64) { return Sin(x), Cos(x) }
