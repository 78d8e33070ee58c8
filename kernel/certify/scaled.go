package certify

import "shaftbook/kernel/interval"

// A scaled value describes a function of δ for 0 < δ ≤ h: it is δ^p·g with g
// somewhere in the interval g. p is an interval only because an exponent may
// be known only within rounding.
//
// With inverse set it is the reciprocal that is δ^p·g, with g ≥ 0: a function
// that grows without measure towards the end, of which only a lower bound is
// known.
type scaled struct {
	p, g    interval.Interval
	inverse bool
}

func plain(v interval.Interval) scaled { return scaled{g: v} }

var badScaled = scaled{p: unsound, g: unsound}

// ok reports whether the function itself is known.
func (s scaled) ok() bool { return isSound(s.p) && isSound(s.g) && !s.inverse }

// recip returns 1/s.
func (s scaled) recip() scaled {
	switch {
	case s.inverse:
		return scaled{p: s.p, g: s.g}
	case !s.ok():
		return badScaled
	}
	return scaled{p: interval.Neg(s.p), g: over(one, s.g)}
}

// grown returns s + t for a function s that grows without measure and a t that
// is not negative, or bounded by half of s.
func (e endReach) grown(s, t scaled) scaled {
	if t.inverse {
		return s
	}
	v := e.values(t)
	if t.ok() && (t.g.Lo >= 0 || isSound(v) && v.Lo >= 0) {
		return s
	}
	// 1/s ≤ δ^p·C ≤ h^p·C, so that s ≥ 1/(h^p·C).
	top := times(e.powerOf(s.p), s.g)
	if isSound(v) && isSound(top) && -v.Lo*2*top.Hi <= 0.999 {
		return scaled{p: s.p, g: times(s.g, point(2)), inverse: true}
	}
	return badScaled
}

// endReach is the interval 0 < δ ≤ h on which scaled values hold.
type endReach struct{ h float64 }

// logSlack is how much of a power of δ bounds a logarithm: |ln δ| ≤ C·δ^(−1/16).
const logSlack = 1.0 / 16

// powerOf returns an enclosure of δ^d for all δ ≤ h; for h ≤ 1 and d ≥ 0.
func (e endReach) powerOf(d interval.Interval) interval.Interval {
	switch {
	case d.Lo == 0 && d.Hi == 0:
		return one
	case d.Lo > 0:
		top := power(point(e.h), point(d.Lo))
		return interval.Interval{Lo: 0, Hi: top.Hi}
	case d.Lo == 0:
		return interval.Interval{Lo: 0, Hi: 1}
	}
	return unsound
}

// values returns an enclosure of the values themselves.
func (e endReach) values(s scaled) interval.Interval {
	if !s.ok() {
		return unsound
	}
	return times(e.powerOf(s.p), s.g)
}

func (e endReach) add(s, t scaled) scaled {
	switch {
	case s.inverse:
		return e.grown(s, t)
	case t.inverse:
		return e.grown(t, s)
	}
	if !s.ok() || !t.ok() {
		return badScaled
	}
	if s.p.Lo > t.p.Lo {
		s, t = t, s
	}
	if s.p == t.p && s.p.IsPoint() {
		return scaled{p: s.p, g: plus(s.g, t.g)}
	}
	d := minus(t.p, s.p)
	return scaled{p: s.p, g: plus(s.g, times(e.powerOf(d), t.g))}
}

func (s scaled) neg() scaled {
	if !s.ok() {
		return badScaled
	}
	return scaled{p: s.p, g: interval.Neg(s.g)}
}

func (s scaled) mul(t scaled) scaled {
	if !s.ok() || !t.ok() {
		return badScaled
	}
	return scaled{p: plus(s.p, t.p), g: times(s.g, t.g)}
}
func (s scaled) div(t scaled) scaled {
	switch {
	case t.inverse:
		return s.mul(t.recip())
	case !s.ok() || !t.ok():
		return badScaled
	}
	return scaled{p: minus(s.p, t.p), g: over(s.g, t.g)}
}

func (s scaled) powInt(n int32) scaled {
	switch {
	case s.inverse && n < 0:
		return s.recip().powInt(-n)
	case !s.ok():
		return badScaled
	}
	return scaled{p: times(s.p, point(float64(n))), g: evaluate(opPowInt, n, s.g, one, one)}
}

func (s scaled) powReal(c interval.Interval) scaled {
	if !s.ok() || !(s.g.Lo > 0) {
		return badScaled
	}
	return scaled{p: times(s.p, c), g: power(s.g, c)}
}

// logarithm returns ln δ: it lies between −C·δ^(−1/16) and 0, C being the
// largest value of δ^(1/16)·|ln δ|, at h or at e^(−16).
func (e endReach) logarithm() scaled {
	if !(e.h < 0.5) {
		return badScaled
	}
	c := interval.Interval{Lo: 0, Hi: 5.8861} // 16/e = 5.886071…
	if e.h < 1e-7 {
		c = times(power(point(e.h), point(logSlack)), interval.Neg(evaluate(opLn, 0, point(e.h), one, one)))
	}
	return scaled{p: point(-logSlack), g: interval.Interval{Lo: -c.Hi, Hi: 0}}
}

func (e endReach) ln(s scaled) scaled {
	if !s.ok() || !(s.g.Lo > 0) {
		return badScaled
	}
	rest := plain(evaluate(opLn, 0, s.g, one, one))
	if s.p == (interval.Interval{}) {
		return rest
	}
	return e.add(plain(s.p).mul(e.logarithm()), rest)
}

// decay is the power of δ that stands for an exponential that vanishes at the
// end faster than every power.
const decay = 8

func (e endReach) exp(s scaled) scaled {
	if !s.ok() {
		return badScaled
	}
	if s.p.Lo >= 0 {
		return plain(evaluate(opExp, 0, e.values(s), one, one))
	}
	if s.p.Hi < 0 && s.g.Lo > 0 {
		falling := e.exp(s.neg())
		falling.inverse = falling.ok()
		return falling
	}
	if s.p.Hi >= 0 || s.g.Hi > 0 {
		return badScaled
	}
	// e^(−k·δ^(−q)) with k ≥ the smallest |g|: δ^(−8)·e^(−k·δ^(−q)) grows up to h
	// if k·q·h^(−q) ≥ 8.
	k, q := point(-s.g.Hi), point(-s.p.Hi)
	at := times(k, power(point(e.h), interval.Neg(q)))
	if grows := times(q, at); !(grows.Lo >= decay) {
		return badScaled
	}
	c := times(evaluate(opExp, 0, interval.Neg(at), one, one), evaluate(opPowInt, -decay, point(e.h), one, one))
	return scaled{p: point(decay), g: interval.Interval{Lo: 0, Hi: c.Hi}}
}

// ratio returns s times a factor between the two numbers, for functions with
// f(v)/v between them for |v| ≤ m.
func (s scaled) ratio(low, high float64) scaled {
	return scaled{p: s.p, g: times(s.g, interval.Interval{Lo: low, Hi: high})}
}

// nearEnd evaluates the function for 0 < variable ≤ h in scaled form. over must
// have been asked for the panel [0, h] before.
func (fr *frame) nearEnd(h float64) scaled {
	f := fr.f
	if fr.end == nil {
		fr.end = make([]scaled, len(f.code))
	}
	fr.spend(1)
	e := endReach{h}
	for i, id := range f.inputs {
		if id < 0 {
			continue
		}
		fr.end[id] = plain(fr.iv[id])
		if i == len(f.inputs)-1 {
			fr.end[id] = scaled{p: one, g: one}
		}
	}
	for i := range f.code {
		switch in := &f.code[i]; in.op {
		case opInput:
		case opConst:
			fr.end[i] = plain(f.consts[in.n])
		default:
			s := fr.scaledAt(e, i, in)
			if !s.ok() && !s.inverse && isSound(fr.iv[i]) {
				s = plain(fr.iv[i])
			}
			fr.end[i] = s
		}
	}
	return fr.end[f.result]
}

func (fr *frame) scaledAt(e endReach, i int, in *instr) scaled {
	x := badScaled
	y := badScaled
	if in.a >= 0 {
		x = fr.end[in.a]
	}
	if in.b >= 0 {
		y = fr.end[in.b]
	}
	switch in.op {
	case opAdd:
		return e.add(x, y)
	case opSub:
		return e.add(x, y.neg())
	case opMul:
		return x.mul(y)
	case opDiv:
		return x.div(y)
	case opNeg:
		return x.neg()
	case opPowInt:
		return x.powInt(in.n)
	case opPowReal:
		if n, ok := wholeExponent(fr.iv[in.b]); ok {
			return x.powInt(int32(n))
		}
		return x.powReal(fr.iv[in.b])
	case opSqrt:
		if !x.ok() || x.g.Lo < 0 {
			return badScaled
		}
		return scaled{p: times(x.p, point(0.5)), g: evaluate(opSqrt, 0, x.g, one, one)}
	case opPow:
		if !x.ok() || !y.ok() {
			return badScaled
		}
		if n, ok := wholeExponent(fr.iv[in.b]); ok {
			return x.powInt(int32(n))
		}
		return e.exp(y.mul(e.ln(x)))
	case opExp:
		return e.exp(x)
	case opExpm1:
		if x.ok() && x.p.Hi < 0 && x.g.Lo > 0 {
			return e.add(e.exp(x), plain(point(-1)))
		}
	case opLn:
		return e.ln(x)
	case opLog10:
		l := e.ln(x)
		return scaled{p: l.p, g: over(l.g, ln10)}
	case opAbs:
		if !x.ok() {
			return badScaled
		}
		return scaled{p: x.p, g: interval.Abs(x.g)}
	case opSelect:
		switch fr.iv[in.a] {
		case yes:
			return y
		case no:
			return fr.end[in.c]
		}
		return badScaled
	case opMin, opMax:
		return fr.scaledChoice(e, in, x, y)
	}
	if !x.ok() {
		return badScaled
	}
	return fr.scaledFunction(e, in.op, x)
}

func (fr *frame) scaledChoice(e endReach, in *instr, x, y scaled) scaled {
	d := e.add(x, y.neg())
	switch {
	case !d.ok():
		return badScaled
	case d.g.Lo >= 0 && in.op == opMax, d.g.Hi <= 0 && in.op == opMin:
		return x
	case d.g.Hi <= 0 && in.op == opMax, d.g.Lo >= 0 && in.op == opMin:
		return y
	}
	return badScaled
}

// scaledFunction keeps the power of a small argument where f(v)/v is bounded.
func (fr *frame) scaledFunction(e endReach, o op, x scaled) scaled {
	v := e.values(x)
	if !isSound(v) {
		switch o { // the argument grows without bound
		case opSin, opCos:
			return plain(interval.Interval{Lo: -1, Hi: 1})
		case opAtan:
			return plain(interval.Interval{Lo: -1.5708, Hi: 1.5708})
		}
		return badScaled
	}
	m := max(-v.Lo, v.Hi)
	if x.p.Lo > 0 && m < 0.5 {
		s := float64(m * m)
		switch o {
		case opSin: // 1 − v²/6 ≤ sin v/v ≤ 1
			return x.ratio(1-float64(s/6*loose), 1)
		case opTan, opAsin: // at most 1 + v² for |v| < ½
			return x.ratio(1, 1+s)
		case opAtan:
			return x.ratio(1-float64(s/3*loose), 1)
		case opExpm1: // (e^v − 1)/v lies within 1 ± |v| for |v| < ½
			return x.ratio(1-m, 1+m)
		case opLog1p: // ln(1+v)/v lies within 1 ± |v| for |v| < ½
			return x.ratio(1-m, 1+m)
		}
	}
	return plain(evaluate(o, 0, v, one, one))
}

// integral returns an enclosure of the integral from 0 to h of a scaled value;
// ok is false where p may be −1 or less.
func (e endReach) integral(s scaled) (v interval.Interval, ok bool) {
	if !s.ok() {
		return unsound, false
	}
	q := plus(s.p, one)
	if !(q.Lo > 0) {
		return unsound, false
	}
	v = times(s.g, over(power(point(e.h), q), q))
	return v, isSound(v)
}

// diverges reports whether the integral from 0 has no finite value for certain:
// the function keeps its sign and is no smaller than a multiple of 1/δ.
func (s scaled) diverges() bool {
	return s.ok() && s.p.Hi <= -1 && (s.g.Lo > 0 || s.g.Hi < 0)
}
