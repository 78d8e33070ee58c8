package program

import "math"

// A kind is how often a value changes while a program runs.
type kind uint8

const (
	constant kind = iota // known when the program is made
	uniform              // one value for all lanes of a run
	vector               // one value a lane
)

// An instr computes one value from earlier ones. Operands are the indexes of
// instrs. It is comparable, so that equal ones are made once.
type instr struct {
	op      opcode
	a, b, c int32 // operands; for opConst the bits, for opInput its number
	aux     int32 // for opField, opLoop and opWalk: which one
}

// largestProgram bounds the operations of one program, so that functions that
// use functions that use functions cannot grow without measure.
const largestProgram = 20_000

// A builder collects the instrs of one program. The body of a loop has a
// builder of its own, whose parent is the program that holds the loop.
// What does not depend on the loop's variable is built in the parent and
// captured.
type builder struct {
	parent *builder
	code   []instr
	kinds  []kind
	known  map[instr]int32 // instr to its index
	inputs int
	loops  []*loop
	fields []*field
	walks  []*walk

	captured []int32         // captured[i] is the parent's value behind input i, −1 for none
	capture  map[int32]int32 // the parent's value to the instr of its input
	total    *int            // instrs of all builders of one compilation
	serial   int             // tells the builders of one compilation apart
}

func newBuilder(parent *builder) *builder {
	b := &builder{parent: parent, known: map[instr]int32{}, capture: map[int32]int32{}}
	if parent == nil {
		b.total = new(int)
		return b
	}
	b.total = parent.total
	*b.total++ // a loop has its cost too
	b.serial = *b.total
	return b
}

// add appends an instr unless there is an equal one.
func (b *builder) add(in instr, k kind) int32 {
	if id, ok := b.known[in]; ok {
		return id
	}
	id := int32(len(b.code))
	b.code = append(b.code, in)
	b.kinds = append(b.kinds, k)
	b.known[in] = id
	*b.total++
	return id
}

func (b *builder) constant(x float64) int32 {
	bits := math.Float64bits(x)
	return b.add(instr{op: opConst, a: int32(bits >> 32), b: int32(uint32(bits))}, constant)
}

func constantOf(in instr) float64 {
	return math.Float64frombits(uint64(uint32(in.a))<<32 | uint64(uint32(in.b)))
}

// input adds a number given from outside.
func (b *builder) input(k kind, from int32) int32 {
	id := b.add(instr{op: opInput, a: int32(b.inputs)}, k)
	b.inputs++
	b.captured = append(b.captured, from)
	return id
}

// index adds the variable of a sum or product.
func (b *builder) index() int32 { return b.add(instr{op: opIndex}, vector) }

// fromParent makes a value of the parent available here.
func (b *builder) fromParent(id int32) int32 {
	if b.parent.kinds[id] == constant {
		return b.constant(constantOf(b.parent.code[id]))
	}
	if in, ok := b.capture[id]; ok {
		return in
	}
	in := b.input(uniform, id)
	b.capture[id] = in
	return in
}

// inParent returns the parent's value behind a value, if there is one.
func (b *builder) inParent(id int32) (int32, bool) {
	if b.parent == nil {
		return 0, false
	}
	in := b.code[id]
	if in.op == opConst {
		return b.parent.constant(constantOf(in)), true
	}
	if in.op == opInput && b.captured[in.a] >= 0 {
		return b.captured[in.a], true
	}
	return 0, false
}

// allInParent maps values to the parent's, if every one of them has one.
func (b *builder) allInParent(ids []int32) ([]int32, bool) {
	if b.parent == nil {
		return nil, false
	}
	mapped := make([]int32, len(ids))
	for i, id := range ids {
		p, ok := b.inParent(id)
		if !ok {
			return nil, false
		}
		mapped[i] = p
	}
	return mapped, true
}

func (b *builder) kindOf(ids ...int32) kind {
	k := constant
	for _, id := range ids {
		k = max(k, b.kinds[id])
	}
	return k
}

func (b *builder) unary(op opcode, x int32) int32         { return b.emit(op, x, -1, -1) }
func (b *builder) binary(op opcode, x, y int32) int32     { return b.emit(op, x, y, -1) }
func (b *builder) ternary(op opcode, x, y, z int32) int32 { return b.emit(op, x, y, z) }

// emit adds an operation on numbers: at compile time if its operands are
// known, outside the loop if they do not depend on the loop.
func (b *builder) emit(op opcode, x, y, z int32) int32 {
	operands := [3]int32{x, y, z}
	n := 3
	for n > 0 && operands[n-1] < 0 {
		n--
	}
	k := b.kindOf(operands[:n]...)
	if k == constant {
		return b.fold(op, operands, n)
	}
	if op == opPow {
		if id, ok := b.power(x, y); ok {
			return id
		}
	}
	if id, ok := b.shortcut(op, x, y); ok {
		return id
	}
	if up, ok := b.allInParent(operands[:n]); ok {
		mapped := [3]int32{-1, -1, -1}
		copy(mapped[:], up)
		return b.fromParent(b.parent.emit(op, mapped[0], mapped[1], mapped[2]))
	}
	if (op == opAdd || op == opMul) && x > y {
		x, y = y, x // both orders give the same bits
	}
	return b.add(instr{op: op, a: x, b: y, c: z}, k)
}

// fold does an operation on known numbers. One that is not sound becomes NaN,
// so that the walker is asked should the value matter.
func (b *builder) fold(op opcode, operands [3]int32, n int) int32 {
	var v [3]float64
	for i := range n {
		v[i] = constantOf(b.code[operands[i]])
	}
	r, sound := apply(op, v[0], v[1], v[2])
	if !sound {
		r = math.NaN()
	}
	return b.constant(r)
}

// shortcut leaves out operations that return an operand, or replaces a division
// by a power of two by the product that gives the same bits.
func (b *builder) shortcut(op opcode, x, y int32) (int32, bool) {
	if y < 0 || b.kinds[y] != constant {
		if op == opMul && b.kinds[x] == constant && constantOf(b.code[x]) == 1 {
			return y, true
		}
		return 0, false
	}
	c := constantOf(b.code[y])
	switch {
	case op == opMul && c == 1, op == opDiv && c == 1:
		return x, true
	case op == opSub && c == 0 && !math.Signbit(c):
		return x, true
	case op == opDiv && isPowerOfTwo(c):
		return b.binary(opMul, x, b.constant(1/c)), true
	}
	return 0, false
}

// isPowerOfTwo reports whether c and 1/c are both exact powers of two.
func isPowerOfTwo(c float64) bool {
	f, exp := math.Frexp(c)
	return math.Abs(f) == 0.5 && exp > -1000 && exp < 1000
}

// power multiplies out a known whole exponent as wholePower does.
func (b *builder) power(x, y int32) (int32, bool) {
	if b.kinds[y] != constant {
		return 0, false
	}
	e := constantOf(b.code[y])
	if e == 0.5 {
		return b.unary(opSqrt, x), true
	}
	n, ok := smallWhole(e)
	if !ok || n == 0 {
		return 0, false
	}
	m := max(n, -n)
	p := x
	for bit := topBit(m) >> 1; bit > 0; bit >>= 1 {
		p = b.binary(opMul, p, p)
		if m&bit != 0 {
			p = b.binary(opMul, p, x)
		}
	}
	if n < 0 {
		p = b.binary(opDiv, b.constant(1), p)
	}
	return p, true
}

// tooLarge reports whether the compilation has outgrown its bound.
func (b *builder) tooLarge() bool { return *b.total > largestProgram }
