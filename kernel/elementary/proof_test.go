package elementary

import (
	"math"
	"testing"
)

// This file carries the bounds of PROOF.md through every operation of the
// functions, for every entry of the tables. All bounds are moved up by more than
// the rounding of the bounds themselves can be.

const (
	unitRound = 0x1p-53 // the relative error of one rounding
	slack     = 1 + 1e-12
)

// A bound is what is known of a computed number: |computed| ≤ size, and
// |computed − what it stands for| ≤ err. It holds where nothing underflows;
// what does is below 2⁻¹⁰⁰⁰ and is added to a number above 2⁻⁹⁰⁰.
type bound struct{ size, err float64 }

func exactly(size float64) bound      { return bound{math.Abs(size), 0} }
func off(size, err float64) bound     { return bound{math.Abs(size), err} }
func constant(c float64) bound        { return bound{math.Abs(c), math.Abs(c) * unitRound} }
func (a bound) widen(e float64) bound { return bound{(a.size + e) * slack, (a.err + e) * slack} }

// plus is the rounded sum or difference.
func (a bound) plus(b bound) bound {
	size := (a.size + b.size) * slack
	return bound{size * (1 + unitRound), (a.err + b.err + size*unitRound) * slack}
}

// joined is a sum that is exact.
func (a bound) joined(b bound) bound {
	return bound{(a.size + b.size) * slack, (a.err + b.err) * slack}
}

// times is the rounded product.
func (a bound) times(b bound) bound {
	size := a.size * b.size * slack
	return bound{size * (1 + unitRound), (a.size*b.err + (b.size+b.err)*a.err + size*unitRound) * slack}
}

// by is the product where it is exact.
func (a bound) by(b bound) bound {
	return bound{a.size * b.size * slack, (a.size*b.err + (b.size+b.err)*a.err) * slack}
}

// A proof collects the greatest relative error before the last rounding.
type proof struct {
	t     *testing.T
	delta map[string]float64
}

// result records a value hi + lo that is off by err and at least least in size.
func (p *proof) result(name string, err, least float64) {
	if !(least > 0) {
		p.t.Fatalf("%s: a result without a least size", name)
	}
	p.delta[name] = max(p.delta[name], err/least*slack)
}

// ordered checks what fastSum needs.
func (p *proof) ordered(what string, a, b float64) {
	if a != 0 && math.Ilogb(a) < math.Ilogb(b) {
		p.t.Errorf("%s: %g is smaller than %g", what, a, b)
	}
}

// expRestOf is expRest(r), standing for e^r − 1 − r; the terms left out are r⁷/5040 and on.
func expRestOf(r bound) bound {
	r2 := r.times(r)
	a := exactly(0.5).plus(r.times(constant(1.0 / 6)))
	b := constant(1.0 / 24).plus(r.times(constant(1.0 / 120))).plus(r2.times(constant(1.0 / 720)))
	return r2.times(a.plus(r2.times(b))).widen(math.Pow(r.size, 7) / 5040 * 1.01)
}

const (
	expRange = math.Ln2 / 256 * (1 + 0x1p-30)
	// expReduced is how far r is off after the reduction: n ≤ 2^17.2, the
	// second part of the step is off by 2^-53 of itself, and its product with n
	// is rounded.
	expReduced = 150_000 * expStep2 * 2 * unitRound
)

func (p *proof) exp() {
	for j := range exp2 {
		e := &exp2[j]
		near, rest := constant(e.near), constant(e.rest)
		// Exp: r is one float64, rounded once.
		r := off(expRange, expReduced).plus(exactly(0))
		lo := rest.plus(near.times(r.plus(expRestOf(r))))
		p.ordered("exp", e.head, lo.size)
		p.result("exp", lo.err, e.near*(1-2*expRange))

		// expFar: r = rh + rl + xl; what rl leaves out is its own rounding.
		rl := off(0x1p-40, expReduced+0x1p-40*unitRound*3)
		q := exactly(expRange).plus(rl.plus(expRestOf(bound{expRange, 0x1p-60}))) // expRest takes rh for r
		q = q.widen(expRange * 0x1p-60 * 2)
		lo = rest.plus(near.times(q))
		p.result("expFar", lo.err, e.near*(1-2*expRange))

		// Expm1, by powers of 2 of the result and for j ≠ 0 by entries.
		for _, k := range []int{-26, -20, -10, -5, -3, -2, -1, 0, 1, 2, 4, 8, 16, 26} {
			s := math.Ldexp(1, k)
			at := (float64(k) + float64(j)/128) * math.Ln2
			least := math.Min(math.Abs(math.Expm1(at-expRange)), math.Abs(math.Expm1(at+expRange))) * (1 - 0x1p-40)
			if j == 0 && k == 0 {
				for size := expRange; size > 0x1p-55; size /= 2 {
					p.expm1(e, s, size, size/2*(1-size))
				}
				continue
			}
			p.ordered("expm1", s*e.head-1, s*e.head*expRange)
			p.expm1(e, s, expRange, least)
		}
	}
}

func (p *proof) expm1(e *split, s, size, least float64) {
	rl := off(size*2*unitRound, expReduced)
	if size < expRange { // no reduction: r = x
		rl = exactly(0)
	}
	r := bound{size, size*2*unitRound + rl.err}
	if size < expRange {
		r.err = 0
	}
	ht := exactly(size * 0x1p-26).plus(rl)
	lo := constant(e.rest).times(exactly(1).plus(r)).plus(exactly(e.head).times(ht)).plus(constant(e.near).times(expRestOf(r)))
	if e.rest == 0 {
		lo = exactly(e.head).times(ht).plus(constant(e.near).times(expRestOf(r)))
		if size < expRange {
			lo = exactly(size * 0x1p-26).plus(expRestOf(r)) // factors 1, and ht exact
		}
	}
	rest := exactly(math.Abs(s*e.head-1) * unitRound).plus(bound{lo.size * s, lo.err * s})
	p.result("expm1", rest.err, least)
}

// logRestOf is logRest(r), standing for ln(1+r) − r + r²/2.
func logRestOf(r bound) bound {
	r2 := r.times(r)
	a := constant(1.0 / 3).plus(r.times(exactly(0.25)))
	b := constant(0.2).plus(r.times(constant(1.0 / 6)))
	c := constant(1.0 / 7).plus(r.times(exactly(0.125))).plus(r2.times(constant(1.0 / 9)))
	left := math.Pow(r.size, 10) / 10 / (1 - r.size)
	return r2.times(r).times(a.plus(r2.times(b.plus(r2.times(c))))).widen(left)
}

// logCases calls f for every entry and power of 2: the size of r, of w, and the
// least size of the result.
func (p *proof) logCases(f func(e *logEntry, n, r, w, least float64)) {
	for i := range logs {
		e := &logs[i]
		j := float64(i + logFirst)
		from, to := math.Max((j-0.5)/128, math.Sqrt(0.5)*(1-0x1p-50)), math.Min((j+0.5)/128, math.Sqrt2*(1+0x1p-50))
		r := max(math.Abs(from*e.inv-1), math.Abs(to*e.inv-1)) * slack
		if r > 0.0063 {
			p.t.Fatalf("entry %v: r up to %g", j, r)
		}
		for k := -1075; k <= 1024; k++ {
			if k > 4 && k < 1020 || k < -4 && k > -1070 {
				continue // between cases that are worse
			}
			n := float64(k)
			w := n*ln2Hi + e.hi
			if w == 0 {
				for size := r; size > 0x1p-60; size /= 2 {
					f(e, n, size, 0, size/2*(1-size))
				}
				continue
			}
			p.ordered("ln", w, r)
			low, high := n*math.Ln2+math.Log(from), n*math.Ln2+math.Log(to)
			f(e, n, r, math.Abs(w), math.Min(math.Abs(low), math.Abs(high))*(1-0x1p-40))
		}
	}
}

// lowOf is lo of logOf, with the square taken as one product.
func lowOf(e *logEntry, n, r, w float64) bound {
	rl := exactly(r * unitRound) // exact but for r − 1 at powers of 2
	rest := exactly((w + r) * unitRound)
	rh := bound{r, r * unitRound} // stands for rh + rl
	square := exactly(0.5).by(rh).times(rh)
	inner := constant(e.lo).plus(exactly(n).times(constant(ln2Lo)))
	return rest.plus(rl.plus(inner)).plus(logRestOf(rh).plus(square))
}

func (p *proof) log() {
	p.logCases(func(e *logEntry, n, r, w, least float64) {
		lo := lowOf(e, n, r, w)
		p.result("ln", lo.err, least)
		// log1p: what 1+x leaves out is rounded into the rest of z, below 2^-27
		// of it; near 1, where that would count, x is taken as it is.
		if w != 0 || r > 0x1p-9 {
			p.result("log1p", lo.err+0x1p-26*unitRound*1.5, max(least, 0x1p-8*(1-0x1p-8)))
		} else {
			p.result("log1p", lo.err, least)
		}
		// log10 and log2: (h + l)·(factor + rest), relative to h.
		l := exactly(lo.size).plus(exactly((w + r) * 0x1p-26))
		size := w + r
		factor := 1.5
		low := l.times(exactly(factor)).plus(exactly(size).times(exactly(factor * 0x1p-26)).widen(size * factor * 0x1p-26 * 3 * unitRound))
		err := low.err + lo.err*factor + size*factor*0x1p-26*2*unitRound
		p.result("log10", err, least*factor)
	})
	p.delta["log2"] = p.delta["log10"]
	// The direct way of Log1p, |x| < 2^-8.
	for size := 0x1p-8; size > 0x1p-55; size /= 2 {
		x := exactly(size)
		lo := logRestOf(x).plus(exactly(0.5).by(x).times(x))
		p.result("log1p", lo.err, size/2*(1-size))
	}
}

// pow: ln x with its square exact, times y, then expFar.
func (p *proof) pow() {
	worst := 0.0
	p.logCases(func(e *logEntry, n, r, w, least float64) {
		rl := exactly(r * unitRound)
		rh := bound{r, r * unitRound}
		e1, e2 := exactly((w+r)*unitRound), exactly((w+r)*unitRound)
		tail := exactly(0.5).by(exactly(2 * r)).times(exactly(r * 0x1p-26)).plus(exactly(r).times(rl)).widen(r * unitRound * r * unitRound)
		inner := rl.plus(constant(e.lo)).plus(exactly(n).times(constant(ln2Lo)).plus(tail))
		lo := e1.plus(e2).plus(inner).plus(logRestOf(rh))
		err := lo.err + (w+r)*0x1p-105 // the last fastSum keeps its error
		worst = max(worst, err/least)
	})
	const largest = 747 // of |y·ln x| that is not 0 or infinite
	// q: three sums of terms below 2^-25·p, and products of rests.
	product := exactly(largest * 0x1p-25).plus(exactly(largest * 0x1p-25)).plus(exactly(largest * 0x1p-25)).plus(exactly(largest * 0x1p-51).times(exactly(1))).plus(exactly(largest * 0x1p-52).times(exactly(1)))
	p.delta["pow"] = p.delta["expFar"] + (worst*largest+product.err)*1.01
	delete(p.delta, "expFar")
}

const (
	angleRange = math.Pi / 128 * (1 + 0x1p-30)
	// angleReduced is how far r is off after reduce: n ≤ 65,190, and rl, below
	// 2^-58, is rounded twice. reduceFar is off by less than 2^-95 of r.
	angleReduced = 65_190*angleStep3*3*unitRound + 0x1p-58*unitRound
	angleRest    = angleRange*unitRound + 65_190*angleStep3*1.01
)

// waves are u = sin r − r and v = cos r − 1 of wave.
func waves(r bound) (u, v bound) {
	r2 := r.times(r)
	u = r2.times(r).times(r2.times(constant(1.0 / 120).plus(r2.times(constant(1.0 / 5040)))).plus(constant(1.0 / 6)))
	v = r2.times(r2.times(constant(1.0 / 24)).plus(exactly(0.5)).plus(r2.times(r2).times(constant(1.0 / 720).plus(r2.times(constant(1.0 / 40320))))))
	return u.widen(math.Pow(r.size, 9) / 362880), v.widen(math.Pow(r.size, 10) / 3628800)
}

func (p *proof) sin() {
	one := func(j int, size, least float64) {
		s, c := &sines[j], &sines[(j+32)&127]
		rest := angleRest
		reduced := angleReduced
		if size < angleRange { // next to a zero: from reduceFar, or r = x; or above smallWave
			rest, reduced = size*unitRound, size*0x1p-75
			if size > smallWave/2 {
				rest, reduced = angleRest, angleReduced
			}
		}
		r := bound{size, rest}
		u, v := waves(r)
		ht := exactly(size * 0x1p-26).plus(off(rest, reduced))
		hi := max(math.Abs(s.head), size)
		lo := exactly(hi * 2 * unitRound).plus(constant(s.rest).plus(exactly(c.head).times(ht).plus(constant(c.rest).times(r))).plus(constant(s.near).times(v).plus(constant(c.near).times(u))))
		p.result("sin", lo.err, least)
	}
	for j := range 128 {
		if j%64 == 0 {
			for size := angleRange; size > 0x1p-62; size /= 2 {
				one(j, size, size/2*0.999)
			}
			continue
		}
		s, c := math.Abs(sines[j].near), math.Abs(sines[(j+32)&127].near)
		p.ordered("sin", s, c*angleRange)
		one(j, angleRange, s*0.9996-c*angleRange)
	}
	p.delta["cos"] = p.delta["sin"]
}

// quotient carries (nh + nl)/(dh + dl) through the steps that all quotients
// take, and returns the error of head + rest. dLeast is the least divisor.
func quotientError(n, d bound, dLeast float64) float64 {
	q := n.size / dLeast * slack
	// The head q is exact by definition; left = n − q·d is at most 2^-25·q·d,
	// and is rounded in the product q·(rest of d), and in two sums.
	left := q * d.size * 0x1p-24
	err := left*4*unitRound + n.err + q*d.err
	return err/dLeast + left/dLeast*6*unitRound
}

func (p *proof) tan() {
	one := func(j int, size, least float64) {
		at := &tans[j]
		rest, reduced := angleRest, angleReduced
		if size <= smallWave/2 {
			rest, reduced = size*unitRound, size*0x1p-75
		}
		r := bound{size, rest}
		r2 := r.times(r)
		cube := r2.times(r).times(constant(1.0 / 3).plus(r2.times(constant(2.0 / 15))).plus(r2.times(r2).times(constant(17.0 / 315).plus(r2.times(constant(62.0 / 2835))))))
		cube = cube.widen(math.Pow(size, 11) * 0.0089 * 1.01)
		ut := exactly(size * 0x1p-26).plus(off(rest, reduced)).plus(cube)
		u := exactly(size * 1.001).plus(ut)
		u.size = size * 1.001
		n := exactly(at.slope.head * size).joined(exactly(at.slope.head).times(ut).plus(constant(at.slope.rest).times(u)))
		d := exactly(1 + math.Abs(at.t.head)*size).joined(exactly(unitRound).plus(exactly(at.t.head).times(ut).plus(constant(at.t.rest).times(u))))
		dLeast := 1 - math.Abs(at.t.near)*size*1.001
		if j == 32 {
			// −1/u, the size being the greatest of r, and half of it the least.
			n, d, dLeast = exactly(1), exactly(size).joined(ut), size/2
			p.result("tan", quotientError(n, d, dLeast)+n.size/dLeast*0x1p-26*unitRound*4, 1/(size*1.001))
			return
		}
		err := quotientError(n, d, dLeast)
		q := n.size / dLeast
		low := constant(at.t.rest).plus(exactly(q * 0x1p-25)).plus(exactly((math.Abs(at.t.head) + q) * unitRound))
		p.result("tan", err+low.err, least)
	}
	for j := range 64 {
		if j%32 == 0 {
			for size := angleRange; size > 0x1p-62; size /= 2 {
				one(j, size, size/2)
			}
			continue
		}
		// The size of the tangent at the end nearer to 0.
		at := float64(min(j, 64-j)) * math.Pi / 64
		p.ordered("tan", tans[j].t.near, (1+tans[j].t.near*tans[j].t.near)*angleRange*1.001/(1+math.Abs(tans[j].t.near)*angleRange))
		one(j, angleRange, math.Tan(at-angleRange)*(1-0x1p-40))
	}
}

// seriesError is the error of series.sum: h within size, its rest off by htErr.
// tail bounds the terms past h⁸.
func seriesError(s *series, size, htErr, tail float64) float64 {
	h := exactly(size).plus(exactly(0))
	h2 := h.times(h)
	h4 := h2.times(h2)
	c := func(i int) bound { return constant(s.more[i]) }
	low := c(0).plus(c(1).times(h)).plus(h2.times(c(2).plus(c(3).times(h))))
	high := c(4).plus(c(5).times(h)).plus(h2.times(c(6)))
	ht := off(size*0x1p-25, htErr)
	line := constant(s.value.lo).plus(exactly(s.slope.head).times(ht).plus(constant(s.slope.rest).times(h)))
	hi := max(s.value.hi, s.slope.head*size)
	lo := exactly(hi * unitRound).plus(line).plus(h2.times(low.plus(h4.times(high))))
	return lo.err + tail + htErr*s.slope.near*1.01
}

func (p *proof) arcs() {
	half := 1.0 / 128 * (1 + 0x1p-20)
	for j := range 65 {
		s := &atans[j]
		tail := func(h float64) float64 { return math.Pow(h, 9) / 9 / (1 - h) } // |coefficient of h^k| ≤ 1/k
		// The quotient of Atan and Atan2 is off by 2^-76 of itself.
		if j == 0 {
			for size := half; size > 0x1p-32; size /= 2 {
				err := seriesError(s, size, size*0x1p-74, tail(size))
				p.result("atan", err, size/2*0.999)
			}
			continue
		}
		err := seriesError(s, half, 2*0x1p-74, tail(half))
		p.ordered("atan", s.value.hi, s.slope.head*half)
		p.result("atan", err, math.Atan(float64(j)/64-half)*(1-0x1p-40))
	}
	p.delta["atan2"] = p.delta["atan"]
	// base ± (hi + lo), least ½: hi is at most π/4 and lo 2^-7 of it.
	whole := func(err float64) float64 {
		low := exactly(4 * unitRound).plus(exactly(0x1p-53).plus(off(0x1p-13, err)))
		return low.err + 4*0x1p-106
	}
	for _, name := range []string{"atan", "atan2"} {
		p.result(name, whole(p.delta[name]), math.Pi/4*(1-0x1p-20))
	}

	half /= 2
	for j := range 65 {
		s := &asins[j]
		c := float64(j) / 128
		// All Taylor coefficients of the arc sine are ≥ 0, so the tail is at
		// most (h/ρ)⁹·asin(c + ρ) while c + ρ ≤ 1.
		tail := func(h float64) float64 { return math.Pow(h/(1-c), 9) * math.Pi / 2 }
		if j == 0 {
			for size := half; size > 0x1p-32; size /= 2 {
				p.result("asin", seriesError(s, size, size*0x1p-74, tail(size)), size/2*0.999)
			}
			continue
		}
		p.ordered("asin", s.value.hi, s.slope.head*half)
		p.result("asin", seriesError(s, half, 0x1p-74, tail(half)), math.Asin(c-half)*(1-0x1p-40))
	}
	p.result("asin", whole(2*p.delta["asin"]*math.Pi/6), math.Pi/6*(1-0x1p-20))
	p.delta["acos"] = max(p.delta["asin"], whole(2*p.delta["asin"])/(math.Pi/3))
}

// TestProof checks that the bounds of PROOF.md follow: before its last rounding
// a result is off by delta, relatively; so it is off by at most 1/2 + 2^53·delta
// units in the last place after it.
func TestProof(t *testing.T) {
	p := &proof{t, map[string]float64{}}
	p.exp()
	p.log()
	p.pow()
	p.sin()
	p.tan()
	p.arcs()
	for _, f := range functions {
		delta, ok := p.delta[f.name]
		if !ok {
			t.Errorf("%s has no proof", f.name)
		}
		proven := 0.5 + delta*0x1p53
		t.Logf("%-6s %.4f units", f.name, proven)
		if !(proven <= f.bound) {
			t.Errorf("%s: proven %.4f units, stated %.2f", f.name, proven, f.bound)
		}
	}
}
