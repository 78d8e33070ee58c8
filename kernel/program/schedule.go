package program

import "math"

// schedule orders the instrs that the result needs: what is done once a run,
// what is done for a single value, and the steps over blocks with their
// registers.
func (p *Program) schedule(b *builder) {
	s := &scheduler{b: b, p: p, uses: make([]int, len(b.code))}
	s.count(p.result)
	needed := len(b.code) // instrs beyond these serve the steps alone
	for id := range needed {
		if s.uses[id] > 0 && b.kinds[id] == vector {
			s.plan(int32(id))
		}
	}
	s.assign()
	for id, in := range b.code {
		if s.uses[id] == 0 || in.op == opConst || in.op == opInput || in.op == opIndex {
			continue
		}
		if id < needed {
			p.all = append(p.all, int32(id))
		}
		if b.kinds[id] == uniform {
			p.once = append(p.once, int32(id))
		}
	}
}

type scheduler struct {
	b      *builder
	p      *Program
	uses   []int // how many operations need an instr
	plans  []plan
	spread map[int32]operand
}

// A plan is a step whose operands are still instrs.
type plan struct {
	step
	operands [3]int32
}

// count marks what the result needs.
func (s *scheduler) count(id int32) {
	s.uses[id]++
	if s.uses[id] > 1 {
		return
	}
	s.b.operands(id, func(x int32) { s.count(x) })
}

// operands calls f for every operand of an instr.
func (b *builder) operands(id int32, f func(int32)) {
	in := b.code[id]
	switch in.op {
	case opConst, opInput, opIndex:
		return
	case opField:
		for _, x := range b.fields[in.aux].args {
			f(x)
		}
		return
	case opWalk:
		for _, x := range b.walks[in.aux].values {
			f(x)
		}
		return
	case opLoop:
		for _, x := range b.loops[in.aux].captures {
			f(x)
		}
	}
	for _, x := range [3]int32{in.a, in.b, in.c} {
		if x >= 0 {
			f(x)
		}
	}
}

// only reports whether id is an op over blocks that nothing else needs.
func (s *scheduler) only(id int32, op opcode) bool {
	return id >= 0 && s.b.kinds[id] == vector && s.b.code[id].op == op && s.uses[id] == 1
}

// once reports whether id is the same for all lanes.
func (s *scheduler) once(id int32) bool { return id >= 0 && s.b.kinds[id] != vector }

// plan chooses the step for an instr and marks the instrs that it swallows.
func (s *scheduler) plan(id int32) {
	in := s.b.code[id]
	pl := plan{step: step{op: stepOp(in.op), id: id}, operands: [3]int32{in.a, in.b, in.c}}
	switch in.op {
	case opInput:
		return
	case opIndex:
		pl.op, pl.operands = stepIndex, [3]int32{-1, -1, -1}
	case opField, opLoop, opWalk:
		pl.operands = [3]int32{-1, -1, -1}
	case opAdd, opSub:
		s.planSum(&pl, in)
	case opMul:
		s.planProduct(&pl, in)
	case opDiv:
		if x := in.b; s.once(in.a) && s.only(x, opMul) && s.plain(x) {
			if m, v, ok := s.oneEach(s.b.code[x]); ok {
				pl.op, pl.operands = stepRecip, [3]int32{v, m, in.a}
				s.swallow(x)
			}
		}
	}
	s.plans = append(s.plans, pl)
}

// oneEach separates the uniform factor of a product from the other.
func (s *scheduler) oneEach(in instr) (one, v int32, ok bool) {
	switch {
	case s.once(in.a) && !s.once(in.b):
		return in.a, in.b, true
	case s.once(in.b) && !s.once(in.a):
		return in.b, in.a, true
	}
	return 0, 0, false
}

// swallow drops the step of an instr that a later step does as well.
func (s *scheduler) swallow(id int32) {
	for i := len(s.plans) - 1; i >= 0; i-- {
		if s.plans[i].id == id {
			s.plans = append(s.plans[:i], s.plans[i+1:]...)
			return
		}
	}
}

func (s *scheduler) planned(id int32) *plan {
	for i := len(s.plans) - 1; i >= 0; i-- {
		if s.plans[i].id == id {
			return &s.plans[i]
		}
	}
	return nil
}

// plain reports whether the step of a product is the product alone. A product
// that has swallowed a power or an index has no factors of its own to offer.
func (s *scheduler) plain(id int32) bool {
	p := s.planned(id)
	return p != nil && p.op == stepOp(opMul)
}

// planSum recognises i + offset and a·b + c. Subtracting is adding the
// negative, and the negative of a product is the product with a negative:
// both exact.
func (s *scheduler) planSum(pl *plan, in instr) {
	x, c := in.a, in.b
	negated := false // the product, rather than c, is subtracted
	if s.once(x) {
		x, c = c, x
		negated = in.op == opSub
	}
	if !s.once(c) {
		return
	}
	if s.only(x, opIndex) && !negated && s.b.kinds[c] == constant {
		offset := constantOf(s.b.code[c])
		if in.op == opSub {
			offset = -offset
		}
		if exactOffset(offset) {
			s.swallow(x)
			pl.op, pl.operands, pl.offset = stepIndex, [3]int32{-1, -1, -1}, offset
		}
		return
	}
	if !s.only(x, opMul) {
		return
	}
	m, v, ok := s.oneEach(s.b.code[x])
	if !ok || !s.plain(x) {
		return
	}
	switch {
	case negated:
		m = s.negative(m)
	case in.op == opSub:
		c = s.negative(c)
	}
	s.swallow(x)
	pl.op, pl.operands = stepMulAdd, [3]int32{v, m, c}
	if q := s.planned(v); q != nil && q.op == stepScaled && s.uses[v] == 1 {
		pl.op, pl.operands, pl.offset = stepLinear, [3]int32{q.operands[1], m, c}, q.offset
		s.swallow(v)
	}
}

// negative makes −x available as a uniform.
func (s *scheduler) negative(x int32) int32 {
	if s.b.kinds[x] == constant {
		return s.constant(-constantOf(s.b.code[x]))
	}
	id := s.b.add(instr{op: opNeg, a: x, b: -1, c: -1}, uniform)
	s.use(id)
	return id
}

func (s *scheduler) constant(x float64) int32 {
	id := s.b.constant(x)
	s.use(id)
	return id
}

// use counts an instr that may be new.
func (s *scheduler) use(id int32) {
	for len(s.uses) < len(s.b.code) {
		s.uses = append(s.uses, 0)
	}
	s.count(id)
}

// exactOffset reports whether i + offset is exact for every loop variable, so
// that it may be added to the first one instead of each: a multiple of 2⁻¹⁰
// below 2²⁰, where i stays below largestBound < 2⁴⁰.
func exactOffset(c float64) bool {
	return math.Abs(c) < 1<<20 && c*1024 == math.Trunc(c*1024)
}

// planProduct recognises (i + offset)·b and fourth powers.
func (s *scheduler) planProduct(pl *plan, in instr) {
	if in.a == in.b {
		x := in.a
		if s.b.kinds[x] == vector && s.b.code[x].op == opMul && s.uses[x] == 2 && s.b.code[x].a == s.b.code[x].b && s.plain(x) {
			s.swallow(x)
			v := s.b.code[x].a
			pl.op, pl.operands = stepQuartic, [3]int32{v, s.constant(1), -1}
		}
		return
	}
	m, v, ok := s.oneEach(in)
	if !ok || s.uses[v] != 1 {
		return
	}
	q := s.planned(v)
	switch {
	case q == nil:
	case q.op == stepIndex:
		pl.op, pl.operands, pl.offset = stepScaled, [3]int32{-1, m, -1}, q.offset
		s.swallow(v)
	case q.op == stepQuartic && q.operands[1] == s.constant(1):
		pl.op, pl.operands = stepQuartic, [3]int32{q.operands[0], m, -1}
		s.swallow(v)
	}
}

// assign gives each step its registers. A register is free again after the
// last step that reads it, so that a long formula needs few and they stay in
// the cache; a step may write the register that it reads.
func (s *scheduler) assign() {
	last := map[int32]int{s.p.result: len(s.plans)}
	for i, pl := range s.plans {
		for _, x := range s.reads(pl) {
			last[x] = max(last[x], i)
		}
	}
	slot := map[int32]int32{}
	var free []int32
	fresh := func() int32 {
		if n := len(free); n > 0 {
			x := free[n-1]
			free = free[:n-1]
			return x
		}
		s.p.slots++
		return int32(s.p.slots - 1)
	}
	for _, id := range s.p.inputs { // vectors from outside are copied in first
		if id >= 0 && s.b.kinds[id] == vector && s.uses[id] > 0 {
			slot[id] = fresh()
		}
	}
	s.spread = map[int32]operand{}
	for i, pl := range s.plans {
		st := pl.step
		st.a, st.b, st.c = s.operand(slot, pl.operands[0]), s.operand(slot, pl.operands[1]), s.operand(slot, pl.operands[2])
		simple := pl.op < stepOp(opField) || pl.op >= stepIndex
		if !simple {
			slot[pl.id] = fresh() // operands are read lane by lane; keep them apart
		}
		for _, x := range s.reads(pl) {
			if last[x] == i && s.b.kinds[x] == vector {
				free = append(free, slot[x])
				last[x] = -1
			}
		}
		if simple {
			slot[pl.id] = fresh()
		}
		st.dst = slot[pl.id]
		s.p.steps = append(s.p.steps, st)
	}
	markTerms(s.p.steps)
	s.p.out = s.operand(slot, s.p.result)
	s.p.slots = max(s.p.slots, 1) // for a result that is the same for all lanes
	s.p.slotOf = make([]int32, len(s.b.code))
	for id := range s.p.slotOf {
		s.p.slotOf[id] = -1
	}
	for id, x := range slot {
		s.p.slotOf[id] = x
	}
}

// markTerms marks where the term of a sum over a taper begins: three steps of which each
// overwrites what the one before it left, so that they can be one.
func markTerms(steps []step) {
	for i := 0; i+2 < len(steps); i++ {
		a, b, c := &steps[i], &steps[i+1], &steps[i+2]
		at := operand(a.dst)
		a.term = a.op == stepLinear && b.op == stepQuartic && c.op == stepRecip &&
			b.a == at && c.a == at && b.dst == a.dst && c.dst == a.dst
	}
}

// reads lists what a step reads.
func (s *scheduler) reads(pl plan) []int32 {
	if pl.op >= stepOp(opField) && pl.op < stepIndex {
		var ids []int32
		s.b.operands(pl.id, func(x int32) { ids = append(ids, x) })
		return ids
	}
	var ids []int32
	for _, x := range pl.operands {
		if x >= 0 {
			ids = append(ids, x)
		}
	}
	return ids
}

func (s *scheduler) operand(slot map[int32]int32, id int32) operand {
	if id < 0 {
		return 0
	}
	if s.b.kinds[id] == vector {
		return operand(slot[id])
	}
	if o, ok := s.spread[id]; ok {
		return o
	}
	o := ^operand(len(s.p.spread))
	s.p.spread = append(s.p.spread, id)
	s.spread[id] = o
	return o
}
