package derive

import (
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// held is put after a defined name while it is held constant and counts as given; no
// text can hold it.
const held = "″"

// holding returns two lines on which a defined name k is a given one: its definition is
// solved for one of the names in it, which the lines, the domain and the givens then do
// without. The scope is as before after restore. ok is false if that is not possible.
func (j *judge) holding(k string, a, b *statement, constant map[string]bool) (x, y *statement, restore func(), ok bool) {
	s := j.scope
	value, symbol := s.values[k], s.symbols[k]
	vars, domain, order := s.vars, s.domain, s.order
	name := k + held
	restore = func() {
		delete(s.symbols, name)
		s.vars, s.domain, s.order = vars, domain, order
		j.forgetSampler()
	}
	m := makerAt(b.expr)
	s.vars, s.order = append([]*variable(nil), vars...), append([]string(nil), order...)
	s.give(m.name(name), symbol.Type.Dim, symbol.Type.Unit)
	p := newProver(s)
	p.assume(value)
	equation := m.sub(m.name(name), m.paren(value))
	for _, v := range inOrderOfUse(vars, value, b.full) {
		ident := v.name.Ident
		if constant[ident] || v.whole {
			continue
		}
		by, solved := p.solvedPower(equation, ident)
		if !solved {
			continue
		}
		if num, den, ok := algebra.Fraction(by); ok {
			by = m.paren(m.div(m.paren(num), m.paren(den))) // without sums with 0
		}
		s.vars = nil
		for _, w := range vars {
			if w != v {
				s.vars = append(s.vars, w)
			}
		}
		s.vars = append(s.vars, &variable{name: m.name(name), dim: symbol.Type.Dim, unit: symbol.Type.Unit})
		s.domain = nil
		for _, c := range domain {
			s.domain = append(s.domain, divided(p, put(c, ident, by).(*notation.Compare), by, name))
		}
		j.forgetSampler()
		x, ok1 := j.quietly(put(a.full, ident, by))
		y, ok2 := j.quietly(put(b.full, ident, by))
		if ok1 && ok2 {
			x.line, y.line = a.line, b.line
			return x, y, restore, true
		}
	}
	restore()
	return a, b, func() {}, false
}

// inOrderOfUse lists the given names in a value, those first that do not stand in e.
func inOrderOfUse(vars []*variable, value, e notation.Expr) []*variable {
	var first, rest []*variable
	for _, v := range vars {
		switch {
		case !isFree(value, v.name.Ident):
		case isFree(e, v.name.Ident):
			rest = append(rest, v)
		default:
			first = append(first, v)
		}
	}
	return append(first, rest...)
}

// divided writes 0 < k·D < D as 0 < k < 1, where by is k·D and D is proved to be
// positive; other comparisons stay.
func divided(p *prover, c *notation.Compare, by notation.Expr, k string) *notation.Compare {
	m := makerAt(c)
	unit := put(by, k, m.number(1))
	if equal, decided := algebra.EqualExactly(by, m.mul(m.name(k), m.paren(unit)), nil); !equal || !decided || p.sign(unit) != algebra.Positive {
		return c
	}
	out := *c
	out.Xs = nil
	for _, x := range c.Xs {
		if r, ok := algebra.Quotient(x, unit, nil); ok {
			out.Xs = append(out.Xs, m.rational(r))
		} else if equal, decided := algebra.EqualExactly(x, by, nil); equal && decided {
			out.Xs = append(out.Xs, m.name(k))
		} else {
			return c
		}
	}
	return &out
}

// shownHeld names held names as their lines do.
func shownHeld(v *Verdict) {
	v.Why = strings.ReplaceAll(v.Why, held, "")
	for i := range v.Counterexample {
		v.Counterexample[i].Name = strings.ReplaceAll(v.Counterexample[i].Name, held, "")
	}
}
