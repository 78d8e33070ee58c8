package derive

import (
	"math/big"
	"slices"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// A prover proves signs of expressions over the whole stated domain, and that
// expressions have a value there. It never evaluates: what it cannot prove is
// unknown, and a step that needs it is not called a proof.
//
// Every given name is written as what the givens say of it: with d_1 > d_0 > 0,
// d_0 is a positive number p and d_1 is p + q with a positive q. A name between
// A and B is (A + t·B)/(1 + t) with t ≥ 0, or B itself. A polynomial in such
// numbers whose terms all have one sign has that sign everywhere.
type prover struct {
	plain   parametrisation // the names themselves, with their signs: enough for products
	views   []view
	values  map[string]notation.Expr // of defined names
	whole   map[string]bool          // names that are whole numbers
	given   []knownSign              // what the givens say of expressions that are not names
	nonZero []notation.Expr          // not 0 wherever the line above has a value
	ranges  []boundRange             // of the forms around the present part, outermost first
	far     map[string]algebra.Sign  // names that tend to infinity in the limits around it
}

// A view is one way to write the names; the domain is inside the union of its
// cases.
type view []parametrisation

// A parametrisation writes names in terms of numbers of known sign.
type parametrisation struct {
	values map[string]notation.Expr
	signs  map[string]algebra.Sign
}

// A boundRange is the range of a bound name, both ends included.
type boundRange struct {
	ident    string
	from, to notation.Expr
}

// A knownSign is an expression with the signs that it may have.
type knownSign struct {
	e    notation.Expr
	sign algebra.Sign
}

// A side is one end of the domain of a name.
type side struct {
	e      notation.Expr
	strict bool
}

// sign is that of the distance from the end.
func (s side) sign() algebra.Sign {
	if s.strict {
		return algebra.Positive
	}
	return algebra.NonNegative
}

type sides struct{ lower, upper []side }

// strategy is the order in which the ends of a domain are used.
type strategy int

const (
	byBoth    strategy = iota // between two ends where there are two
	byLower                   // from the lower end up
	byNumbers                 // ends without names only
	strategies
)

// maxEnds bounds the names whose upper end is looked at as a case of its own.
const maxEnds = 3

func newProver(s *scope) *prover {
	known := map[string]*sides{}
	for _, v := range s.vars {
		known[v.name.Ident] = &sides{}
	}
	var given []knownSign
	for _, c := range s.domain {
		for i, op := range c.Ops {
			x, y := notation.Unparen(c.Xs[i]), notation.Unparen(c.Xs[i+1])
			if op == notation.OpNotEqual {
				given = append(given, knownSign{makerAt(c).sub(x, y), algebra.NonZero})
			}
			switch op {
			case notation.OpGreater, notation.OpGreaterEq:
				x, y = y, x
			case notation.OpLess, notation.OpLessEq:
			default:
				continue
			}
			strict := op == notation.OpLess || op == notation.OpGreater
			addSide(known, y, x, strict, true)
			addSide(known, x, y, strict, false)
			given = append(given, knownSign{makerAt(c).sub(makerAt(c).paren(y), makerAt(c).paren(x)), side{strict: strict}.sign()})
		}
	}
	p := &prover{given: given, values: s.values, whole: map[string]bool{}}
	for _, v := range s.vars {
		p.whole[v.name.Ident] = v.whole
	}
	for how := range strategies {
		p.views = append(p.views, writeNames(s, known, how))
	}
	p.plain.signs = map[string]algebra.Sign{}
	for _, v := range s.vars {
		sign := algebra.AnySign
		for _, w := range p.views {
			sign &= p.signIn(w, v.name)
		}
		sign &= p.signAsGiven(v.name)
		p.plain.signs[v.name.Ident] = sign
	}
	return p
}

// addSide notes that other is an end of the domain of e, if e is a name.
func addSide(known map[string]*sides, e, other notation.Expr, strict, isLower bool) {
	name, ok := e.(*notation.Name)
	if !ok || known[name.Ident] == nil || isFree(other, name.Ident) {
		return
	}
	k := known[name.Ident]
	if isLower {
		k.lower = append(k.lower, side{other, strict})
	} else {
		k.upper = append(k.upper, side{other, strict})
	}
}

// writer writes the names of a scope in one parametrisation.
type writer struct {
	known   map[string]*sides
	how     strategy
	atUpper map[string]bool // nil at first; then the names that have cases, and whether they are at their upper end
	ends    []string        // names whose upper end is a case of its own
	busy    map[string]bool
	out     parametrisation
}

func writeNames(s *scope, known map[string]*sides, how strategy) view {
	first := newWriter(known, how, nil)
	for _, v := range s.vars {
		first.value(v.name)
	}
	cases := view{first.out}
	for mask := 1; mask < 1<<len(first.ends); mask++ {
		at := map[string]bool{}
		for i, ident := range first.ends {
			at[ident] = mask>>i&1 == 1
		}
		w := newWriter(known, how, at)
		for _, v := range s.vars {
			w.value(v.name)
		}
		cases = append(cases, w.out)
	}
	return cases
}

func newWriter(known map[string]*sides, how strategy, at map[string]bool) *writer {
	return &writer{known: known, how: how, atUpper: at, busy: map[string]bool{},
		out: parametrisation{map[string]notation.Expr{}, map[string]algebra.Sign{}}}
}

// value writes one name, and first the names that its ends are made of.
func (w *writer) value(name *notation.Name) notation.Expr {
	if e, done := w.out.values[name.Ident]; done {
		return e
	}
	if w.known[name.Ident] == nil || w.busy[name.Ident] {
		return name
	}
	w.busy[name.Ident] = true
	defer func() { w.busy[name.Ident] = false }()
	e := w.between(name)
	w.out.values[name.Ident] = e
	return e
}

func (w *writer) between(name *notation.Name) notation.Expr {
	m := makerAt(name)
	lower, hasLower := w.pick(w.known[name.Ident].lower)
	upper, hasUpper := w.pick(w.known[name.Ident].upper)
	free := m.name("′" + name.Ident)
	switch {
	case hasLower && hasUpper && w.how != byLower && (upper.strict || w.hasCase(name.Ident)):
		if !upper.strict && w.atUpper[name.Ident] {
			return m.paren(w.written(upper.e))
		}
		w.out.signs[free.Ident] = lower.sign()
		return within(m, w.written(lower.e), w.written(upper.e), free)
	case hasLower:
		w.out.signs[free.Ident] = lower.sign()
		return m.paren(m.add(m.paren(w.written(lower.e)), free))
	case hasUpper:
		w.out.signs[free.Ident] = upper.sign()
		return m.paren(m.sub(m.paren(w.written(upper.e)), free))
	}
	return name
}

// hasCase reports whether the upper end of a name is looked at by itself.
func (w *writer) hasCase(ident string) bool {
	if w.atUpper != nil {
		_, ok := w.atUpper[ident]
		return ok
	}
	if len(w.ends) == maxEnds {
		return false
	}
	w.ends = append(w.ends, ident)
	return true
}

// within is (a + t·b)/(1 + t).
func within(m maker, a, b, t notation.Expr) notation.Expr {
	return m.paren(m.div(m.paren(m.add(m.paren(a), m.mul(m.paren(b), t))), m.paren(m.add(m.number(1), t))))
}

// pick chooses an end: one with names first, unless names are not wanted.
func (w *writer) pick(list []side) (side, bool) {
	usable := func(s side) bool {
		for _, n := range notation.FreeNames(s.e) {
			if n.Ident != "π" && (w.how == byNumbers || w.busy[n.Ident]) {
				return false
			}
		}
		return true
	}
	var found *side
	for i := range list {
		if s := &list[i]; usable(*s) && (found == nil || len(notation.FreeNames(s.e)) > len(notation.FreeNames(found.e))) {
			found = s
		}
	}
	if found == nil {
		return side{}, false
	}
	return *found, true
}

// written returns e with its names written out.
func (w *writer) written(e notation.Expr) notation.Expr {
	for _, n := range notation.FreeNames(e) {
		if by := w.value(n); by != notation.Expr(n) {
			e = put(e, n.Ident, by)
		}
	}
	return e
}

// sign returns the signs that e may have in the domain.
func (p *prover) sign(e notation.Expr) algebra.Sign {
	if size(e, maxNodes/4) > maxNodes/4 || len(p.ranges) > maxEnds+1 {
		return algebra.AnySign
	}
	found := algebra.AnySign
	for _, v := range append([]view{{p.plain}}, p.views...) {
		if found &= p.signIn(v, e); isDecided(found) {
			return found
		}
	}
	return found & p.signAsGiven(e)
}

func isDecided(s algebra.Sign) bool {
	return s == algebra.Positive || s == algebra.Negative || s == algebra.Zero
}

// signAsGiven compares e with what the givens compare.
func (p *prover) signAsGiven(e notation.Expr) algebra.Sign {
	found := algebra.AnySign
	for _, g := range p.given {
		if hasOtherNames(g.e, e) || p.isBoundIn(g.e) {
			continue
		}
		if c, ok := algebra.Quotient(e, g.e, nil); ok {
			found &= g.sign.Mul(algebra.SignOf(rational(e, c), nil))
		}
	}
	return found
}

// hasOtherNames reports whether an expression holds a name that another does not, so
// that the other is hardly a multiple of it.
func hasOtherNames(e, than notation.Expr) bool {
	return notation.HasFree(e, func(name string) bool { return name != "π" && !isFree(than, name) })
}

// isBoundIn reports whether e holds a name that runs over a range here: what is known
// of the given name is not known of all values in the range.
func (p *prover) isBoundIn(e notation.Expr) bool {
	return slices.ContainsFunc(p.ranges, func(r boundRange) bool { return isFree(e, r.ident) })
}

func rational(at notation.Node, r *big.Rat) notation.Expr { return makerAt(at).rational(r) }

func (p *prover) signIn(v view, e notation.Expr) algebra.Sign {
	var found algebra.Sign
	for _, c := range v {
		names := func(ident string) algebra.Sign {
			if s, ok := c.signs[ident]; ok {
				return s
			}
			if s, ok := p.far[ident]; ok {
				return s
			}
			if s, ok := p.plain.signs[ident]; ok {
				return s // not written in other terms
			}
			if len(ident) > 0 && slices.ContainsFunc(p.ranges, func(r boundRange) bool { return ident == shareOf(r.ident) }) {
				return algebra.NonNegative
			}
			return algebra.AnySign
		}
		// The bound names below or at their upper ends, one case for each choice.
		for mask := range 1 << len(p.ranges) {
			if found |= algebra.SignOf(c.write(p.inGivens(p.placed(e, mask))), names); found == algebra.AnySign {
				return found
			}
		}
	}
	return found
}

// inGivens puts the values of defined names in, which are in terms of given ones.
func (p *prover) inGivens(e notation.Expr) notation.Expr {
	for _, n := range notation.FreeNames(e) {
		if by, ok := p.values[n.Ident]; ok {
			e = put(e, n.Ident, by)
		}
	}
	return e
}

func shareOf(ident string) string { return "′share " + ident }

// placed writes the bound names: the i-th is at its upper end if bit i is set,
// otherwise below it.
func (p *prover) placed(e notation.Expr, mask int) notation.Expr {
	for i := len(p.ranges) - 1; i >= 0; i-- {
		r := p.ranges[i]
		if !isFree(e, r.ident) {
			continue
		}
		m := makerAt(r.from)
		by := within(m, r.from, r.to, m.name(shareOf(r.ident)))
		if mask>>i&1 == 1 {
			by = r.to
		}
		e = put(e, r.ident, by)
	}
	return e
}

// write puts the numbers of known sign in for the names.
func (c parametrisation) write(e notation.Expr) notation.Expr {
	for _, n := range notation.FreeNames(e) {
		if by, ok := c.values[n.Ident]; ok {
			e = put(e, n.Ident, by)
		}
	}
	return e
}

// isNonZero reports whether e is certainly not 0 where it has a value.
func (p *prover) isNonZero(e notation.Expr) bool {
	if p.hasNonZeroParts(e) || p.sign(e).Within(algebra.NonZero) || p.signBounded(e).Within(algebra.NonZero) {
		return true
	}
	for _, known := range p.nonZero {
		if p.isBoundIn(known) {
			continue
		}
		if c, ok := algebra.Quotient(e, known, nil); ok && c.Sign() != 0 {
			return true
		}
	}
	return false
}

// hasNonZeroParts decides products, quotients and powers by their factors.
func (p *prover) hasNonZeroParts(e notation.Expr) bool {
	switch e := notation.Unparen(e).(type) {
	case *notation.Unary:
		return p.isNonZero(e.X)
	case *notation.Root:
		return p.isNonZero(e.X)
	case *notation.Abs:
		return p.isNonZero(e.X)
	case *notation.Binary:
		switch e.Op {
		case notation.OpMul:
			return p.isNonZero(e.X) && p.isNonZero(e.Y)
		case notation.OpDiv, notation.OpPow:
			return p.isNonZero(e.X)
		}
	}
	return false
}

// assume notes what must hold wherever the line above has a value: its divisors
// outside forms that bind a name are not 0.
func (p *prover) assume(e notation.Expr) {
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Bind, *notation.If:
			return false
		case *notation.Binary:
			if n.Op == notation.OpDiv {
				p.assumeNonZero(n.Y)
			}
			if r, ok := exponentOf(n); n.Op == notation.OpPow && ok && r < 0 {
				p.assumeNonZero(n.X)
			}
		}
		return true
	})
}

func (p *prover) assumeNonZero(e notation.Expr) {
	p.nonZero = append(p.nonZero, e)
	switch e := notation.Unparen(e).(type) {
	case *notation.Binary:
		switch e.Op {
		case notation.OpMul:
			p.assumeNonZero(e.X)
			p.assumeNonZero(e.Y)
		case notation.OpDiv, notation.OpPow:
			p.assumeNonZero(e.X)
		}
	case *notation.Unary:
		p.assumeNonZero(e.X)
	}
}

// in calls f with a bound name running over a closed range.
func (p *prover) in(ident string, from, to notation.Expr, f func() bool) bool {
	p.ranges = append(p.ranges, boundRange{ident, from, to})
	defer func() { p.ranges = p.ranges[:len(p.ranges)-1] }()
	return f()
}

// isGiven reports whether a name is one of the givens, which a form may bind again.
func (p *prover) isGiven(ident string) bool {
	_, given := p.plain.signs[ident]
	return given
}

// towards calls f with the name of a limit as large as it becomes: it has the sign
// of the end that it tends to.
func (p *prover) towards(b *notation.Bind, f func()) {
	end, ok := b.From.(*notation.Infinity)
	if _, twice := p.far[b.Var.Ident]; !ok || twice {
		f()
		return
	}
	if p.far == nil {
		p.far = map[string]algebra.Sign{}
	}
	p.far[b.Var.Ident] = algebra.Positive
	if end.Sign < 0 {
		p.far[b.Var.Ident] = algebra.Negative
	}
	defer delete(p.far, b.Var.Ident)
	f()
}
