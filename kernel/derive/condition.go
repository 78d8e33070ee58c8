package derive

import (
	"slices"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// CodeCondition: a line is taken as a condition on names that later lines solve for.
// Example: given a: number > 0, b: number
//
//	a·x = b
//	⇒ x = b/a
const CodeCondition source.Code = "condition"

// CodeConditionUnsolved: a condition does not determine any name that it is meant to.
// Example: given a: number, b: number
//
//	a·x = b
//	⇒ x = b/a
const CodeConditionUnsolved source.Code = "condition-unsolved"

// condition takes an equation that cannot be a claim, since a name in it is solved for
// in a line below: T_A + T_B = T, with ⇒ T_A = … to come. It is solved at once for one
// of its names, exactly, so that from here on that name has a value in terms of the
// others and every line is judged on the solutions of the equations, T_A = … as any
// claim about a name that has a value. It reports whether the line is such an equation.
func (j *judge) condition(line notation.DeriveLine, left, right notation.Expr) bool {
	unsolved := j.solvedBelow(line)
	if len(unsolved) == 0 {
		return false
	}
	var unknown []string
	for _, n := range append(notation.FreeNames(left), notation.FreeNames(right)...) {
		if _, known := j.scope.symbols[n.Ident]; !known && n.Ident != "π" && !contains(unknown, n.Ident) {
			unknown = append(unknown, n.Ident)
		}
	}
	m := makerAt(line)
	for _, ident := range unknown {
		if !unsolved[ident] && !j.isUsedAgain(line, ident) {
			return false // most likely a slip of the pen
		}
	}
	var concerned []string
	for _, n := range append(j.freeInGivens(left), j.freeInGivens(right)...) {
		isOpen := contains(unknown, n) || unsolved[n] || contains(j.sought, n)
		if isOpen && !contains(concerned, n) {
			concerned = append(concerned, n)
		}
	}
	if len(concerned) == 0 || len(unknown) == 0 && j.isIdentity(left, right) {
		return false
	}
	if len(unknown) > 0 && !j.inferDimensions(line, unknown, left, right) {
		return false
	}
	x, ok1 := j.quietly(left)
	y, ok2 := j.quietly(right)
	if !ok1 || !ok2 || x.typ.Dim != y.typ.Dim && !x.typ.Zero && !y.typ.Zero {
		return false
	}
	concerned = append(concerned, j.eliminated(x.full, y.full, unsolved, concerned)...)
	p := newProver(j.scope)
	p.assume(x.full)
	p.assume(y.full)
	equation := p.closed(m.sub(m.paren(x.full), m.paren(y.full)))
	for _, ident := range j.solvable(equation, concerned) {
		value, ok := p.solvedPower(equation, ident)
		if !ok {
			continue
		}
		if zero, decided := algebra.EqualExactly(value, m.number(0), nil); len(unknown) == 0 && zero && decided {
			return false // the two sides are multiples of each other: a claim, and a wrong one
		}
		j.settle(ident, value)
		j.above, j.chain, j.bound = y, "", ""
		j.sought = append(j.sought, concerned...)
		j.list.Notef(left.Span().To(right.Span()), CodeCondition, "this equation is taken as a condition on %s, and the lines below are judged where it holds", words.And(concerned))
		return true
	}
	j.above, j.chain, j.bound = y, "", ""
	j.stuck = append(j.stuck, concerned...)
	j.list.Addf(line.Span(), CodeConditionUnsolved, "this equation could not be solved for %s", words.And(concerned)).
		Repair = "say in given what keeps the factors of " + concerned[0] + " from being 0, and for a power that " + concerned[0] + " > 0"
	return true
}

// solvedBelow returns the names that a line below gives a value, and that have none.
func (j *judge) solvedBelow(line notation.DeriveLine) map[string]bool {
	found := map[string]bool{}
	isBelow := false
	for _, other := range j.cell.Lines {
		if other.Span() == line.Span() {
			isBelow = true
			continue
		}
		d, ok := other.(*notation.DeriveDefine)
		if !isBelow || !ok || d.Params != nil || d.Over != nil {
			continue
		}
		_, known := j.scope.symbols[d.Name.Ident]
		v := j.scope.variable(d.Name.Ident)
		isOpen := !known || v != nil && j.mayBeSought(line, d.Name.Ident) || j.isHalfSolved(d.Name.Ident)
		if isOpen && !isDifferential(d) {
			found[d.Name.Ident] = j.isUsedBefore(line, d.Name.Ident)
		}
	}
	for ident, used := range found {
		if !used {
			delete(found, ident)
		}
	}
	return found
}

// mayBeSought reports whether a given name may be one that equations are solved for:
// the givens compare it with nothing, or with numbers only and no definition uses it.
func (j *judge) mayBeSought(line notation.DeriveLine, ident string) bool {
	for _, c := range j.scope.domain {
		if isFree(c, ident) && len(notation.FreeNames(c)) > 1 {
			return false
		}
	}
	if !j.isLimited(ident) {
		return true
	}
	for _, other := range j.cell.Lines {
		if other.Span() == line.Span() {
			break
		}
		if _, ok := other.(*notation.DeriveDefine); ok && j.occursIn(other, ident) {
			return false
		}
	}
	return true
}

// eliminated returns the given names of an equation that the givens compare with
// nothing and that do not occur in what the lines below find.
func (j *judge) eliminated(x, y notation.Expr, unsolved map[string]bool, concerned []string) []string {
	used := map[string]bool{}
	for _, other := range j.cell.Lines {
		if d, ok := other.(*notation.DeriveDefine); ok && unsolved[d.Name.Ident] {
			for _, n := range notation.FreeNames(d.Expr) {
				used[n.Ident] = true
			}
		}
	}
	var list []string
	for _, n := range append(notation.FreeNames(x), notation.FreeNames(y)...) {
		if j.scope.variable(n.Ident) != nil && !j.isLimited(n.Ident) && !used[n.Ident] && !contains(concerned, n.Ident) && !contains(list, n.Ident) {
			list = append(list, n.Ident)
		}
	}
	return list
}

// solution words a claim about a name that equations above were solved for.
func (j *judge) solution(v *Verdict, ident string) {
	switch {
	case v.Kind != Follows || !contains(j.sought, ident):
	case j.scope.variable(ident) != nil || j.isHalfSolved(ident):
		v.Why = "it follows from the equations above, by exact algebra"
	default:
		v.Why = "put into the equations above it satisfies them, and they have no other solution, by exact algebra"
	}
}

// isStuck reports whether a line depends on names that an equation above could not be
// solved for.
func (j *judge) isStuck(list ...*statement) bool {
	for _, s := range list {
		for _, n := range notation.FreeNames(s.full) {
			if contains(j.stuck, n.Ident) {
				return true
			}
		}
	}
	return false
}

// isHalfSolved reports whether an equation above gave a name a value in terms of others
// that are sought too.
func (j *judge) isHalfSolved(ident string) bool {
	value := j.scope.values[ident]
	if value == nil || !contains(j.sought, ident) {
		return false
	}
	for _, other := range j.sought {
		if j.scope.variable(other) != nil && isFree(value, other) {
			return true
		}
	}
	return false
}

// isUsedBefore reports whether a name occurs in a line up to this one.
func (j *judge) isUsedBefore(line notation.DeriveLine, ident string) bool {
	for _, other := range j.cell.Lines {
		if j.occursIn(other, ident) {
			return true
		}
		if other.Span() == line.Span() {
			return false
		}
	}
	return false
}

// isUsedAgain reports whether a name occurs in another line too.
func (j *judge) isUsedAgain(line notation.DeriveLine, ident string) bool {
	for _, other := range j.cell.Lines {
		if other.Span() != line.Span() && j.occursIn(other, ident) {
			return true
		}
	}
	return false
}

func (j *judge) occursIn(line notation.DeriveLine, ident string) bool {
	for _, n := range notation.Uses(line) {
		if n.Ident == ident {
			_, given := line.(*notation.Given)
			return !given
		}
	}
	return false
}

// isLimited reports whether the givens compare a name with anything.
func (j *judge) isLimited(ident string) bool {
	for _, c := range j.scope.domain {
		if isFree(c, ident) {
			return true
		}
	}
	return false
}

// freeInGivens returns the names that an expression depends on, with definitions put
// in, and the defined names in it.
func (j *judge) freeInGivens(e notation.Expr) []string {
	var list []string
	for _, n := range notation.FreeNames(e) {
		list = append(list, n.Ident)
	}
	if full, err := j.scope.full(e); err == nil {
		for _, n := range notation.FreeNames(full) {
			list = append(list, n.Ident)
		}
	}
	return list
}

func (j *judge) isIdentity(left, right notation.Expr) bool {
	x, ok1 := j.quietly(left)
	y, ok2 := j.quietly(right)
	if !ok1 || !ok2 {
		return false
	}
	p := newProver(j.scope)
	equal, decided := algebra.EqualExactly(p.closed(p.resolve(x.full)), p.closed(p.resolve(y.full)), nil)
	return equal && decided
}

// inferDimensions gives the unknown names of an equation dimensions with which its
// sides fit: those of names that are known, a pure number, and those of what the lines
// below give them.
func (j *judge) inferDimensions(line notation.DeriveLine, unknown []string, left, right notation.Expr) bool {
	if len(unknown) > 3 {
		return false
	}
	candidates := append([]unit.Dimension{{}}, j.scope.dimensions()...)
	for _, other := range j.cell.Lines {
		if d, ok := other.(*notation.DeriveDefine); ok && contains(unknown, d.Name.Ident) {
			if s, ok := j.quietly(d.Expr); ok {
				candidates = append([]unit.Dimension{s.typ.Dim}, candidates...)
			}
		}
	}
	symbols, vars, order := j.scope.symbols, j.scope.vars, j.scope.order
	try := func(dims []unit.Dimension) bool {
		j.scope.symbols = map[string]*check.Symbol{}
		for ident, symbol := range symbols {
			j.scope.symbols[ident] = symbol
		}
		j.scope.vars = append([]*variable(nil), vars...)
		j.scope.order = append([]string(nil), order...)
		j.scope.checker = check.New(j.scope)
		for i, ident := range unknown {
			j.scope.give(nameIn(left, right, ident), dims[i], nil)
		}
		t, errs1 := j.scope.typeOf(left)
		u, errs2 := j.scope.typeOf(right)
		return !source.List(errs1).HasErrors() && !source.List(errs2).HasErrors() && t.IsQuantity() && u.IsQuantity() &&
			(t.Dim == u.Dim || t.Zero || u.Zero)
	}
	var search func(dims []unit.Dimension) bool
	search = func(dims []unit.Dimension) bool {
		if len(dims) == len(unknown) {
			return try(dims)
		}
		for _, d := range candidates {
			if search(append(dims[:len(dims):len(dims)], d)) {
				return true
			}
		}
		return false
	}
	if search(nil) {
		j.forgetSampler()
		return true
	}
	j.scope.symbols, j.scope.vars, j.scope.order = symbols, vars, order
	j.scope.checker = check.New(j.scope)
	return false
}

func nameIn(left, right notation.Expr, ident string) *notation.Name {
	for _, n := range append(notation.FreeNames(left), notation.FreeNames(right)...) {
		if n.Ident == ident {
			return n
		}
	}
	return nil
}

// solvable returns the given names of an equation in the order in which it is solved
// for them: those sought first, in the order of the text.
func (j *judge) solvable(equation notation.Expr, concerned []string) []string {
	var first, rest []string
	for _, n := range notation.FreeNames(equation) {
		switch {
		case j.scope.variable(n.Ident) == nil || contains(first, n.Ident) || contains(rest, n.Ident):
		case contains(concerned, n.Ident) || contains(j.sought, n.Ident):
			first = append(first, n.Ident)
		case !j.isLimited(n.Ident):
			rest = append(rest, n.Ident)
		}
	}
	return append(first, rest...)
}

// solvedPower solves an equation that is linear in a name, or in a power of a name
// that is positive.
func (p *prover) solvedPower(equation notation.Expr, ident string) (notation.Expr, bool) {
	if x, ok := p.solved(equation, ident); ok {
		return x, true
	}
	m := makerAt(equation)
	if !p.sign(m.name(ident)).Within(algebra.NonNegative) {
		return nil, false
	}
	num, _, ok := algebra.Fraction(equation)
	if !ok {
		return nil, false
	}
	const root = "′power"
	for n := 2; n <= 6; n++ {
		inPower, ok := throughPower(num, ident, n, root)
		if !ok {
			continue
		}
		if x, ok := p.solved(inPower, root); ok {
			part := m.paren(m.div(m.number(1), m.number(n)))
			return m.paren(m.binary(notation.OpPow, m.paren(x), part)), true
		}
	}
	return nil, false
}

// throughPower writes a name that occurs only in its n-th power as the n-th root of
// another.
func throughPower(e notation.Expr, ident string, n int, power string) (notation.Expr, bool) {
	ok := true
	var walk func(e notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		if b, isPower := e.(*notation.Binary); isPower && b.Op == notation.OpPow {
			k, whole := exponentOf(b)
			if name, isName := notation.Unparen(b.X).(*notation.Name); isName && name.Ident == ident && whole && k%n == 0 {
				m := makerAt(e)
				return m.pow(m.name(power), k/n)
			}
		}
		if name, isName := e.(*notation.Name); isName && name.Ident == ident {
			ok = false
		}
		return notation.Map(e, walk)
	}
	out := walk(e)
	return out, ok
}

// settle gives a name the value that the equations leave it.
func (j *judge) settle(ident string, value notation.Expr) {
	kept := j.scope.vars[:0:0]
	for _, v := range j.scope.vars {
		if v.name.Ident != ident {
			kept = append(kept, v)
		}
	}
	j.scope.vars = kept
	for other, e := range j.scope.values {
		j.scope.values[other] = put(e, ident, value)
	}
	for name, f := range j.scope.functions {
		f.body = put(f.body, ident, value)
		j.scope.functions[name] = f
	}
	for i, c := range j.scope.domain {
		j.scope.domain[i] = put(c, ident, value).(*notation.Compare)
	}
	j.scope.values[ident] = value
	j.forgetSampler()
}

func contains(list []string, ident string) bool { return slices.Contains(list, ident) }
