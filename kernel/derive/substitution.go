package derive

import (
	"fmt"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// substituted takes "with u = …" of a step: a u that is free in the step
// means that expression from here on. A u that a form in the step binds is
// looked at once the step is judged.
func (j *judge) substituted(line *notation.DeriveStep) {
	if _, known := j.scope.symbols[line.With.Ident]; known || !isFree(line.X, line.With.Ident) {
		return
	}
	t, errs := j.scope.typeOf(line.WithX)
	if source.List(errs).HasErrors() || t.Kind != check.Number {
		j.list = append(j.list, errs...)
		return
	}
	if err := j.scope.define(line.With, line.WithX, t); err != nil {
		j.list.Addf(line.WithX.Span(), CodeTooLong, "%v", err)
	}
}

// A change of variable is an integral over x in the line above and one over u
// in the step, with u as a function of x.
type change struct {
	before, after *notation.Bind // in terms of given names
	u             notation.Expr  // of x
	slope         notation.Expr  // du/dx
}

// changeOf finds the change of variable that a step states.
func (j *judge) changeOf(a, b *statement, step *notation.DeriveStep) (change, bool) {
	if step == nil || step.With == nil {
		return change{}, false
	}
	u, err := j.scope.full(step.WithX)
	if err != nil {
		return change{}, false
	}
	after := find(b.full, func(b *notation.Bind) bool {
		return b.Kind == notation.Integral && b.Var.Ident == step.With.Ident
	})
	before := find(a.full, func(b *notation.Bind) bool {
		return b.Kind == notation.Integral && isFree(u, b.Var.Ident)
	})
	if len(after) == 0 || len(before) == 0 {
		return change{}, false
	}
	slope, err := algebra.Derivative(u, before[0].Var.Ident, nil)
	if err != nil {
		return change{}, false
	}
	return change{before[0], after[0], u, slope}, true
}

// substitutedBack puts the old variable back into the integral of a step, and
// proves that it is the line above: the limits are u at the old ones exactly,
// and u is smooth on the range.
func (j *judge) substitutedBack(p *prover, a, b *statement, step *notation.DeriveStep) bool {
	c, ok := j.changeOf(a, b, step)
	if !ok {
		return false
	}
	x, m := c.before.Var.Ident, makerAt(c.after)
	for _, end := range [][2]notation.Expr{{c.before.From, c.after.From}, {c.before.To, c.after.To}} {
		if equal, decided := algebra.EqualExactly(put(c.u, x, end[0]), end[1], nil); !equal || !decided {
			return false
		}
	}
	back := *c.before
	back.Body = m.mul(m.paren(put(c.after.Body, c.after.Var.Ident, c.u)), m.paren(c.slope))
	equal, decided := algebra.EqualExactly(a.full, replace(b.full, c.after, m.paren(&back)), nil)
	if !equal || !decided {
		return false
	}
	return p.isSmooth(c.u, x, c.before.From, c.before.To) && p.definedBind(&back) == nil
}

// limitsChanged reports whether the limits of the new integral are u at the old
// ones; decided is false if that cannot be told.
func (j *judge) limitsChanged(c change) (changed, decided bool) {
	x := c.before.Var.Ident
	lower := &statement{full: put(c.u, x, c.before.From)}
	upper := &statement{full: put(c.u, x, c.before.To)}
	low, ok1 := j.sameValue(lower.full, c.after.From)
	high, ok2 := j.sameValue(upper.full, c.after.To)
	return low && high, ok1 && ok2
}

// sameValue compares two expressions exactly, or else at a few points.
func (j *judge) sameValue(x, y notation.Expr) (same, decided bool) {
	if same, decided = algebra.EqualExactly(x, y, nil); decided {
		return same, true
	}
	compared := 0
	for range FewPoints {
		p, ok := j.points().draw(random)
		if !ok {
			return false, false
		}
		j.eval.left = max(j.eval.left, stepNodes/8)
		v, err1, err2 := j.evaluateBoth(p, &statement{full: x}, &statement{full: y})
		if err1 != nil || err2 != nil {
			continue
		}
		if bigfloat.Compare(v.above, v.claim, 15, 0) != bigfloat.Agrees {
			return false, true
		}
		compared++
	}
	return compared > 0, compared > 0
}

// checkSubstitution adds to the verdict on a right step what its limits have to
// do with its stated change of variable. The step is right, so it is not called
// wrong: with du = −k·dx, say, swapped limits take up the sign.
func (j *judge) checkSubstitution(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	c, ok := j.changeOf(a, b, step)
	if !ok {
		return
	}
	if changed, decided := j.limitsChanged(c); !decided || changed {
		return
	}
	if changed, decided := j.limitsChanged(c.turned()); decided && changed {
		v.Why += "; swapping the limits takes up a sign"
		return
	}
	v.Why += fmt.Sprintf("; these limits come of another change of variable than %s = %s", step.With.Ident, notation.Print(step.WithX))
}

// turned is the change with the limits of the old integral swapped.
func (c change) turned() change {
	c.before = &notation.Bind{Var: c.before.Var, From: c.before.To, To: c.before.From}
	return c
}
