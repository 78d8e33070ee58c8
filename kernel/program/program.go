package program

import (
	"sync"

	"shaftbook/kernel/notation"
)

// A Program is an expression made ready to be evaluated many times. It is
// immutable and may be shared between goroutines; what changes while it runs
// is held in frames, which are pooled.
type Program struct {
	params   []string // names of the inputs, in order; the uniform ones come first
	uniforms int      // how many inputs are the same for all lanes
	counter  string   // the variable of the sum whose body this is
	expr     notation.Expr
	scope    Scope

	code   []instr
	kinds  []kind
	result int32
	inputs []int32 // the instr of each input, −1 if the expression does not use it
	index  int32   // the instr of the loop variable, −1 if there is none or it is not used
	loops  []*loop
	fields []*field
	walks  []*walk

	once   []int32 // instrs to do once a run, in order
	all    []int32 // instrs to do for one value, in order
	steps  []step  // operations on blocks, in order
	spread []int32 // uniform instrs that steps use; held laneGroup times
	slots  int     // block registers
	slotOf []int32 // the block register of each vector instr
	out    operand // where the steps leave the result

	laneCost, valueCost, startCost int64 // see count
	makeCost                       int64 // what compiling it cost

	frames *sync.Pool
}

// A loop is a form that binds a name, inside a program.
type loop struct {
	bind     *notation.Bind
	body     *Program
	captures []int32 // values that the body's inputs take from the program around it

	// The same form to be enclosed, for the values of the names that it uses.
	sure   *lazyCertified
	names  []string
	values []int32
}

// A field reads a shaft.
type field struct {
	shaft Fielder
	name  string
	args  []int32
	node  *notation.Field
}

// A walk is an expression that only the walker can evaluate, with the values
// of the names that it sees.
type walk struct {
	expr   notation.Expr
	names  []string
	values []int32
}

// An operand of a step: a block register if ≥ 0, else ^ the place among the
// spread uniforms.
type operand int32

// A stepOp is an operation on blocks: an opcode, or several in one pass.
type stepOp uint8

// Steps that do several operations in one pass, each rounded by itself.
const (
	stepIndex   stepOp = iota + 100 // i + offset
	stepScaled                      // (i + offset)·b
	stepLinear                      // ((i + offset)·a)·b + c
	stepMulAdd                      // a·b + c
	stepQuartic                     // ((a·a)·(a·a))·b
	stepRecip                       // c/(a·b)
)

type step struct {
	op      stepOp
	dst     int32
	a, b, c operand
	offset  float64 // added to the loop variable, exactly
	term    bool    // it and the next two are a stepLinear, stepQuartic and stepRecip in one register
	id      int32   // the instr it stands for
}

// A frame is the scratch memory of one run of a program.
type frame struct {
	regs   []float64 // one number an instr; constants are filled in for good
	spread []float64 // uniform operands, laneGroup times each
	slots  [][]float64
	caps   []float64 // inputs of loops
	sound  bool      // the operations done once were sound
}

// frameBytes is what a frame takes, roughly.
func (p *Program) frameBytes() int64 {
	return int64(8 * (len(p.code) + laneGroup*len(p.spread) + p.slots*blockLanes))
}

func (p *Program) newFrame() *frame {
	f := &frame{
		regs:   make([]float64, len(p.code)),
		spread: make([]float64, laneGroup*len(p.spread)),
		slots:  make([][]float64, p.slots),
	}
	backing := make([]float64, p.slots*blockLanes)
	for i := range f.slots {
		f.slots[i] = backing[i*blockLanes : (i+1)*blockLanes : (i+1)*blockLanes]
	}
	for i, in := range p.code {
		if in.op == opConst {
			f.regs[i] = constantOf(in)
		}
	}
	longest := 0
	for _, l := range p.loops {
		longest = max(longest, len(l.captures)+len(l.values))
	}
	for _, w := range p.walks {
		longest = max(longest, len(w.values))
	}
	f.caps = make([]float64, longest)
	return f
}

func (p *Program) take() *frame  { return p.frames.Get().(*frame) }
func (p *Program) give(f *frame) { p.frames.Put(f) }

// finish turns what a builder collected into a program.
func (b *builder) finish(result int32, params []string, inputs []int32, index int32, e notation.Expr, s Scope) *Program {
	p := &Program{
		params: params, expr: e, scope: s, result: result, inputs: inputs, index: index,
		loops: b.loops, fields: b.fields, walks: b.walks,
	}
	p.schedule(b)
	p.code, p.kinds = b.code, b.kinds
	p.count()
	p.frames = &sync.Pool{New: func() any { return p.newFrame() }}
	return p
}
