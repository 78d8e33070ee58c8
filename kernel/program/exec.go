package program

import (
	"math"

	"shaftbook/kernel/elementary"
)

// setOnce gives the uniform inputs their values and does what is the same for
// all lanes.
func (p *Program) setOnce(run *Run, f *frame, values []float64) error {
	if err := run.charge(p.startCost); err != nil {
		return err
	}
	for i, v := range values {
		if id := p.inputs[i]; id >= 0 {
			f.regs[id] = v
		}
	}
	sound, err := p.scalars(run, f, p.once)
	if err != nil {
		return err
	}
	f.sound = sound
	for i, id := range p.spread {
		v := f.regs[id]
		s := f.spread[i*laneGroup : i*laneGroup+laneGroup : i*laneGroup+laneGroup]
		for j := range s {
			s[j] = v
		}
	}
	return nil
}

// scalars does instrs one value at a time.
func (p *Program) scalars(run *Run, f *frame, ids []int32) (sound bool, err error) {
	sound = true
	regs, code := f.regs, p.code
	for _, id := range ids {
		in := &code[id]
		switch in.op {
		case opAdd:
			regs[id] = regs[in.a] + regs[in.b]
		case opSub:
			regs[id] = regs[in.a] - regs[in.b]
		case opMul:
			regs[id] = regs[in.a] * regs[in.b]
		case opDiv:
			y := regs[in.b]
			regs[id] = regs[in.a] / y
			sound = sound && y-y == 0
		case opField, opLoop, opWalk:
			if regs[id], err = p.special(run, f, in, func(x int32) float64 { return regs[x] }); err != nil {
				return false, err
			}
		default:
			var b, c float64
			if in.b >= 0 {
				b = regs[in.b]
			}
			if in.c >= 0 {
				c = regs[in.c]
			}
			var ok bool
			regs[id], ok = apply(in.op, regs[in.a], b, c)
			sound = sound && ok
		}
	}
	return sound, nil
}

// special does an instr that is not arithmetic, for the operands that get
// returns. Where it has no value it returns NaN; the error is a limit.
func (p *Program) special(run *Run, f *frame, in *instr, get func(int32) float64) (float64, error) {
	switch in.op {
	case opField:
		fd := p.fields[in.aux]
		args := make([]float64, len(fd.args))
		for i, x := range fd.args {
			args[i] = get(x)
		}
		if err := run.spend(1, fd.shaft.Cost(fd.name, args)); err != nil {
			return 0, err
		}
		v, err := fd.shaft.Field(fd.name, args)
		if err != nil {
			return math.NaN(), nil
		}
		return v, nil
	case opLoop:
		l := p.loops[in.aux]
		n := len(l.captures)
		all := f.caps[:n+len(l.values)]
		for i, x := range l.captures {
			all[i] = get(x)
		}
		for i, x := range l.values {
			all[n+i] = get(x)
		}
		return l.value(run, get(in.a), get(in.b), all[:n], all[n:], p.scope)
	}
	w := p.walks[in.aux]
	walker := newWalker(run, p.scope)
	walker.quiet = true
	for i, x := range w.values {
		walker.bind(w.names[i], get(x))
	}
	v, ok := walker.number(w.expr)
	if ok {
		return v.x, nil
	}
	if walker.limit != nil {
		return 0, walker.limit
	}
	return math.NaN(), nil
}

// vec returns an operand of a step.
func (f *frame) vec(o operand, m int) vec {
	if o >= 0 {
		return vec{v: f.slots[o][:m]}
	}
	i := int(^o) * laneGroup
	return vec{v: f.spread[i : i+laneGroup : i+laneGroup], one: true}
}

// one returns an operand that is the same for all lanes.
func (f *frame) one(o operand) float64 { return f.spread[int(^o)*laneGroup] }

// lanes returns the lanes of the result.
func (p *Program) lanes(f *frame, n int) []float64 {
	if p.out >= 0 {
		return f.slots[p.out][:n]
	}
	s := f.slots[0][:n] // a result that is the same for all lanes; see finish
	fill(s, f.regs[p.result])
	return s
}

// block does the steps for n lanes; first is the loop variable of lane 0. The
// lanes of the inputs have been set. sound is false if any lane is in doubt.
func (p *Program) block(run *Run, f *frame, first float64, n int) (sound bool, err error) {
	sound = f.sound
	m := (n + laneGroup - 1) &^ (laneGroup - 1)
	for i := 0; i < len(p.steps); i++ {
		st := &p.steps[i]
		dst := f.slots[st.dst][:m]
		ok := true
		if st.term && !useAVX2 {
			q, r := &p.steps[i+1], &p.steps[i+2]
			ok = termGeneric(dst, n, first+st.offset, linear{f.one(st.a), f.one(st.b), f.one(st.c)}, f.one(q.b), f.one(r.b), f.one(r.c))
			sound, i = sound && ok, i+2
			continue
		}
		switch st.op {
		case stepIndex:
			scaledTo(dst, n, first+st.offset, 1)
		case stepScaled:
			scaledTo(dst, n, first+st.offset, f.one(st.b))
		case stepLinear:
			linearTo(dst, n, first+st.offset, f.one(st.a), f.one(st.b), f.one(st.c))
		case stepMulAdd:
			mulAddTo(dst, f.slots[st.a][:m], f.one(st.b), f.one(st.c))
		case stepQuartic:
			quarticTo(dst, f.slots[st.a][:m], f.one(st.b))
		case stepRecip:
			ok = recipTo(dst, f.one(st.c), f.one(st.b), f.slots[st.a][:m])
		case stepOp(opAdd):
			addTo(dst, f.vec(st.a, m), f.vec(st.b, m))
		case stepOp(opSub):
			subTo(dst, f.vec(st.a, m), f.vec(st.b, m))
		case stepOp(opMul):
			mulTo(dst, f.vec(st.a, m), f.vec(st.b, m))
		case stepOp(opDiv):
			ok = divTo(dst, f.vec(st.a, m), f.vec(st.b, m))
		case stepOp(opSqrt):
			sqrtTo(dst, f.vec(st.a, m))
		case stepOp(opField), stepOp(opLoop), stepOp(opWalk):
			if err := p.specials(run, f, st, dst, n); err != nil {
				return false, err
			}
		default:
			ok = applyTo(opcode(st.op), dst, n, p.arity(st.id), f.vec(st.a, m), f.vec(st.b, m), f.vec(st.c, m))
		}
		sound = sound && ok
	}
	return sound, nil
}

func (p *Program) arity(id int32) int {
	in := p.code[id]
	switch {
	case in.c >= 0:
		return 3
	case in.b >= 0:
		return 2
	}
	return 1
}

// specials does an instr that is not arithmetic for n lanes.
func (p *Program) specials(run *Run, f *frame, st *step, dst []float64, n int) error {
	in := &p.code[st.id]
	if in.op == opField {
		return p.fieldLanes(run, f, in, dst, n)
	}
	lane := 0
	get := func(x int32) float64 {
		if p.kinds[x] == vector {
			return f.slots[p.slotOf[x]][lane]
		}
		return f.regs[x]
	}
	for ; lane < n; lane++ {
		v, err := p.special(run, f, in, get)
		if err != nil {
			return err
		}
		dst[lane] = v
	}
	pad(dst, n)
	return nil
}

// fieldLanes asks a shaft for a whole block.
func (p *Program) fieldLanes(run *Run, f *frame, in *instr, dst []float64, n int) error {
	fd := p.fields[in.aux]
	args := make([][]float64, len(fd.args))
	for i, x := range fd.args {
		if p.kinds[x] == vector {
			args[i] = f.slots[p.slotOf[x]][:n]
			continue
		}
		args[i] = make([]float64, n)
		fill(args[i], f.regs[x])
	}
	var cost int64
	lane := make([]float64, len(args))
	for j := range n {
		for i := range args {
			lane[i] = args[i][j]
		}
		cost += fd.shaft.Cost(fd.name, lane)
	}
	if err := run.spend(int64(n), 0); err != nil {
		return err
	}
	if err := run.charge(cost); err != nil {
		return err
	}
	if err := fd.shaft.FieldBlock(dst[:n], fd.name, args); err != nil {
		fill(dst[:n], math.NaN()) // the lanes are asked again one by one
	}
	pad(dst, n)
	return nil
}

// A resolver returns the value of a body for one value of its variable: by
// walking, or the error with its place.
type resolver func(x float64) (float64, error)

// resolveLanes gives every lane in doubt its value. With no resolver it becomes NaN.
func (p *Program) resolveLanes(run *Run, f *frame, n int, at func(lane int) float64, resolve resolver, out []float64) error {
	if err := run.charge(int64(n) * p.valueCost); err != nil {
		return err
	}
	for j := range n {
		x := at(j)
		if p.index >= 0 {
			f.regs[p.index] = x
		} else if id := p.inputs[len(p.inputs)-1]; id >= 0 {
			f.regs[id] = x
		}
		sound, err := p.scalars(run, f, p.all)
		if err != nil {
			return err
		}
		v := f.regs[p.result]
		switch {
		case sound && finite(v):
			out[j] = v
		case resolve == nil:
			out[j] = math.NaN()
		default:
			if err := run.check(); err != nil {
				return err
			}
			if out[j], err = resolve(x); err != nil {
				return err
			}
		}
	}
	return nil
}

func allFinite(x []float64) bool {
	var t float64
	for _, v := range x {
		t += v - v
	}
	return t == 0
}

func fill(dst []float64, x float64) {
	for i := range dst {
		dst[i] = x
	}
}

// pad copies the last of n lanes to the rest of its group.
func pad(dst []float64, n int) {
	for i := n; i < len(dst); i++ {
		dst[i] = dst[n-1]
	}
}

// blockOf holds the operations of one operand that have a loop of their own.
var blockOf = map[opcode]func(dst, x []float64){
	opSin: elementary.SinBlock, opCos: elementary.CosBlock, opTan: elementary.TanBlock,
	opAsin: elementary.AsinBlock, opAcos: elementary.AcosBlock, opAtan: elementary.AtanBlock,
	opExp: elementary.ExpBlock, opLn: elementary.LnBlock, opLog10: elementary.Log10Block,
}

// functionTo does f, the operation op, and reports what apply does.
func functionTo(f func(dst, x []float64), op opcode, dst, x []float64) (sound bool) {
	largest := 0.0
	for _, v := range x {
		largest = max(largest, math.Abs(v)) // NaN stays
	}
	f(dst, x)
	switch op {
	case opSin, opCos:
		return largest <= largestAngle
	case opTan:
		for _, v := range dst {
			if !(math.Abs(v) < tangentPole) {
				return false
			}
		}
		return largest <= largestAngle
	case opAtan, opExp:
		return finite(largest)
	}
	return true
}

// applyTo does an operation lane by lane.
func applyTo(op opcode, dst []float64, n, arity int, a, b, c vec) (sound bool) {
	if f, ok := blockOf[op]; ok && !a.one {
		sound = functionTo(f, op, dst[:n], a.v[:n])
		pad(dst, n)
		return sound
	}
	sound = true
	for i := range n {
		var x, y, z float64
		x = a.at(i)
		if arity > 1 {
			y = b.at(i)
		}
		if arity > 2 {
			z = c.at(i)
		}
		r, ok := apply(op, x, y, z)
		dst[i] = r
		sound = sound && ok
	}
	pad(dst, n)
	return sound
}

func (v vec) at(i int) float64 {
	if v.one {
		return v.v[0]
	}
	return v.v[i]
}
