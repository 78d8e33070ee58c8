package certify

import (
	"math"
	"sync"

	"shaftbook/kernel/interval"
)

// A frame is the scratch memory of evaluations of one function by one
// goroutine.
type frame struct {
	f      *Function
	iv     []interval.Interval // over the panel last looked at
	slope  []interval.Interval // derivatives over the panel, made on request
	disc   []disc
	end    []scaled
	forced []int8 // decisions proven by other means: −1, +1; nil if none
	bodies []*frame
	args   []interval.Interval
	work   *int         // what it has cost; may be nil
	stop   func() error // Options.Stop, for the inner integrals; may be nil
}

type pool struct{ sync.Pool }

func newPool(f *Function) *pool {
	p := &pool{}
	p.New = func() any {
		fr := &frame{
			f:    f,
			iv:   make([]interval.Interval, len(f.code)),
			disc: make([]disc, len(f.code)),
		}
		for i, in := range f.code {
			if in.op == opConst {
				fr.iv[i] = f.consts[in.n]
				fr.disc[i] = discOf(f.consts[in.n])
			}
		}
		for range f.loops {
			fr.bodies = append(fr.bodies, nil)
		}
		return fr
	}
	return p
}

func (f *Function) take() *frame {
	fr := f.pool.Get().(*frame)
	fr.forced = nil
	return fr
}

func (fr *frame) give() {
	fr.work, fr.stop = nil, nil
	fr.f.pool.Put(fr)
}

// body returns the frame of a loop's body.
func (fr *frame) body(which int32) *frame {
	if fr.bodies[which] == nil {
		fr.bodies[which] = fr.f.loops[which].body.take()
	}
	b := fr.bodies[which]
	b.work, b.stop = fr.work, fr.stop
	return b
}

// spend counts work done.
func (fr *frame) spend(n int) {
	if fr.work != nil {
		*fr.work += n
	}
}

func point(x float64) interval.Interval { return interval.Interval{Lo: x, Hi: x} }

var unsound = interval.Interval{Lo: math.NaN(), Hi: math.NaN()}

func isSound(v interval.Interval) bool { return v.Lo <= v.Hi }

// truths
var (
	no    = interval.Interval{Lo: 0, Hi: 0}
	yes   = interval.Interval{Lo: 1, Hi: 1}
	maybe = interval.Interval{Lo: 0, Hi: 1}
)

func truth(certain, impossible bool) interval.Interval {
	switch {
	case certain:
		return yes
	case impossible:
		return no
	}
	return maybe
}

// sound gives the error of an interval operation the form of an unsound value.
func sound(v interval.Interval, err error) interval.Interval {
	if err != nil {
		return unsound
	}
	return v
}

var one = point(1)

// evaluate does one operation over intervals. What has no value is unsound.
func evaluate(o op, n int32, x, y, z interval.Interval) interval.Interval {
	if o == opSelect {
		switch x {
		case yes:
			return y
		case no:
			return z
		}
		if !isSound(x) || !isSound(y) || !isSound(z) {
			return unsound
		}
		return interval.Hull(y, z)
	}
	switch { // what the left side decides, the right side need not have
	case o == opAnd && x == no:
		return no
	case o == opOr && x == yes:
		return yes
	case !isSound(x) || !isSound(y):
		return unsound
	}
	switch o {
	case opAdd:
		return sound(interval.Add(x, y))
	case opSub:
		return sound(interval.Sub(x, y))
	case opMul:
		return sound(interval.Mul(x, y))
	case opDiv:
		if y.Lo <= 0 && y.Hi >= 0 {
			return unsound
		}
		return sound(interval.Div(x, y))
	case opNeg:
		return interval.Neg(x)
	case opAbs:
		return interval.Abs(x)
	case opSqrt:
		if x.Lo < 0 {
			return unsound
		}
		return sound(interval.Sqrt(x))
	case opPowInt:
		if n < 0 && x.Lo <= 0 && x.Hi >= 0 {
			return unsound
		}
		return sound(interval.PowInt(x, int(n)))
	case opPowReal, opPow:
		return power(x, y)
	case opSin:
		return interval.Sin(x)
	case opCos:
		return interval.Cos(x)
	case opTan:
		return sound(interval.Tan(x))
	case opAsin:
		return sound(interval.Asin(x))
	case opAcos:
		return sound(interval.Acos(x))
	case opAtan:
		return interval.Atan(x)
	case opAtan2:
		return sound(interval.Atan2(x, y))
	case opExp:
		return sound(interval.Exp(x))
	case opExpm1:
		return sound(interval.Sub(sound(interval.Exp(x)), one))
	case opLn:
		if x.Lo <= 0 {
			return unsound
		}
		return sound(interval.Ln(x))
	case opLog1p:
		x = sound(interval.Add(one, x))
		if !(x.Lo > 0) {
			return unsound
		}
		return sound(interval.Ln(x))
	case opLog10:
		if x.Lo <= 0 {
			return unsound
		}
		return sound(interval.Log10(x))
	case opFloor:
		return interval.Floor(x)
	case opCeil:
		return interval.Ceil(x)
	case opRound:
		return interval.Round(x)
	case opMin:
		return interval.Min(x, y)
	case opMax:
		return interval.Max(x, y)
	case opLess:
		return truth(x.Hi < y.Lo, x.Lo >= y.Hi)
	case opLessEq:
		return truth(x.Hi <= y.Lo, x.Lo > y.Hi)
	case opEqual:
		return truth(x.IsPoint() && x == y, x.Hi < y.Lo || y.Hi < x.Lo)
	case opNotEqual:
		return truth(x.Hi < y.Lo || y.Hi < x.Lo, x.IsPoint() && x == y)
	case opAnd:
		return truth(x == yes && y == yes, y == no)
	case opOr:
		return truth(y == yes, x == no && y == no)
	case opNot:
		return interval.Interval{Lo: 1 - x.Hi, Hi: 1 - x.Lo}
	}
	return unsound
}

// power returns x^y for x ≥ 0, or for a y that is a whole number.
func power(x, y interval.Interval) interval.Interval {
	if n, ok := wholeExponent(y); ok {
		if n < 0 && x.Lo <= 0 && x.Hi >= 0 {
			return unsound
		}
		return sound(interval.PowInt(x, n))
	}
	if x.Lo < 0 || x.Lo == 0 && y.Lo <= 0 {
		return unsound
	}
	return sound(interval.Pow(x, y))
}

// wholeExponent reports whether an exponent is one whole number.
func wholeExponent(y interval.Interval) (int, bool) {
	n := y.Lo
	ok := y.IsPoint() && n == math.Trunc(n) && math.Abs(n) <= largestPower
	return int(n), ok
}

// over evaluates the function over intervals of its inputs, and keeps the
// values of all operations, from which the decisions of its branches follow.
func (fr *frame) over(args []interval.Interval) interval.Interval {
	f := fr.f
	for i, id := range f.inputs {
		if id >= 0 {
			fr.iv[id] = args[i]
		}
	}
	fr.spend(1)
	iv := fr.iv
	var x, y, z interval.Interval
	for i := range f.code {
		in := &f.code[i]
		if in.op <= opInput {
			continue
		}
		if in.a >= 0 {
			x = iv[in.a]
		}
		// The commonest operations skip the calls.
		switch in.op {
		case opAdd:
			iv[i] = sound(interval.Add(x, iv[in.b]))
			continue
		case opMul:
			iv[i] = sound(interval.Mul(x, iv[in.b]))
			continue
		case opSum, opProduct:
			iv[i] = fr.counted(in)
			continue
		case opIntegral:
			iv[i] = fr.nested(in)
			continue
		case opExtern:
			iv[i] = fr.external(in)
			continue
		}
		y, z = x, x
		if in.b >= 0 {
			y = iv[in.b]
		}
		if in.c >= 0 {
			z = iv[in.c]
		}
		if fr.forced != nil && fr.forced[i] != 0 {
			iv[i] = decided(in.op, fr.forced[i], x, y)
			continue
		}
		iv[i] = evaluate(in.op, in.n, x, y, z)
	}
	return iv[f.result]
}

// decided does an operation with branches whose side is known: the sign of the
// operand of abs, of the difference of the operands of the others.
func decided(o op, sign int8, x, y interval.Interval) interval.Interval {
	switch o {
	case opAbs:
		if sign > 0 {
			return interval.Abs(interval.Interval{Lo: max(x.Lo, 0), Hi: max(x.Hi, 0)})
		}
		return interval.Abs(interval.Interval{Lo: min(x.Lo, 0), Hi: min(x.Hi, 0)})
	case opMin:
		if sign > 0 {
			return y
		}
		return x
	case opMax:
		if sign > 0 {
			return x
		}
		return y
	case opLess, opLessEq:
		if sign > 0 {
			return no
		}
		return yes
	}
	return unsound
}

// counted evaluates a sum or product.
func (fr *frame) counted(in *instr) interval.Interval {
	l := fr.f.loops[in.n]
	body := fr.body(in.n)
	args := body.arguments(len(l.captures) + 1)
	for i, c := range l.captures {
		args[i] = fr.iv[c]
		if !isSound(args[i]) {
			return unsound
		}
	}
	var sum interval.Sum
	product := one
	for k := range l.n {
		args[len(l.captures)] = point(float64(l.first + k))
		term := body.over(args)
		if !isSound(term) {
			return unsound
		}
		if l.kind == opSum {
			sum.Add(term)
			continue
		}
		if product = sound(interval.Mul(product, term)); !isSound(product) {
			return unsound
		}
	}
	if l.kind == opProduct {
		return product
	}
	return sound(sum.Value())
}

func (fr *frame) arguments(n int) []interval.Interval {
	if cap(fr.args) < n {
		fr.args = make([]interval.Interval, n)
	}
	return fr.args[:n]
}

func (fr *frame) external(in *instr) interval.Interval {
	var args []interval.Interval
	for _, id := range [3]int32{in.a, in.b, in.c} {
		if id < 0 {
			break
		}
		if !isSound(fr.iv[id]) {
			return unsound
		}
		args = append(args, fr.iv[id])
	}
	v, ok := fr.f.extern[in.n].Range(args)
	if !ok || !isSound(v) {
		return unsound
	}
	return v
}
