package derive

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// A smallSide is one sign that a small name may have. "For small k" is a claim about both,
// unless the givens leave one out.
type smallSide struct {
	sign    float64
	allowed bool // small values of this sign are seen to be in the domain
}

// smallSides returns the signs that the givens do not leave out, and whether they allow
// small values at all.
func (j *judge) smallSides(p *prover, x *approximation) (sides []smallSide, any bool) {
	var value notation.Expr = makerAt(x.claim).name(x.ident)
	if x.of != "" {
		value = x.is
	}
	sign := p.sign(value)
	for _, side := range []struct {
		sign float64
		of   algebra.Sign
	}{{1, algebra.Positive}, {-1, algebra.Negative}} {
		if sign&side.of == 0 {
			continue
		}
		allowed := j.allowsSmall(x, side.sign)
		sides = append(sides, smallSide{side.sign, allowed})
		any = any || allowed
	}
	return sides, any
}

// oneSided words a claim that fails for one sign of the small name only.
func (v *Verdict) oneSided(x *approximation, name string, sign float64) {
	holds, fails := "positive", "negative"
	if sign > 0 {
		holds, fails = fails, holds
	}
	v.Slip = SpecialCase
	isAbsolute := func(e notation.Expr) bool { _, ok := absoluteOf(e); return ok }
	if len(find(x.above, isAbsolute)) > 0 || len(find(x.claim, isAbsolute)) > 0 {
		v.Slip = AbsoluteValue
	}
	v.Why = "it holds where " + name + " is " + holds + "; where it is " + fails + ", " + v.Why
}

// smallValue names a small name without its sign; no text can hold it.
const smallValue = "′small"

// expand expands e for small values of one sign, with the terms in terms of the name.
func (x *approximation) expand(p *prover, e notation.Expr, sign float64) (algebra.Expansion, bool) {
	m := makerAt(e)
	p.plain.signs[smallValue] = algebra.Positive
	defer delete(p.plain.signs, smallValue)
	var value notation.Expr = m.name(smallValue)
	if sign < 0 {
		value = m.neg(value)
	}
	found, ok := algebra.Expand(p.resolve(p.chosen(put(e, x.ident, value))), smallValue, p.resolve)
	for i, term := range found.Terms {
		if sign < 0 && (found.Order+i)%2 != 0 {
			found.Terms[i] = negated(term)
		}
	}
	return found, ok
}

// negated returns −e, as short as it can be written.
func negated(e notation.Expr) notation.Expr {
	m := makerAt(e)
	if r, ok := constantOf(e); ok {
		return m.rational(r.Neg(r))
	}
	if u, ok := notation.Unparen(e).(*notation.Unary); ok && u.Op == notation.OpNeg {
		return u.X
	}
	return m.neg(m.paren(e))
}

// chosen replaces branches by the one whose condition is proved.
func (p *prover) chosen(e notation.Expr) notation.Expr {
	return p.rewrite(e, func(e notation.Expr) notation.Expr {
		branch, ok := e.(*notation.If)
		if !ok {
			return e
		}
		c, ok := notation.Unparen(branch.Cond).(*notation.Compare)
		if !ok || len(c.Ops) != 1 || p.defined(c) != nil {
			return e
		}
		wanted, ok := allowed[c.Ops[0]]
		if !ok {
			return e
		}
		m := makerAt(e)
		switch sign := p.sign(m.sub(m.paren(c.Xs[1]), m.paren(c.Xs[0]))); {
		case sign.Within(wanted):
			return m.paren(branch.Then)
		case sign&wanted == 0:
			return m.paren(branch.Else)
		}
		return e
	})
}

// allowsSmall reports whether small values of the name with a sign are in the domain.
func (j *judge) allowsSmall(x *approximation, sign float64) bool {
	for i := range Points {
		s := j.points().site(random, i)
		if s == nil {
			return false
		}
		for _, share := range []float64{0x1p-12, 0x1p-40} {
			if p, ok := j.atSmall(x, s.point, sign*share); ok && j.points().inDomain(p) {
				return true
			}
		}
	}
	return false
}

// showSmall shows both lines at a small value of the name, at a point where a term of
// what is left out is not 0: a readable one if there is one.
func (j *judge) showSmall(v *Verdict, x *approximation, a *statement, sign float64, term notation.Expr) {
	for _, how := range []manner{readable, random, wide} {
		for i := range Points {
			s := j.points().site(how, i)
			if s == nil {
				break
			}
			size, err := j.eval.value(term, s.point)
			if err != nil || math.Abs(size.Float64()) <= float64(1000*size.Radius()) {
				continue
			}
			for _, share := range []float64{0.01, 0x1p-12, 0x1p-40} {
				p, ok := j.atSmall(x, s.point, sign*share)
				if !ok || !j.points().inDomain(p) {
					continue
				}
				above, err1 := j.eval.value(x.above, p)
				claim, err2 := j.eval.value(x.claim, p)
				if firstError(err1, err2) != nil {
					continue
				}
				v.Counterexample = j.points().named(p, usedNames(x.above, x.claim))
				v.Above, v.Claimed = j.shownApart(above, claim, a)
				return
			}
		}
	}
}
