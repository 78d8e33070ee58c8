package certify

import "shaftbook/kernel/interval"

// slopes returns an enclosure of the derivative of the function over the panel
// that over was last asked for, by the chain rule over intervals. It is unsound
// where the function may jump. At a kink both sides count, so that the mean
// value theorem holds with it.
func (fr *frame) slopes() interval.Interval {
	last := len(fr.f.inputs) - 1
	given := make([]interval.Interval, last+1)
	given[last] = one
	return fr.slopesOf(given)
}

// slopesOf is slopes for inputs with the derivatives given.
func (fr *frame) slopesOf(given []interval.Interval) interval.Interval {
	f := fr.f
	if fr.slope == nil {
		fr.slope = make([]interval.Interval, len(f.code))
	}
	fr.spend(1)
	for i, id := range f.inputs {
		if id >= 0 {
			fr.slope[id] = given[i]
		}
	}
	for i := range f.code {
		if in := &f.code[i]; in.op > opInput {
			fr.slope[i] = fr.slopeAt(i, in)
		} else if in.op == opConst {
			fr.slope[i] = interval.Interval{}
		}
	}
	return fr.slope[f.result]
}

func times(x, y interval.Interval) interval.Interval {
	if !isSound(x) || !isSound(y) {
		return unsound
	}
	if x == (interval.Interval{}) || y == (interval.Interval{}) {
		return interval.Interval{}
	}
	return sound(interval.Mul(x, y))
}

func plus(x, y interval.Interval) interval.Interval  { return evaluate(opAdd, 0, x, y, one) }
func minus(x, y interval.Interval) interval.Interval { return evaluate(opSub, 0, x, y, one) }
func over(x, y interval.Interval) interval.Interval {
	if isSound(y) && x == (interval.Interval{}) {
		return x
	}
	return evaluate(opDiv, 0, x, y, one)
}
func square(x interval.Interval) interval.Interval { return evaluate(opPowInt, 2, x, one, one) }

func (fr *frame) slopeAt(i int, in *instr) interval.Interval {
	switch in.op {
	case opSum:
		return fr.slopeOfSum(in)
	case opIntegral:
		return fr.slopeOfIntegral(in)
	case opProduct, opExtern, opUnknown:
		if fr.constantForm(in) {
			return interval.Interval{}
		}
		return unsound
	case opSelect:
		switch fr.iv[in.a] {
		case yes:
			return fr.slope[in.b]
		case no:
			return fr.slope[in.c]
		}
		return unsound
	case opLess, opLessEq, opEqual, opNotEqual, opAnd, opOr, opNot:
		return interval.Interval{}
	case opFloor, opCeil, opRound:
		if isSound(fr.iv[i]) && fr.iv[i].IsPoint() {
			return interval.Interval{}
		}
		return unsound
	}
	v, x, dx := fr.iv[i], fr.iv[in.a], fr.slope[in.a]
	if !isSound(v) || !isSound(dx) {
		return unsound
	}
	switch in.op {
	case opNeg:
		return interval.Neg(dx)
	case opAbs:
		switch fr.side(int32(i)) {
		case 1:
			return dx
		case -1:
			return interval.Neg(dx)
		}
		return interval.Hull(dx, interval.Neg(dx))
	case opSqrt:
		return over(dx, times(point(2), v))
	case opPowInt:
		return times(times(point(float64(in.n)), evaluate(opPowInt, in.n-1, x, one, one)), dx)
	case opSin:
		return times(interval.Cos(x), dx)
	case opCos:
		return interval.Neg(times(interval.Sin(x), dx))
	case opTan:
		return times(plus(one, square(v)), dx)
	case opAsin, opAcos:
		d := over(dx, evaluate(opSqrt, 0, times(minus(one, x), plus(one, x)), one, one))
		if in.op == opAcos && isSound(d) {
			return interval.Neg(d)
		}
		return d
	case opAtan:
		return over(dx, plus(one, square(x)))
	case opExp:
		return times(v, dx)
	case opExpm1:
		return times(plus(v, one), dx)
	case opLn:
		return over(dx, x)
	case opLog1p:
		return over(dx, plus(one, x))
	case opLog10:
		return over(dx, times(x, ln10))
	}
	y, dy := fr.iv[in.b], fr.slope[in.b]
	if !isSound(dy) {
		return unsound
	}
	switch in.op {
	case opAdd:
		return plus(dx, dy)
	case opSub:
		return minus(dx, dy)
	case opMul:
		return plus(times(dx, y), times(x, dy))
	case opDiv:
		return over(minus(dx, times(v, dy)), y)
	case opPowReal:
		return times(times(y, power(x, minus(y, one))), dx)
	case opPow:
		if _, ok := wholeExponent(y); ok && dy == (interval.Interval{}) {
			return times(times(y, power(x, minus(y, one))), dx)
		}
		return times(v, plus(times(dy, evaluate(opLn, 0, x, one, one)), times(y, over(dx, x))))
	case opAtan2: // of x over y in this order: the operands are (y, x)
		return over(minus(times(y, dx), times(x, dy)), plus(square(x), square(y)))
	case opMin, opMax:
		switch sign := fr.side(int32(i)); {
		case sign == 0:
			return interval.Hull(dx, dy)
		case (in.op == opMax) == (sign > 0):
			return dx
		}
		return dy
	}
	return unsound
}

var ln10 = evaluate(opLn, 0, point(10), one, one)

// constantForm reports whether a form does not depend on the variable.
func (fr *frame) constantForm(in *instr) bool {
	still := func(id int32) bool { return id < 0 || fr.slope[id] == (interval.Interval{}) }
	if !still(in.a) || !still(in.b) || !still(in.c) || in.op == opUnknown {
		return false
	}
	if in.op == opExtern {
		return true
	}
	for _, c := range fr.f.loops[in.n].captures {
		if !still(c) {
			return false
		}
	}
	return true
}

func (fr *frame) slopeOfSum(in *instr) interval.Interval {
	l := fr.f.loops[in.n]
	if fr.constantForm(in) {
		return interval.Interval{}
	}
	body := fr.body(in.n)
	args := body.arguments(len(l.captures) + 1)
	given := make([]interval.Interval, len(l.captures)+1)
	for i, c := range l.captures {
		args[i], given[i] = fr.iv[c], fr.slope[c]
		if !isSound(args[i]) || !isSound(given[i]) {
			return unsound
		}
	}
	var sum interval.Sum
	for k := range l.n {
		args[len(l.captures)] = point(float64(l.first + k))
		body.over(args)
		d := body.slopesOf(given)
		if !isSound(d) {
			return unsound
		}
		sum.Add(d)
	}
	return sound(sum.Value())
}

// slopeOfIntegral returns the derivative of an inner integral,
//
//	f(x, b)·b′ − f(x, a)·a′ + ∫ ∂f/∂x dt from a to b,
//
// the last term by its range over pieces.
func (fr *frame) slopeOfIntegral(in *instr) interval.Interval {
	if fr.constantForm(in) {
		return interval.Interval{}
	}
	l := fr.f.loops[in.n]
	from, to := fr.iv[in.a], fr.iv[in.b]
	args := make([]interval.Interval, len(l.captures)+1)
	given := make([]interval.Interval, len(l.captures)+1)
	moves := false
	for i, c := range l.captures {
		args[i], given[i] = fr.iv[c], fr.slope[c]
		if !isSound(args[i]) || !isSound(given[i]) {
			return unsound
		}
		moves = moves || given[i] != (interval.Interval{})
	}
	if !isSound(from) || !isSound(to) {
		return unsound
	}
	body := l.body.take()
	defer body.give()
	body.work, body.stop = fr.work, fr.stop
	total := interval.Interval{}
	for i, end := range [...]struct{ at, slope interval.Interval }{{from, fr.slope[in.a]}, {to, fr.slope[in.b]}} {
		if end.slope == (interval.Interval{}) {
			continue
		}
		args[len(args)-1] = end.at
		part := times(body.over(args), end.slope)
		if i == 0 && isSound(part) {
			part = interval.Neg(part)
		}
		total = plus(total, part)
	}
	if !moves {
		return total
	}
	length := minus(to, from)
	var sum interval.Sum
	for k := range innerPieces {
		t := interval.Interval{Lo: float64(k) / innerPieces, Hi: float64(k+1) / innerPieces}
		args[len(args)-1] = plus(from, times(length, t))
		if !isSound(body.over(args)) {
			return unsound
		}
		d := body.slopesOf(given)
		if !isSound(d) {
			return unsound
		}
		sum.Add(d)
	}
	return plus(total, times(over(sound(sum.Value()), point(innerPieces)), length))
}
