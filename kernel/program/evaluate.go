package program

import (
	"fmt"
	"math"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// Block evaluates the program for one value of each parameter a lane: dst[i]
// is its value at params[0][i], params[1][i] and so on.
//
// All slices have the length of dst, else Block panics. The error is a
// source.List: the first lane, in order, that has no value, or a limit.
func (p *Program) Block(run *Run, dst []float64, params ...[]float64) error {
	p.expectParams(len(params))
	for _, x := range params {
		if len(x) != len(dst) {
			panic("program: slice lengths do not match")
		}
	}
	f := p.take()
	defer p.give(f)
	if err := p.setOnce(run, f, nil); err != nil {
		return p.located(err)
	}
	size := run.blockSize()
	for k := 0; k < len(dst); k += size {
		if err := p.fillBlock(run, f, dst, params, k, min(k+size, len(dst))); err != nil {
			return p.located(err)
		}
	}
	return nil
}

func (p *Program) fillBlock(run *Run, f *frame, dst []float64, params [][]float64, from, to int) error {
	n := to - from
	if err := run.spend(int64(n), p.laneCost); err != nil {
		return err
	}
	for i, x := range params {
		p.load(f, i, x[from:to])
	}
	sound, err := p.block(run, f, 0, n)
	if err != nil {
		return err
	}
	out := dst[from:to]
	copy(out, p.lanes(f, n))
	if sound && allFinite(out) {
		return nil
	}
	lane := make([]float64, len(params))
	for j := range n {
		for i, x := range params {
			lane[i] = x[from+j]
		}
		if out[j], err = p.At(run, lane...); err != nil {
			return err
		}
	}
	return nil
}

// At evaluates the program for one value of each parameter. The error is a
// source.List with the place of the operation that has no value, or a limit.
func (p *Program) At(run *Run, params ...float64) (float64, error) {
	p.expectParams(len(params))
	if err := run.spend(1, p.valueCost); err != nil {
		return 0, p.located(err)
	}
	f := p.take()
	for i, x := range params {
		if id := p.inputs[i]; id >= 0 {
			f.regs[id] = x
		}
	}
	sound, err := p.scalars(run, f, p.all)
	v := f.regs[p.result]
	p.give(f)
	if err != nil {
		return 0, p.located(err)
	}
	if sound && finite(v) {
		return v, nil
	}
	return p.explain(run, params)
}

// explain evaluates the expression by walking, which finds the operation that
// has no value.
func (p *Program) explain(run *Run, params []float64) (float64, error) {
	w := newWalker(run, p.scope)
	w.quiet = true
	for i, x := range params {
		w.bind(p.params[i], x)
	}
	v, ok := w.number(p.expr)
	if !ok {
		return 0, w.problem.AsError()
	}
	return v.x, nil
}

func (p *Program) expectParams(n int) {
	if n != len(p.params) {
		panic(fmt.Sprintf("program: %d parameters, want %d", n, len(p.params)))
	}
}

// located gives a limit the place of the whole expression.
func (p *Program) located(err error) error {
	if l, ok := err.(*limitError); ok {
		return source.Diagnostic{Span: p.expr.Span(), Code: l.code, Message: l.message, Repair: l.repair}.AsError()
	}
	return err
}

func (r *Run) blockSize() int {
	if r.block > 0 {
		return r.block
	}
	return blockLanes
}

// Evaluate evaluates an expression once. An expression that holds a bracket
// evaluates to a bracket; a condition to a truth. The list holds at most one
// error, at the first operation that has no value; remarks go to run.Notes.
func Evaluate(run *Run, e notation.Expr, s Scope) (Value, source.List) {
	w := newWalker(run, s)
	if isCondition(e) {
		t, ok := w.condition(e)
		if !ok {
			return Value{}, source.List{*w.problem}
		}
		return Value{IsTruth: true, Truth: t}, nil
	}
	if w.holdsBracket(e) {
		b, ok := w.tight(e)
		if !ok {
			return Value{}, source.List{*w.problem}
		}
		return Value{IsBracket: true, Bracket: b}, nil
	}
	v, ok := w.number(e)
	if !ok {
		return Value{}, source.List{*w.problem}
	}
	return Value{Number: v.x, ErrorEstimate: math.Abs(v.estimate), Noise: v.noise}, nil
}

// isCondition reports whether an expression is a comparison or made of some.
func isCondition(e notation.Expr) bool {
	switch notation.Unparen(e).(type) {
	case *notation.Compare, *notation.Logic:
		return true
	}
	return false
}
