package certify

import (
	"math"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/interval"
)

// A disc holds every complex number within r of x + iy whose modulus is at
// least lo. A result that is not a number, or unbounded, has r NaN or infinite.
//
// Centers are computed in float64 and their errors, a-priori bounds with
// room to spare, go into r: a disc only bounds how large a function is, so a
// factor of 1 + 1e-12 costs nothing.
type disc struct{ x, y, r, lo float64 }

var badDisc = disc{r: math.Inf(1)}

func (d disc) ok() bool { return d.r < math.MaxFloat64 }

const (
	loose  = 1 + 1e-12 // outward factor for radii
	tight  = 1 - 1e-12 // inward factor for moduli
	center = 1e-14     // relative error of a center, at most
	small  = 1e-290    // below it a modulus counts as 0, and is added to radii
)

// modulus returns |x + iy| within a few units in the last place.
func modulus(x, y float64) float64 {
	if s := float64(x*x) + float64(y*y); s > 1e-250 && s < 1e250 {
		return math.Sqrt(s)
	}
	x, y = math.Abs(x), math.Abs(y)
	if x < y {
		x, y = y, x
	}
	if x == 0 {
		return 0
	}
	t := y / x
	return x * math.Sqrt(1+float64(t*t))
}

// make returns a disc with its radius moved outward by the error of its center
// and its modulus bounded below by the better of lo and its own.
func makeDisc(x, y, r, lo float64) disc {
	c := modulus(x, y)
	r = float64(r*loose) + float64(c*center) + small
	lo = max(lo*tight, float64((c-r)*tight)-float64(c*center))
	if lo < small {
		lo = 0
	}
	if !(r < math.MaxFloat64) || !(c < math.MaxFloat64) {
		return badDisc
	}
	return disc{x, y, r, lo}
}

// discOf returns the disc around an interval.
func discOf(v interval.Interval) disc {
	m := v.Mid()
	r := max(v.Hi-m, m-v.Lo)
	return makeDisc(m, 0, r, max(v.Lo, -v.Hi, 0))
}

func (d disc) neg() disc { return disc{-d.x, -d.y, d.r, d.lo} }

func (d disc) add(e disc) disc { return makeDisc(d.x+e.x, d.y+e.y, d.r+e.r, 0).slack(d, e) }

// slack adds what cancellation in a sum of centers can hide.
func (d disc) slack(p, q disc) disc {
	d.r += float64((math.Abs(p.x) + math.Abs(q.x) + math.Abs(p.y) + math.Abs(q.y)) * 1e-15)
	d.lo = max(0, d.lo-float64((math.Abs(p.x)+math.Abs(q.x)+math.Abs(p.y)+math.Abs(q.y))*1e-15))
	return d
}

func (d disc) sub(e disc) disc { return d.add(e.neg()) }

func (d disc) mul(e disc) disc {
	p, q := modulus(d.x, d.y), modulus(e.x, e.y)
	out := makeDisc(float64(d.x*e.x)-float64(d.y*e.y), float64(d.x*e.y)+float64(d.y*e.x), float64(p*e.r)+float64(q*d.r)+float64(d.r*e.r), d.lo*e.lo)
	out.r += float64(p * q * center) // the center of a product may cancel
	out.lo = max(0, out.lo-float64(p*q*center))
	return out
}

func (d disc) scale(c float64) disc {
	return makeDisc(c*d.x, c*d.y, math.Abs(c)*d.r, math.Abs(c)*d.lo)
}

// recip returns 1/d. With q = r/|c| < 1 the values lie within
// q/(|c|(1 − q)) of 1/c.
func (d disc) recip() disc { return d.powInt(-1) }

func (d disc) div(e disc) disc { return d.mul(e.recip()) }

// powInt returns d^n. For n > 0, |(c+w)^n − c^n| ≤ (|c|+r)^n − |c|^n; for n < 0
// the series in w/c gives (|c|−r)^n − |c|^n; and in any case |d^n| ≤ lo^n.
func (d disc) powInt(n int) disc {
	c := modulus(d.x, d.y)
	hi := (c + d.r) * loose
	size := n
	if n < 0 {
		size = -n
	}
	err := float64(float64(size) * 1e-14)
	if n > 0 {
		x, y := complexPower(d.x, d.y, size)
		top, mid := wholePower(hi, size), wholePower(c, size)
		return makeDisc(x, y, (top-mid)+float64((top+mid)*err), wholePower(d.lo*tight, size)*(1-err))
	}
	if d.lo <= small {
		return badDisc
	}
	all := 1 / wholePower(d.lo*tight, size) * (1 + err)
	least := 1 / wholePower(hi, size) * (1 - err)
	around := makeDisc(0, 0, all, 0)
	if near := float64(c*(1-1e-14)) - d.r; near > 1e-6*c {
		inverse := 1 / (c * c)
		x, y := complexPower(d.x*inverse, -d.y*inverse, size)
		top, mid := 1/wholePower(near*tight, size), 1/wholePower(c, size)
		if r := (top - mid) + float64((top+mid)*err); r < all {
			around = makeDisc(x, y, r, 0)
		}
	}
	if around.ok() {
		around.lo = max(around.lo, least*tight)
		if around.lo < small {
			around.lo = 0
		}
	}
	return around
}

func wholePower(x float64, n int) float64 {
	p := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			p *= x
		}
		x *= x
	}
	return p
}

func complexPower(x, y float64, n int) (float64, float64) {
	px, py := 1.0, 0.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			px, py = float64(px*x)-float64(py*y), float64(px*y)+float64(py*x)
		}
		x, y = float64(x*x)-float64(y*y), 2*x*y
	}
	return px, py
}

// offCut reports whether the disc keeps away from 0 and the negative axis, and
// returns |c| and q = r/|c| < 1. A disc with Re c > 0 that holds a negative
// number holds 0.
func (d disc) offCut() (c, q float64, ok bool) {
	c = modulus(d.x, d.y)
	if d.x > 0 {
		ok = d.r < c*0.999999
	} else {
		ok = d.r < math.Abs(d.y)*0.999999
	}
	return c, d.r / c * loose, ok
}

// powReal returns d^a, principal value, for a real a that lies in v.
func (d disc) powReal(v interval.Interval) disc {
	c, q, ok := d.offCut()
	if !ok {
		return badDisc
	}
	a := v.Mid()
	angle := elementary.Atan2(d.y, d.x)
	size := elementary.Exp(a * elementary.Ln(c))
	var r float64 // of (1+w)^a − 1
	switch {
	case a <= 0:
		r = elementary.Pow(1-q, v.Lo) - 1
	case a <= 1:
		r = 1 - elementary.Pow(1-q, v.Hi)
	default:
		r = v.Hi * q * elementary.Pow(1+q, v.Hi-1)
	}
	// the spread of a, and of the functions that gave the center
	doubt := float64((v.Hi-v.Lo+float64(1e-14*(1+math.Abs(a))))*(math.Abs(elementary.Ln(c))+7)) + 1e-14
	if doubt > 1 {
		return badDisc
	}
	s, k := elementary.Sincos(a * angle)
	return makeDisc(size*k, size*s, size*(float64(r*loose)+float64(2*doubt*(1+r))+1e-13), 0)
}

// exp: |e^w − 1| ≤ e^r − 1.
func (d disc) exp() disc {
	if d.x > 700 || math.Abs(d.y) > 1e6 || d.r > 700 {
		if d.x+d.r < 700 && d.x-d.r > -1e300 { // far left, where nothing is left
			return makeDisc(0, 0, elementary.Exp(d.x+d.r)*(1+float64(1e-12*math.Abs(d.x))), 0)
		}
		return badDisc
	}
	size := elementary.Exp(d.x)
	s, c := elementary.Sincos(d.y)
	doubt := float64((math.Abs(d.x)+math.Abs(d.y))*1e-15) + 1e-14
	out := makeDisc(size*c, size*s, size*(float64(elementary.Expm1(d.r)*loose)+doubt), elementary.Exp(d.x-d.r)*(1-doubt)*tight)
	return out
}

// sin: sin(c+w) − sin c = sin c·(cos w − 1) + cos c·sin w, with |cos w − 1| ≤
// cosh r − 1 and |sin w| ≤ sinh r.
func (d disc) sin() disc {
	if math.Abs(d.y) > 300 || d.r > 300 || math.Abs(d.x) > 1e8 {
		return badDisc
	}
	s, c := elementary.Sincos(d.x)
	sh, ch := elementary.Sinh(d.y), elementary.Cosh(d.y)
	sine, cosine := modulus(s*ch, c*sh), modulus(c*ch, s*sh)
	doubt := ch * (1e-14 + float64(1e-15*math.Abs(d.x)) + float64(1e-15*math.Abs(d.y)))
	r := float64(sine*(elementary.Cosh(d.r)-1)) + float64(cosine*elementary.Sinh(d.r))
	return makeDisc(s*ch, c*sh, float64(r*loose)+float64(doubt*(1+elementary.Sinh(d.r))*4), 0)
}

func (d disc) cos() disc {
	if math.Abs(d.y) > 300 || d.r > 300 || math.Abs(d.x) > 1e8 {
		return badDisc
	}
	s, c := elementary.Sincos(d.x)
	sh, ch := elementary.Sinh(d.y), elementary.Cosh(d.y)
	sine, cosine := modulus(s*ch, c*sh), modulus(c*ch, s*sh)
	doubt := ch * (1e-14 + float64(1e-15*math.Abs(d.x)) + float64(1e-15*math.Abs(d.y)))
	r := float64(cosine*(elementary.Cosh(d.r)-1)) + float64(sine*elementary.Sinh(d.r))
	return makeDisc(c*ch, -s*sh, float64(r*loose)+float64(doubt*(1+elementary.Sinh(d.r))*4), 0)
}

// ln: |ln(1+w)| ≤ −ln(1−q).
func (d disc) ln() disc {
	c, q, ok := d.offCut()
	if !ok {
		return badDisc
	}
	doubt := float64(1e-14 * (1 + math.Abs(elementary.Ln(c))))
	return makeDisc(elementary.Ln(c), elementary.Atan2(d.y, d.x), float64(-elementary.Log1p(-q)*loose)+doubt, 0)
}

func (d disc) sqrt() disc { return d.powReal(interval.Interval{Lo: 0.5, Hi: 0.5}) }

func (d disc) timesI() disc { return disc{-d.y, d.x, d.r, d.lo} }

var (
	discOne  = disc{x: 1, lo: 1}
	discHalf = disc{x: 0.5, lo: 0.5}
)

// atan z = (ln(1+iz) − ln(1−iz))/(2i); each logarithm keeps off its cut.
func (d disc) atan() disc {
	i := d.timesI()
	v := discOne.add(i).ln().sub(discOne.sub(i).ln())
	return v.timesI().neg().mul(discHalf)
}

// asin z = −i·ln(iz + √((1−z)(1+z))), each step on its principal branch.
func (d disc) asin() disc {
	root := discOne.sub(d).sqrt().mul(discOne.add(d).sqrt())
	return d.timesI().add(root).ln().timesI().neg()
}

var discHalfPi = discOf(interval.Interval{Lo: interval.Pi.Lo / 2, Hi: interval.Pi.Hi / 2})

// atan2 of y and x, for which the real panel lies on one side of an axis.
func atan2Disc(y, x disc, onY, onX interval.Interval) disc {
	switch {
	case onX.Lo > 0:
		return y.div(x).atan()
	case onY.Lo > 0:
		return discHalfPi.sub(x.div(y).atan())
	case onY.Hi < 0:
		return discHalfPi.neg().sub(x.div(y).atan())
	}
	return badDisc
}

// within evaluates the analytic continuation of the function from the panel
// that over was last asked for, over a disc of the variable: every branch is
// the one that holds on all of the real panel. The result bounds the function
// on the disc, and is good only if the function is analytic there.
func (fr *frame) within(variable disc) disc {
	f := fr.f
	for _, id := range f.inputs[:len(f.inputs)-1] {
		if id >= 0 {
			fr.disc[id] = discOf(fr.iv[id])
		}
	}
	return fr.continued(variable)
}

// continued is within for captured inputs that have been set.
func (fr *frame) continued(variable disc) disc {
	f := fr.f
	if id := f.inputs[len(f.inputs)-1]; id >= 0 {
		fr.disc[id] = variable
	}
	fr.spend(1)
	for i := range f.code {
		if in := &f.code[i]; in.op > opInput {
			d := fr.discAt(i, in)
			if !(d.r < math.MaxFloat64) {
				d = badDisc
			}
			fr.disc[i] = d
		}
	}
	return fr.disc[f.result]
}

func (fr *frame) discAt(i int, in *instr) disc {
	d, iv := fr.disc, fr.iv
	switch in.op {
	case opSelect:
		switch iv[in.a] {
		case yes:
			return d[in.b]
		case no:
			return d[in.c]
		}
		return badDisc
	case opMin, opMax, opAbs, opFloor, opCeil, opRound:
		return fr.branch(i, in)
	case opSum, opProduct:
		return fr.countedDisc(in)
	case opIntegral:
		return fr.nestedDisc(in)
	case opLess, opLessEq, opEqual, opNotEqual, opAnd, opOr, opNot:
		return disc{}
	case opExtern, opUnknown:
		return badDisc
	}
	x := d[in.a]
	if !x.ok() {
		return badDisc
	}
	switch in.op {
	case opNeg:
		return x.neg()
	case opPowInt:
		return x.powInt(int(in.n))
	case opSqrt:
		return x.sqrt()
	case opSin:
		return x.sin()
	case opCos:
		return x.cos()
	case opTan:
		return x.sin().div(x.cos())
	case opAsin:
		return x.asin()
	case opAcos:
		return discHalfPi.sub(x.asin())
	case opAtan:
		return x.atan()
	case opExp:
		return x.exp()
	case opExpm1:
		return x.exp().sub(discOne)
	case opLn:
		return x.ln()
	case opLog1p:
		return discOne.add(x).ln()
	case opLog10:
		return x.ln().scale(1 / math.Ln10)
	}
	y := d[in.b]
	if !y.ok() {
		return badDisc
	}
	switch in.op {
	case opAdd:
		return x.add(y)
	case opSub:
		return x.sub(y)
	case opMul:
		return x.mul(y)
	case opDiv:
		return x.div(y)
	case opPowReal:
		if n, ok := wholeExponent(iv[in.b]); ok {
			return powerDisc(x, n)
		}
		return x.powReal(iv[in.b])
	case opPow:
		if n, ok := wholeExponent(iv[in.b]); ok {
			return powerDisc(x, n)
		}
		l := x.ln()
		if !l.ok() {
			return badDisc
		}
		return l.mul(y).exp()
	case opAtan2:
		return atan2Disc(x, y, iv[in.a], iv[in.b])
	}
	return badDisc
}

func powerDisc(x disc, n int) disc {
	if n == 0 {
		return discOne
	}
	return x.powInt(n)
}

// branch continues an operation with branches by the one that holds on the real
// panel.
func (fr *frame) branch(i int, in *instr) disc {
	switch in.op {
	case opFloor, opCeil, opRound:
		if v := fr.iv[i]; isSound(v) && v.IsPoint() {
			return discOf(v)
		}
		return badDisc
	}
	switch sign := fr.side(int32(i)); {
	case sign == 0:
		return badDisc
	case in.op == opAbs && sign > 0:
		return fr.disc[in.a]
	case in.op == opAbs:
		return fr.disc[in.a].neg()
	case (in.op == opMax) == (sign > 0):
		return fr.disc[in.a]
	}
	return fr.disc[in.b]
}

// side returns the sign of the operand of abs, or of the difference of the
// operands of a comparison, min or max, over the panel; 0 if it is not known.
func (fr *frame) side(id int32) int8 {
	in := &fr.f.code[id]
	if fr.forced != nil && fr.forced[id] != 0 {
		return fr.forced[id]
	}
	x, y := fr.iv[in.a], point(0)
	if in.op != opAbs {
		y = fr.iv[in.b]
	}
	switch {
	case !isSound(x) || !isSound(y):
		return 0
	case x.Lo >= y.Hi:
		return 1
	case x.Hi <= y.Lo:
		return -1
	}
	return 0
}

// countedDisc continues a sum or product. Each term decides its branches over
// the real panel anew.
func (fr *frame) countedDisc(in *instr) disc {
	l := fr.f.loops[in.n]
	body := fr.body(in.n)
	args := body.arguments(len(l.captures) + 1)
	for i, c := range l.captures {
		args[i] = fr.iv[c]
	}
	total := disc{}
	if l.kind == opProduct {
		total = discOne
	}
	for k := range l.n {
		args[len(l.captures)] = point(float64(l.first + k))
		body.over(args)
		for i, c := range l.captures {
			if id := body.f.inputs[i]; id >= 0 {
				body.disc[id] = fr.disc[c]
			}
		}
		term := body.continued(discOf(args[len(l.captures)]))
		if !term.ok() {
			return badDisc
		}
		if l.kind == opSum {
			total = total.add(term)
		} else {
			total = total.mul(term)
		}
	}
	return total
}
