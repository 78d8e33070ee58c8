package derive

import (
	"slices"
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// other is what is put after a name for its value at a second point; no text can
// hold it.
const other = "′"

// proportional judges "∝ b" below a: b/a is the same at any two points that agree
// in the names held constant. Without for constant, that must hold for any two
// points at all, so that the quotient is a number; where it holds only with
// names constant that b leaves out, those must be named, and the verdict is open.
func (j *judge) proportional(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	constant := map[string]bool{}
	for _, n := range step.Constant {
		constant[n.Ident] = true
		if _, known := j.scope.symbols[n.Ident]; !known {
			v.Kind, v.Why = Open, n.Ident+" is held constant, and nothing says what it is"
			return
		}
	}
	for _, n := range step.Constant {
		value := j.scope.values[n.Ident]
		if value == nil || !j.isMovedBy(value, a, b, constant) {
			continue
		}
		if ident, only := j.onlyName(value, constant); only {
			constant[ident] = true
			continue
		}
		x, y, restore, ok := j.holding(n.Ident, a, b, constant)
		if !ok {
			v.Kind, v.Why = Open, "how the other names change while "+n.Ident+" is constant could not be worked out: name those of its definition that stay as they are"
			return
		}
		defer restore()
		defer shownHeld(v)
		a, b = x, y
		constant[n.Ident+held] = true
	}
	var varying, left []*variable // varying in b; only in a
	used, claimed := usedNames(a.full, b.full), usedNames(b.full)
	for _, x := range j.scope.vars {
		switch ident := x.name.Ident; {
		case constant[ident] || !used[ident]:
		case claimed[ident]:
			varying = append(varying, x)
		default:
			left = append(left, x)
		}
	}
	if len(varying) == 0 {
		v.Kind, v.Why = Open, "nothing that varies stands on this side, so there is nothing to be proportional to"
		return
	}
	if w := j.isZero(b); w.Kind == Follows || w.Kind == Agrees {
		v.Kind, v.Why = Fails, "this side is 0, and nothing else is proportional to that"
		return
	}
	j.atTwoPoints(v, a, b, varying)
	if v.Kind == Fails || len(left) == 0 {
		return
	}
	all := *v
	j.atTwoPoints(&all, a, b, append(left, varying...))
	if all.Kind != Fails {
		*v = all
		return
	}
	if v.Kind == Open {
		return
	}
	var list []string
	for _, x := range left {
		list = append(list, x.name.Ident)
	}
	names := strings.Join(list, ", ")
	v.Kind, v.Exact, v.Points = Open, false, 0
	v.Why = "it is proportional only while " + names + " stay as they are: put “for constant " + names + "” behind it"
}

// onlyName returns the one name that a value depends on beside constant ones, if the
// value is proved to rise or to fall with it: then both are constant at once.
func (j *judge) onlyName(value notation.Expr, constant map[string]bool) (ident string, only bool) {
	for _, n := range notation.FreeNames(value) {
		switch {
		case n.Ident == "π" || constant[n.Ident] || n.Ident == ident:
		case ident != "":
			return "", false
		default:
			ident = n.Ident
		}
	}
	slope, err := algebra.Derivative(value, ident, nil)
	if err != nil || isPiecewise(value) {
		return "", false
	}
	p := newProver(j.scope)
	sign := p.sign(slope)
	return ident, (sign == algebra.Positive || sign == algebra.Negative) && p.defined(value) == nil
}

// isMovedBy reports whether two lines depend on a name in a value that is not constant.
func (j *judge) isMovedBy(value notation.Expr, a, b *statement, constant map[string]bool) bool {
	used := usedNames(a.full, b.full)
	return slices.ContainsFunc(notation.FreeNames(value), func(n *notation.Name) bool {
		return used[n.Ident] && !constant[n.Ident] && j.scope.variable(n.Ident) != nil
	})
}

// isZero judges whether a line is 0.
func (j *judge) isZero(b *statement) Verdict {
	var w Verdict
	zero := makerAt(b.expr).number(0)
	j.decide(&w, b, &statement{expr: zero, full: zero, part: zero, typ: b.typ, line: b.line}, nil)
	return w
}

// atTwoPoints judges a(p)·b(q) = a(q)·b(p) for any two points p and q of the
// domain that differ in the names that vary.
func (j *judge) atTwoPoints(v *Verdict, a, b *statement, varying []*variable) {
	vars, domain, order := j.scope.vars, j.scope.domain, j.scope.order
	defer func() {
		for _, x := range varying {
			delete(j.scope.symbols, x.name.Ident+other)
		}
		j.scope.vars, j.scope.domain, j.scope.order = vars, domain, order
		j.forgetSampler()
	}()
	j.scope.vars = append([]*variable(nil), vars...)
	j.scope.order = append([]string(nil), order...)
	m := makerAt(b.expr)
	moved := func(e notation.Expr) notation.Expr {
		for _, x := range varying {
			e = put(e, x.name.Ident, m.name(x.name.Ident+other))
		}
		return e
	}
	for _, x := range varying {
		j.scope.give(m.name(x.name.Ident+other), x.dim, x.unit)
		again := j.scope.vars[len(j.scope.vars)-1]
		again.whole, again.counts = x.whole, x.counts
	}
	j.scope.domain = nil
	for _, c := range domain {
		j.scope.domain = append(j.scope.domain, c)
		if two := moved(c).(*notation.Compare); two != c {
			j.scope.domain = append(j.scope.domain, two)
		}
	}
	j.forgetSampler()
	product := func(x, y notation.Expr) (*statement, bool) {
		e := m.mul(m.paren(x), m.paren(y))
		return j.quietly(e)
	}
	p, ok1 := product(a.full, moved(b.full))
	q, ok2 := product(moved(a.full), b.full)
	var w Verdict
	if ok1 && ok2 {
		p.line, q.line = a.line, b.line
		j.decide(&w, p, q, nil)
	} else {
		w.Kind, w.Why = Open, "the two sides cannot be multiplied"
	}
	v.Kind, v.Exact, v.Points, v.Why = w.Kind, w.Exact, w.Points, w.Why
	switch w.Kind {
	case Follows:
		v.Why = "the quotient of the two sides is the same for all values that the givens allow"
	case Agrees:
		v.Why = "the quotient of the two sides is the same at any two points tried"
	case Fails:
		v.Counterexample = w.Counterexample
		v.Why = "the quotient of the two sides changes between two points of the domain, which differ in " + namesOf(varying)
	}
}

func namesOf(list []*variable) string {
	var names []string
	for _, x := range list {
		names = append(names, x.name.Ident)
	}
	return strings.Join(names, ", ")
}

// sameDimension reports whether two lines can be compared at all.
func sameDimension(a, b unit.Dimension, step *notation.DeriveStep) bool {
	return a == b || step != nil && step.Op == notation.OpPropTo
}
