package certify

import (
	"math"
	"slices"

	"shaftbook/kernel/interval"
)

// An op is one operation of a Function.
type op uint8

const (
	opConst op = iota
	opInput
	opAdd
	opSub
	opMul
	opDiv
	opNeg
	opAbs
	opSqrt
	opPowInt  // a^n
	opPowReal // a^c for a constant c that is not a whole number
	opPow     // a^b
	opSin
	opCos
	opTan
	opAsin
	opAcos
	opAtan
	opAtan2
	opExp
	opExpm1
	opLn
	opLog1p
	opLog10
	opFloor
	opCeil
	opRound
	opMin
	opMax
	opLess
	opLessEq
	opEqual
	opNotEqual
	opAnd
	opOr
	opNot
	opSelect
	opSum
	opProduct
	opIntegral
	opExtern
	opUnknown // has no interval form
)

// An instr computes one value from earlier ones.
type instr struct {
	op      op
	a, b, c int32
	n       int32 // exponent of opPowInt; which loop or extern; which constant
}

// An Expr is a value of the function being built. It belongs to its Builder.
type Expr int32

// A Function is a real function of one variable, with captured inputs before
// it, that can be evaluated over intervals and discs of the complex plane. It
// is immutable and safe for concurrent use.
type Function struct {
	code    []instr
	consts  []interval.Interval
	inputs  []int32 // instrs of the inputs, −1 for one that is not used; the variable is the last
	result  int32
	limits  [2]int32 // the instrs of the limits of an integral, −1 if not given
	loops   []*loop
	extern  []Extern
	pool    *pool
	unknown bool // a part of it has no interval form
}

// Over returns an enclosure of the function for params and its variable in the
// given intervals; ok is false if there is none.
func (f *Function) Over(params []interval.Interval, x interval.Interval) (y interval.Interval, ok bool) {
	fr := f.take()
	defer fr.give()
	args := append(append(make([]interval.Interval, 0, len(params)+1), params...), x)
	y = fr.over(args)
	return y, isSound(y)
}

// Size returns how many operations the function takes.
func (f *Function) Size() int { return len(f.code) }

// Slope returns an enclosure of the derivative over x; ok is false if there is
// none.
func (f *Function) Slope(params []interval.Interval, x interval.Interval) (d interval.Interval, ok bool) {
	fr := f.take()
	defer fr.give()
	args := append(append(make([]interval.Interval, 0, len(params)+1), params...), x)
	if !isSound(fr.over(args)) {
		return unsound, false
	}
	d = fr.slopes()
	return d, isSound(d)
}

// A loop is a sum, a product or an integral inside a function.
type loop struct {
	kind     op
	body     *Function
	captures []int32
	first    int64
	n        int64
}

// An Extern is a function that is evaluated elsewhere, such as the field of a
// shaft.
type Extern interface {
	// Range returns an enclosure of the function for its arguments in the given
	// intervals; ok is false if there is none.
	Range(args []interval.Interval) (y interval.Interval, ok bool)
}

// A Builder makes a Function. Operations on constants are done at once, and
// equal operations are made once. Two constants are the same number only if
// they are the same Expr or both are points: an enclosure says only where a
// number lies.
type Builder struct {
	parent   *Builder
	code     []instr
	consts   []interval.Interval
	known    map[instr]int32
	points   map[float64]int32
	inputs   []int32
	captured []int32 // the parent's value behind each captured input
	capture  map[int32]int32
	limits   [2]int32
	loops    []*loop
	extern   []Extern
}

// NewBuilder returns a builder of a function of one variable.
func NewBuilder() *Builder {
	return &Builder{known: map[instr]int32{}, points: map[float64]int32{}, limits: [2]int32{-1, -1}}
}

// Limits names the limits of the integral that the function is made for, so
// that a distance to one of them is known exactly where the function takes it.
func (b *Builder) Limits(from, to Expr) { b.limits = [2]int32{int32(from), int32(to)} }

// Body returns a builder for the body of a sum, product or integral.
func (b *Builder) Body() *Builder {
	c := NewBuilder()
	c.parent = b
	c.capture = map[int32]int32{}
	return c
}

// Capture makes a value of the builder around available in this body.
func (b *Builder) Capture(outer Expr) Expr {
	if in, ok := b.capture[int32(outer)]; ok {
		return Expr(in)
	}
	id := int32(-1)
	if v, ok := b.parent.constantOf(int32(outer)); ok {
		id = int32(b.Const(v))
	} else {
		id = int32(len(b.code))
		b.code = append(b.code, instr{op: opInput, a: -1, b: -1, c: -1})
		b.inputs = append(b.inputs, id)
		b.captured = append(b.captured, int32(outer))
	}
	b.capture[int32(outer)] = id
	return Expr(id)
}

// Parameter adds an input that is given anew for each use of the function. The
// parameters come before the variable.
func (b *Builder) Parameter() Expr {
	id := int32(len(b.code))
	b.code = append(b.code, instr{op: opInput, a: -1, b: -1, c: -1})
	b.inputs = append(b.inputs, id)
	b.captured = append(b.captured, -1)
	return Expr(id)
}

// Variable adds the variable. It is called once, after the parameters.
func (b *Builder) Variable() Expr {
	id := int32(len(b.code))
	b.code = append(b.code, instr{op: opInput, a: -1, b: -1, c: -1, n: 1})
	return Expr(id)
}

// Const adds a number that lies somewhere in v.
func (b *Builder) Const(v interval.Interval) Expr {
	if v.IsPoint() {
		if id, ok := b.points[v.Lo]; ok {
			return Expr(id)
		}
	}
	id := int32(len(b.code))
	b.code = append(b.code, instr{op: opConst, a: -1, b: -1, c: -1, n: int32(len(b.consts))})
	b.consts = append(b.consts, v)
	if v.IsPoint() {
		b.points[v.Lo] = id
	}
	return Expr(id)
}

// Number adds an exact number.
func (b *Builder) Number(x float64) Expr { return b.Const(interval.Interval{Lo: x, Hi: x}) }

// Constant returns the enclosure of an expression that does not depend on any
// input.
func (b *Builder) Constant(x Expr) (interval.Interval, bool) { return b.constantOf(int32(x)) }

func (b *Builder) constantOf(id int32) (interval.Interval, bool) {
	if in := b.code[id]; in.op == opConst {
		return b.consts[in.n], true
	}
	return interval.Interval{}, false
}

func (b *Builder) isNumber(id int32, x float64) bool {
	v, ok := b.constantOf(id)
	return ok && v.Lo == x && v.Hi == x
}

func (b *Builder) emit(o op, x, y, z, n int32) Expr {
	in := instr{o, x, y, z, n}
	if id, ok := b.known[in]; ok {
		return Expr(id)
	}
	if v, ok := b.fold(in); ok {
		id := int32(b.Const(v))
		b.known[in] = id
		return Expr(id)
	}
	id := int32(len(b.code))
	b.code = append(b.code, in)
	b.known[in] = id
	return Expr(id)
}

// fold does an operation on constants. One that fails is left in the code.
func (b *Builder) fold(in instr) (interval.Interval, bool) {
	if in.op >= opSum {
		return interval.Interval{}, false
	}
	var v [3]interval.Interval
	for i, id := range [3]int32{in.a, in.b, in.c} {
		if id < 0 {
			continue
		}
		c, ok := b.constantOf(id)
		if !ok {
			return c, false
		}
		v[i] = c
	}
	r := evaluate(in.op, in.n, v[0], v[1], v[2])
	return r, isSound(r)
}

// The rules below rewrite an operation to one that gives the same function with
// less doubt: a name that occurs once does not vary against itself.

// Add returns x + y.
func (b *Builder) Add(x, y Expr) Expr {
	switch {
	case b.isNumber(int32(x), 0):
		return y
	case b.isNumber(int32(y), 0):
		return x
	}
	if b.isPoint(int32(y)) {
		x, y = y, x
	}
	if b.isPoint(int32(x)) {
		switch in := b.code[y]; {
		case in.op == opAdd && b.isPoint(in.a):
			return b.Add(b.Add(x, Expr(in.a)), Expr(in.b))
		case in.op == opSub && b.isPoint(in.a):
			return b.Sub(b.Add(x, Expr(in.a)), Expr(in.b))
		case in.op != opConst:
			return b.emit(opAdd, int32(x), int32(y), -1, 0)
		}
	}
	switch inX, inY := b.code[x], b.code[y]; {
	case inX.op == opNeg:
		return b.Sub(y, Expr(inX.a))
	case inY.op == opNeg:
		return b.Sub(x, Expr(inY.a))
	case inX.op == opSub && inX.b == int32(y): // (a − v) + v
		return Expr(inX.a)
	case inY.op == opSub && inY.b == int32(x):
		return Expr(inY.a)
	}
	if x > y {
		x, y = y, x
	}
	return b.emit(opAdd, int32(x), int32(y), -1, 0)
}

// isPoint reports whether a value is a number known exactly.
func (b *Builder) isPoint(id int32) bool {
	v, ok := b.constantOf(id)
	return ok && v.IsPoint()
}

// Sub returns x − y.
func (b *Builder) Sub(x, y Expr) Expr {
	if b.isNumber(int32(y), 0) {
		return x
	}
	inX, inY := b.code[x], b.code[y]
	switch {
	case inY.op == opSub && inY.a == int32(x): // a − (a − v)
		return Expr(inY.b)
	case inX.op == opSub && inX.a == int32(y): // (a − v) − a
		return b.Neg(Expr(inX.b))
	case inX.op == opAdd && inX.a == int32(y):
		return Expr(inX.b)
	case inX.op == opAdd && inX.b == int32(y):
		return Expr(inX.a)
	case inY.op == opAdd && inY.a == int32(x):
		return b.Neg(Expr(inY.b))
	case inY.op == opAdd && inY.b == int32(x):
		return b.Neg(Expr(inY.a))
	case inX.op == opExp && b.isNumber(int32(y), 1):
		return b.emit(opExpm1, inX.a, -1, -1, 0)
	case inY.op == opExp && b.isNumber(int32(x), 1):
		return b.Neg(b.emit(opExpm1, inY.a, -1, -1, 0))
	case inY.op == opCos && b.isNumber(int32(x), 1): // 1 − cos u = 2·sin²(u/2)
		half := b.Sin(b.Mul(Expr(inY.a), b.Number(0.5)))
		return b.Mul(b.Number(2), b.PowInt(half, 2))
	case inX.op == opPowInt && inY.op == opPowInt && inX.n == inY.n && inX.n > 0 && inX.n%2 == 0:
		p, q := b.PowInt(Expr(inX.a), int(inX.n/2)), b.PowInt(Expr(inY.a), int(inY.n/2))
		return b.Mul(b.Sub(p, q), b.Add(p, q))
	case b.isNumber(int32(x), 1) && inY.op == opPowInt && inY.n > 0 && inY.n%2 == 0:
		q := b.PowInt(Expr(inY.a), int(inY.n/2))
		return b.Mul(b.Sub(x, q), b.Add(x, q))
	}
	if b.isPoint(int32(y)) {
		return b.Add(b.Neg(y), x)
	}
	if b.isPoint(int32(x)) {
		switch {
		case inY.op == opAdd && b.isPoint(inY.a):
			return b.Sub(b.Sub(x, Expr(inY.a)), Expr(inY.b))
		case inY.op == opSub && b.isPoint(inY.a):
			return b.Add(b.Sub(x, Expr(inY.a)), Expr(inY.b))
		}
	}
	if inY.op == opNeg {
		return b.Add(x, Expr(inY.a))
	}
	if b.isNumber(int32(x), 0) {
		return b.Neg(y)
	}
	return b.emit(opSub, int32(x), int32(y), -1, 0)
}

// Mul returns x·y.
func (b *Builder) Mul(x, y Expr) Expr {
	switch {
	case b.isNumber(int32(x), 1):
		return y
	case b.isNumber(int32(y), 1):
		return x
	case x == y:
		return b.PowInt(x, 2)
	}
	baseX, nX := b.asPower(x)
	baseY, nY := b.asPower(y)
	if baseX == baseY && (nX > 0) == (nY > 0) && nX+nY <= largestPower && nX+nY >= -largestPower {
		return b.PowInt(baseX, nX+nY)
	}
	// A constant factor is gathered at the left.
	if _, ok := b.constantOf(int32(y)); ok {
		x, y = y, x
	}
	if _, ok := b.constantOf(int32(x)); ok {
		if in := b.code[y]; in.op == opMul {
			if _, ok := b.constantOf(in.a); ok {
				return b.Mul(b.Mul(x, Expr(in.a)), Expr(in.b))
			}
		}
		return b.emit(opMul, int32(x), int32(y), -1, 0)
	}
	if x > y {
		x, y = y, x
	}
	return b.emit(opMul, int32(x), int32(y), -1, 0)
}

// largestPower is the largest whole exponent that stays one operation.
const largestPower = 1000

func (b *Builder) asPower(x Expr) (base Expr, n int) {
	if in := b.code[x]; in.op == opPowInt {
		return Expr(in.a), int(in.n)
	}
	return x, 1
}

// Div returns x/y. A divisor that is a product or a power is taken apart, since
// a negative power is bounded more closely than the reciprocal of a power.
func (b *Builder) Div(x, y Expr) Expr {
	if b.isNumber(int32(y), 1) {
		return x
	}
	in := b.code[y]
	switch {
	case in.op == opMul:
		return b.Div(b.Div(x, Expr(in.a)), Expr(in.b))
	case in.op == opPowInt:
		return b.Mul(x, b.PowInt(Expr(in.a), -int(in.n)))
	case in.op == opConst:
		if top := b.code[x]; top.op == opMul {
			if _, ok := b.constantOf(top.a); ok {
				return b.Mul(b.Div(Expr(top.a), y), Expr(top.b))
			}
		}
		return b.emit(opDiv, int32(x), int32(y), -1, 0)
	}
	if _, ok := b.constantOf(int32(x)); ok {
		return b.Mul(x, b.PowInt(y, -1))
	}
	return b.emit(opDiv, int32(x), int32(y), -1, 0)
}

// Neg returns −x.
func (b *Builder) Neg(x Expr) Expr {
	switch in := b.code[x]; {
	case in.op == opNeg:
		return Expr(in.a)
	case in.op == opSub:
		return b.Sub(Expr(in.b), Expr(in.a))
	}
	return b.emit(opNeg, int32(x), -1, -1, 0)
}

// PowInt returns x^n for |n| ≤ 1000.
func (b *Builder) PowInt(x Expr, n int) Expr {
	switch n {
	case 0:
		return b.Number(1)
	case 1:
		return x
	}
	if in := b.code[x]; in.op == opPowInt {
		if m := int(in.n) * n; m <= largestPower && m >= -largestPower {
			return b.PowInt(Expr(in.a), m)
		}
	}
	if in := b.code[x]; in.op == opNeg {
		p := b.PowInt(Expr(in.a), n)
		if n%2 != 0 {
			p = b.Neg(p)
		}
		return p
	}
	return b.emit(opPowInt, int32(x), -1, -1, int32(n))
}

// PowRational returns x^(num/den), den > 0, in lowest terms. With den 1 any x
// will do; else x must not be negative.
func (b *Builder) PowRational(x Expr, num, den int) Expr {
	switch {
	case den == 1 && num >= -largestPower && num <= largestPower:
		return b.PowInt(x, num)
	case den == 2 && num >= -largestPower && num <= largestPower:
		return b.PowInt(b.Sqrt(x), num)
	}
	c := evaluate(opDiv, 0, point(float64(num)), point(float64(den)), interval.Interval{})
	return b.emit(opPowReal, int32(x), int32(b.Const(c)), -1, 0)
}

// Pow returns x^y.
func (b *Builder) Pow(x, y Expr) Expr {
	c, ok := b.constantOf(int32(y))
	if !ok {
		return b.emit(opPow, int32(x), int32(y), -1, 0)
	}
	if n := c.Lo; c.IsPoint() && n == math.Trunc(n) && math.Abs(n) <= largestPower {
		return b.PowInt(x, int(n))
	}
	if n := 2 * c.Lo; c.IsPoint() && n == math.Trunc(n) && math.Abs(n) <= largestPower {
		return b.PowRational(x, int(n), 2)
	}
	return b.emit(opPowReal, int32(x), int32(y), -1, 0)
}

func (b *Builder) unary(o op, x Expr) Expr { return b.emit(o, int32(x), -1, -1, 0) }

// The functions of one value.
func (b *Builder) Abs(x Expr) Expr   { return b.unary(opAbs, x) }
func (b *Builder) Sqrt(x Expr) Expr  { return b.unary(opSqrt, x) }
func (b *Builder) Sin(x Expr) Expr   { return b.unary(opSin, x) }
func (b *Builder) Cos(x Expr) Expr   { return b.unary(opCos, x) }
func (b *Builder) Tan(x Expr) Expr   { return b.unary(opTan, x) }
func (b *Builder) Asin(x Expr) Expr  { return b.unary(opAsin, x) }
func (b *Builder) Acos(x Expr) Expr  { return b.unary(opAcos, x) }
func (b *Builder) Atan(x Expr) Expr  { return b.unary(opAtan, x) }
func (b *Builder) Exp(x Expr) Expr   { return b.unary(opExp, x) }
func (b *Builder) Log10(x Expr) Expr { return b.unary(opLog10, x) }
func (b *Builder) Floor(x Expr) Expr { return b.unary(opFloor, x) }
func (b *Builder) Ceil(x Expr) Expr  { return b.unary(opCeil, x) }
func (b *Builder) Round(x Expr) Expr { return b.unary(opRound, x) }

// Ln returns ln x. That of 1 + v is kept as a function of v.
func (b *Builder) Ln(x Expr) Expr {
	in := b.code[x]
	switch {
	case in.op == opAdd && b.isNumber(in.a, 1):
		return b.emit(opLog1p, in.b, -1, -1, 0)
	case in.op == opAdd && b.isNumber(in.b, 1):
		return b.emit(opLog1p, in.a, -1, -1, 0)
	case in.op == opSub && b.isNumber(in.a, 1):
		return b.emit(opLog1p, int32(b.Neg(Expr(in.b))), -1, -1, 0)
	case in.op == opPowInt && in.n == -1:
		return b.Neg(b.Ln(Expr(in.a)))
	}
	return b.unary(opLn, x)
}

// Atan2 returns the direction of (x, y).
func (b *Builder) Atan2(y, x Expr) Expr { return b.emit(opAtan2, int32(y), int32(x), -1, 0) }

// Min returns the smaller of x and y.
func (b *Builder) Min(x, y Expr) Expr { return b.emit(opMin, int32(x), int32(y), -1, 0) }

// Max returns the larger of x and y.
func (b *Builder) Max(x, y Expr) Expr { return b.emit(opMax, int32(x), int32(y), -1, 0) }

// Less returns the truth of x < y.
func (b *Builder) Less(x, y Expr) Expr { return b.emit(opLess, int32(x), int32(y), -1, 0) }

// LessEq returns the truth of x ≤ y.
func (b *Builder) LessEq(x, y Expr) Expr { return b.emit(opLessEq, int32(x), int32(y), -1, 0) }

// Equal returns the truth of x = y.
func (b *Builder) Equal(x, y Expr) Expr { return b.emit(opEqual, int32(x), int32(y), -1, 0) }

// NotEqual returns the truth of x ≠ y.
func (b *Builder) NotEqual(x, y Expr) Expr { return b.emit(opNotEqual, int32(x), int32(y), -1, 0) }

// And, Or and Not combine truths.
func (b *Builder) And(x, y Expr) Expr { return b.emit(opAnd, int32(x), int32(y), -1, 0) }
func (b *Builder) Or(x, y Expr) Expr  { return b.emit(opOr, int32(x), int32(y), -1, 0) }
func (b *Builder) Not(x Expr) Expr    { return b.emit(opNot, int32(x), -1, -1, 0) }

// If returns then where cond holds and otherwise els.
func (b *Builder) If(cond, then, els Expr) Expr {
	if c, ok := b.constantOf(int32(cond)); ok && c.IsPoint() {
		if c.Lo != 0 {
			return then
		}
		return els
	}
	return b.emit(opSelect, int32(cond), int32(then), int32(els), 0)
}

// Unknown returns a value of which nothing is known.
func (b *Builder) Unknown() Expr { return b.emit(opUnknown, -1, -1, -1, 0) }

// Call returns the value of a function that is evaluated elsewhere, for up to
// three arguments.
func (b *Builder) Call(f Extern, args ...Expr) Expr {
	ids := [3]int32{-1, -1, -1}
	for i, a := range args {
		ids[i] = int32(a)
	}
	b.extern = append(b.extern, f)
	return b.emit(opExtern, ids[0], ids[1], ids[2], int32(len(b.extern)-1))
}

// Sum returns the sum of the body for its variable from first on, n terms.
func (b *Builder) Sum(body *Function, captures []Expr, first, n int64) Expr {
	return b.loop(&loop{kind: opSum, body: body, captures: ids(captures), first: first, n: n}, -1, -1)
}

// Product returns the product of the body for its variable from first on.
func (b *Builder) Product(body *Function, captures []Expr, first, n int64) Expr {
	return b.loop(&loop{kind: opProduct, body: body, captures: ids(captures), first: first, n: n}, -1, -1)
}

// Integral returns the integral of the body over its variable.
func (b *Builder) Integral(body *Function, captures []Expr, from, to Expr) Expr {
	return b.loop(&loop{kind: opIntegral, body: body, captures: ids(captures)}, int32(from), int32(to))
}

func (b *Builder) loop(l *loop, from, to int32) Expr {
	b.loops = append(b.loops, l)
	id := b.emit(l.kind, from, to, -1, int32(len(b.loops)-1))
	if !b.isConstant(from) || !b.isConstant(to) || len(l.captures) > 0 {
		return id
	}
	f, _ := b.Function(0, id)
	f.inputs = []int32{-1}
	if v, ok := f.Over(nil, interval.Interval{}); ok {
		return b.Const(v)
	}
	return id
}

func (b *Builder) isConstant(id int32) bool {
	if id < 0 {
		return true
	}
	_, ok := b.constantOf(id)
	return ok
}

func ids(es []Expr) []int32 {
	out := make([]int32, len(es))
	for i, e := range es {
		out[i] = int32(e)
	}
	return out
}

// Function returns the finished function. For a body, captures are the values
// of the builder around that it takes, in order.
func (b *Builder) Function(variable, result Expr) (f *Function, captures []Expr) {
	f = &Function{code: b.code, consts: b.consts, result: int32(result), loops: slices.Clone(b.loops), extern: b.extern}
	f.inputs = append(append([]int32{}, b.inputs...), int32(variable))
	for _, c := range b.captured {
		if c < 0 {
			continue
		}
		captures = append(captures, Expr(c))
	}
	f.limits = b.limits
	f.prune()
	for _, in := range f.code {
		f.unknown = f.unknown || in.op == opUnknown
	}
	for _, l := range f.loops {
		f.unknown = f.unknown || l.body.unknown
	}
	f.pool = newPool(f)
	return f, captures
}

// prune leaves out what the result does not need, and keeps the order.
func (f *Function) prune() {
	needed := make([]bool, len(f.code))
	var mark func(id int32)
	mark = func(id int32) {
		if id < 0 || needed[id] {
			return
		}
		needed[id] = true
		in := f.code[id]
		mark(in.a)
		mark(in.b)
		mark(in.c)
		if in.op >= opSum && in.op <= opIntegral {
			for _, c := range f.loops[in.n].captures {
				mark(c)
			}
		}
	}
	mark(f.result)
	mark(f.limits[0])
	mark(f.limits[1])
	moved := make([]int32, len(f.code))
	var code []instr
	at := func(id int32) int32 {
		if id < 0 {
			return id
		}
		return moved[id]
	}
	for id, in := range f.code {
		if !needed[id] {
			moved[id] = -1
			continue
		}
		in.a, in.b, in.c = at(in.a), at(in.b), at(in.c)
		if in.op >= opSum && in.op <= opIntegral {
			l := *f.loops[in.n]
			l.captures = nil
			for _, c := range f.loops[in.n].captures {
				l.captures = append(l.captures, at(c))
			}
			f.loops[in.n] = &l
		}
		moved[id] = int32(len(code))
		code = append(code, in)
	}
	f.code, f.result = code, moved[f.result]
	f.limits = [2]int32{at(f.limits[0]), at(f.limits[1])}
	for i, id := range f.inputs {
		f.inputs[i] = at(id)
	}
}

// Inline adds the operations of a finished function of this builder's values
// and returns its result. args are its captured inputs and its variable.
func (b *Builder) Inline(f *Function, args ...Expr) Expr {
	return b.inlineWith(f, nil, args)
}

// inlineWith is Inline with some values of the function replaced by values of
// this builder.
func (b *Builder) inlineWith(f *Function, given map[int32]Expr, args []Expr) Expr {
	moved := make([]int32, len(f.code))
	for i, id := range f.inputs {
		if id >= 0 {
			moved[id] = int32(args[i])
		}
	}
	for id, e := range given {
		moved[id] = int32(e)
	}
	at := func(id int32) Expr {
		if id < 0 {
			return -1
		}
		return Expr(moved[id])
	}
	for id, in := range f.code {
		if _, ok := given[int32(id)]; ok || in.op == opInput {
			continue
		}
		moved[id] = int32(b.again(f, in, at))
	}
	return Expr(moved[f.result])
}

// again repeats an operation of a function through the rules of the builder.
func (b *Builder) again(f *Function, in instr, at func(int32) Expr) Expr {
	x, y, z := at(in.a), at(in.b), at(in.c)
	switch in.op {
	case opConst:
		return b.Const(f.consts[in.n])
	case opAdd:
		return b.Add(x, y)
	case opSub:
		return b.Sub(x, y)
	case opMul:
		return b.Mul(x, y)
	case opDiv:
		return b.Div(x, y)
	case opNeg:
		return b.Neg(x)
	case opPowInt:
		return b.PowInt(x, int(in.n))
	case opLn:
		return b.Ln(x)
	case opLog1p:
		return b.Ln(b.Add(b.Number(1), x))
	case opExpm1:
		return b.Sub(b.Exp(x), b.Number(1))
	case opPowReal, opPow:
		return b.Pow(x, y)
	case opSelect:
		return b.If(x, y, z)
	case opSum, opProduct, opIntegral:
		l := *f.loops[in.n]
		captures := make([]int32, len(l.captures))
		for i, c := range l.captures {
			captures[i] = int32(at(c))
		}
		l.captures = captures
		return b.loop(&l, int32(x), int32(y))
	case opExtern:
		b.extern = append(b.extern, f.extern[in.n])
		return b.emit(opExtern, int32(x), int32(y), int32(z), int32(len(b.extern)-1))
	}
	return b.emit(in.op, int32(x), int32(y), int32(z), in.n)
}
