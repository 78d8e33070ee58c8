package derive

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A small name is what "for small k" or "for k ≪ d" lets tend to 0.
type small struct {
	ident string
	to    notation.Expr // what it is small against
	of    string        // the given name that it takes the place of, "" for a given k
	value notation.Expr // that name in terms of k
	is    notation.Expr // what k is in terms of the given names, with of
}

// An approximation is a step with ≈ for a small name, both sides in terms of it.
type approximation struct {
	small
	above, claim notation.Expr
	kept         int  // the highest order that the claim keeps
	asSum        bool // the claim is a sum of powers of k: each of its terms counts
	first        int  // the order with which the claim begins
	missing      int  // the order of what is left out
}

// forSmall judges "≈ b for small k". The claim is that what it leaves out, the line
// above less b, is of a higher order in k than all that b keeps: than each power of k
// in a sum of powers, and than the first in any other form. That is proved by exact
// expansions in k, and refuted by them; without one it is tried at small values.
func (j *judge) forSmall(v *Verdict, a, b *statement, step *notation.DeriveStep) {
	k, why := j.smallName(step)
	if why != "" {
		v.Kind, v.Why = Open, why
		return
	}
	p := newProver(j.scope)
	p.assume(a.full)
	x := &approximation{small: k}
	x.above, x.claim = x.written(p, a.full), x.written(p, b.full)
	switch {
	case !isFree(x.above, k.ident) && !isFree(x.claim, k.ident):
		v.Kind, v.Why = Open, "neither line depends on "+step.Small.Ident+", so nothing can be said for small "+step.Small.Ident
		return
	}
	sides, any := j.smallSides(p, x)
	if small := j.scope.variable(step.Small.Ident); !any || small != nil && small.whole {
		v.Kind, v.Why = Open, "the givens allow no small "+step.Small.Ident
		return
	}
	j.onSides(v, p, x, a, step.Small.Ident, sides)
}

// onSides judges for small values of each sign that the name may have.
func (j *judge) onSides(v *Verdict, p *prover, x *approximation, a *statement, name string, sides []smallSide) {
	var first, wrong *Verdict
	var unproved *doubt
	expanded, wrongSign := true, 0.0
	for _, side := range sides {
		w := *v
		ok, d := j.byExpansion(&w, p, x, a, name, side.sign)
		switch {
		case ok && w.Kind == Fails && side.allowed:
			if wrong == nil {
				wrong, wrongSign = &w, side.sign
			}
		case ok && w.Kind == Follows:
			if first == nil {
				first = &w
			}
		case d != nil:
			unproved = d
		default:
			expanded = false
		}
	}
	switch {
	case wrong != nil:
		*v = *wrong
		if first != nil {
			v.oneSided(x, name, wrongSign)
		}
		return
	case expanded && unproved == nil:
		*v = *first
		return
	}
	j.atSmallValues(v, x, expanded, name, sides)
	if v.Kind == Agrees && unproved != nil {
		v.Why += "; for a proof the givens must say that " + unproved.words()
	}
}

// written returns a line in terms of the small name, with integrals in closed form.
func (k *small) written(p *prover, e notation.Expr) notation.Expr {
	e = p.limits(p.closed(p.resolve(e)))
	if k.of != "" {
		e = put(e, k.of, k.value)
	}
	return e
}

// smallName finds what the name after for small stands for. A defined name takes the
// place of one of the given names that define it: with ε = (d_1 − d_0)/d_0, d_1 is
// d_0 + ε·d_0. What is of which order in ε does not depend on the choice.
func (j *judge) smallName(step *notation.DeriveStep) (k small, why string) {
	ident := step.Small.Ident
	symbol, known := j.scope.symbols[ident]
	if !known {
		return k, "nothing says what " + ident + " is"
	}
	m := makerAt(step.Small)
	k = small{ident: ident, to: m.number(1)}
	if step.SmallTo != nil {
		s, ok := j.quietly(step.SmallTo)
		switch {
		case !ok:
			return k, "what " + ident + " is small against has no meaning here"
		case s.typ.Dim != symbol.Type.Dim:
			return k, fmt.Sprintf("%s is %s and %s is %s, so neither can be small against the other", ident,
				unit.Describe(symbol.Type.Dim), notation.Print(step.SmallTo), unit.Describe(s.typ.Dim))
		case isFree(s.full, ident):
			return k, ident + " cannot be small against itself"
		}
		k.to = s.full
	} else if !symbol.Type.Dim.IsNumber() {
		return k, fmt.Sprintf("%s is %s, and small only against another: write for %s ≪ d, with what it is small against",
			ident, unit.Describe(symbol.Type.Dim), ident)
	}
	if j.scope.variable(ident) != nil {
		return k, ""
	}
	value := j.scope.values[ident]
	if value == nil {
		return k, ident + " has no value that could be small"
	}
	k.ident = "′" + ident
	p := newProver(j.scope)
	for _, n := range notation.FreeNames(value) {
		if j.scope.variable(n.Ident) == nil || isFree(k.to, n.Ident) {
			continue
		}
		if x, ok := p.solved(m.sub(m.paren(value), m.name(k.ident)), n.Ident); ok {
			k.of, k.value, k.is = n.Ident, x, value
			return k, ""
		}
	}
	return k, ident + " is defined by other names, and none of them could be written in terms of " + ident
}

// solved returns the name for which an expression that is linear in it is 0, if its
// coefficient is proved not to be 0.
func (p *prover) solved(e notation.Expr, ident string) (notation.Expr, bool) {
	m := makerAt(e)
	slope, err := algebra.Derivative(e, ident, nil)
	if err != nil || isPiecewise(e) {
		return nil, false
	}
	rest := put(e, ident, m.number(0))
	if isFree(slope, ident) {
		steady, decided := algebra.EqualExactly(slope, put(slope, ident, m.number(0)), nil)
		if !steady || !decided {
			return p.solvedQuotient(e, ident)
		}
		slope = put(slope, ident, m.number(0))
	}
	if !p.isNonZero(slope) {
		return p.solvedQuotient(e, ident)
	}
	return m.paren(m.neg(m.div(m.paren(rest), m.paren(slope)))), true
}

// solvedQuotient solves e = 0 where e, written as one fraction, is linear above the bar.
func (p *prover) solvedQuotient(e notation.Expr, ident string) (notation.Expr, bool) {
	num, _, ok := algebra.Fraction(e)
	if !ok || !isPolynomial(num, ident) {
		return nil, false
	}
	m := makerAt(e)
	slope, err := algebra.Derivative(num, ident, nil)
	if err != nil {
		return nil, false
	}
	zero := m.number(0)
	steady, decided := algebra.EqualExactly(slope, put(slope, ident, zero), nil)
	slope = put(slope, ident, zero)
	if !steady || !decided || !p.isNonZero(slope) {
		return nil, false
	}
	return m.paren(m.neg(m.div(m.paren(put(num, ident, zero)), m.paren(slope)))), true
}

// byExpansion judges by exact expansions for small values of one sign. It reports whether
// it could tell, or what it could not prove.
func (j *judge) byExpansion(v *Verdict, p *prover, x *approximation, a *statement, name string, sign float64) (bool, *doubt) {
	m := makerAt(x.claim)
	above, ok1 := x.expand(p, x.above, sign)
	claim, ok2 := x.expand(p, x.claim, sign)
	rest, ok3 := x.expand(p, m.sub(m.paren(x.above), m.paren(x.claim)), sign)
	if !ok1 || !ok2 || !ok3 {
		return false, nil
	}
	unproved := firstDoubt(p.unmet(above.Needs), p.unmet(claim.Needs), p.unmet(rest.Needs))
	if len(claim.Terms) == 0 {
		if len(above.Terms) == 0 || !claim.Exact {
			return false, nil
		}
		v.Kind, v.Exact = Fails, unproved == nil && above.Sure
		v.Why = "this line keeps nothing, and the line above begins with the power " + power(name, above.Order)
		j.showSmall(v, x, a, sign, above.Terms[0])
		return true, nil
	}
	x.first, x.kept, x.missing = claim.Order, claim.Order, rest.Order
	if _, high, ok := writtenOrders(x.claim, x.ident); ok {
		x.asSum, x.kept = true, high
	}
	switch {
	case len(rest.Terms) == 0 && rest.Exact:
		if unproved != nil {
			return false, nil
		}
		v.Kind, v.Exact, v.Why = Follows, true, "the two lines are equal for every "+name+", by exact algebra"
		return true, nil
	case rest.Order > x.kept:
		// Without a second term, that there is a first one is the whole claim.
		if d := p.unmet([]algebra.Need{{X: claim.Terms[0], Sign: algebra.NonZero}}); unproved == nil && (!x.asSum || x.kept == x.first) {
			unproved = d
		}
		if unproved == nil && len(above.Terms) > 0 {
			v.Kind, v.Exact, v.Why = Follows, true, x.keptWords(name)
			v.Why += j.errorWords(x, above, rest, name, sign)
			return true, nil
		}
		return false, unproved
	}
	if len(rest.Terms) == 0 || !rest.Sure && !j.isSeenNonZero(rest.Terms[0]) {
		return false, nil
	}
	v.Kind, v.Exact = Fails, unproved == nil
	v.Slip = DroppedTerm
	v.Why = x.dropped(above, claim, rest, name)
	j.showSmall(v, x, a, sign, rest.Terms[0])
	return true, nil
}

// unmet returns what an expansion needs and the givens do not promise.
func (p *prover) unmet(needs []algebra.Need) *doubt {
	for _, need := range needs {
		if d := p.defined(need.X); d != nil {
			return d
		}
		switch {
		case p.sign(need.X).Within(need.Sign), need.Sign == algebra.NonZero && p.isNonZero(need.X):
		case need.Sign == algebra.NonZero:
			return &doubt{notation.Unparen(need.X), "is not 0"}
		default:
			return &doubt{notation.Unparen(need.X), "is positive"}
		}
	}
	return nil
}

func (x *approximation) keptWords(name string) string {
	if x.asSum && x.kept > x.first {
		return fmt.Sprintf("it keeps all terms up to %s; what is left out is of the order %s", power(name, x.kept), power(name, x.missing))
	}
	return fmt.Sprintf("the quotient of the two lines tends to 1; what is left out is of the order %s", power(name, x.missing))
}

// dropped says why what is left out is not small beside what is kept.
func (x *approximation) dropped(above, claim, rest algebra.Expansion, name string) string {
	first := smallTerm(rest.Terms[0], name, rest.Order)
	switch {
	case rest.Order < claim.Order:
		return fmt.Sprintf("what is left out begins with %s, which is larger than anything that is kept", first)
	case !x.asSum && rest.Order == above.Order && rest.Order == claim.Order:
		return fmt.Sprintf("the line above begins with %s, and this line with %s", smallTerm(above.Terms[0], name, above.Order), smallTerm(claim.Terms[0], name, claim.Order))
	case rest.Order == x.kept:
		return fmt.Sprintf("what is left out begins with %s, which is of the same order as what is kept", first)
	}
	return fmt.Sprintf("what is left out begins with %s, and a term in %s, which is smaller, is kept", first, power(name, x.kept))
}

// power writes k², "1" for the order 0.
func power(name string, order int) string {
	switch order {
	case 0:
		return name + "⁰"
	case 1:
		return name
	}
	return fmt.Sprintf("%s^%d", name, order)
}

// smallTerm writes a coefficient times a power, with the coefficient as short as it can be
// written.
func smallTerm(c notation.Expr, name string, order int) string {
	text := ""
	switch r, ok := constantOf(c); {
	case ok:
		text = strings.ReplaceAll(r.RatString(), "-", "−")
	default:
		text = notation.Print(tidied(c))
	}
	if len(text) > 60 {
		text = "a multiple"
		if order == 0 {
			return "a term without " + name
		}
		return text + " of " + power(name, order)
	}
	switch {
	case order == 0:
		return text
	case text == "1":
		return power(name, order)
	case text == "−1":
		return "−" + power(name, order)
	case strings.ContainsAny(text, "+− ") && !strings.HasPrefix(text, "−"):
		text = "(" + text + ")"
	}
	return text + "·" + power(name, order)
}

// writtenOrders returns the least and the highest power of a name in an expression that
// is written as a sum of powers; ok is false for any other form, such as (1 + k)^2.
func writtenOrders(e notation.Expr, ident string) (low, high int, ok bool) {
	if !isFree(e, ident) {
		return 0, 0, true
	}
	switch e := e.(type) {
	case *notation.Name:
		return 1, 1, true
	case *notation.Paren:
		return writtenOrders(e.X, ident)
	case *notation.Unary:
		return writtenOrders(e.X, ident)
	case *notation.Binary:
		a, b, ok1 := writtenOrders(e.X, ident)
		if e.Op == notation.OpPow {
			n, whole := exponentOf(e)
			return a * n, b * n, ok1 && whole && a == b
		}
		c, d, ok2 := writtenOrders(e.Y, ident)
		if !ok1 || !ok2 {
			return 0, 0, false
		}
		switch e.Op {
		case notation.OpAdd, notation.OpSub:
			return min(a, c), max(b, d), true
		case notation.OpMul:
			return a + c, b + d, a == b || c == d
		case notation.OpDiv:
			return a - c, b - c, c == d
		}
	}
	return 0, 0, false
}

// errorWords tells the size of the error beside the value.
func (j *judge) errorWords(x *approximation, above, rest algebra.Expansion, name string, sign float64) string {
	if len(rest.Terms) == 0 {
		return ""
	}
	order := rest.Order - above.Order
	m := makerAt(x.claim)
	shown := name
	if _, isOne := constantOf(x.to); !isOne {
		shown = name + "/" + notation.Print(x.to)
	}
	c, ok := algebra.Quotient(m.mul(m.paren(rest.Terms[0]), m.binary(notation.OpPow, m.paren(x.to), m.number(order))), above.Terms[0], nil)
	if !ok {
		return j.errorAtPoints(x, name, sign)
	}
	size, _ := c.Abs(c).Float64()
	at := func(k float64) string { return percent(float64(size * elementary.Pow(k, float64(order)))) }
	return fmt.Sprintf(": about %s of the value at %s = 0.1 and %s at 0.01", at(0.1), shown, at(0.01))
}

func percent(x float64) string {
	return unit.Format(x, percentUnit, unit.Rounding{Figures: 2})
}

var percentUnit = func() unit.Unit {
	u, _ := unit.Lookup("%")
	return u
}()

// errorAtPoints measures the error at a readable point for two small values.
func (j *judge) errorAtPoints(x *approximation, name string, sign float64) string {
	s := j.points().site(readable, 0)
	if s == nil {
		return ""
	}
	var found []string
	for _, share := range []float64{0.1, 0.01} {
		p, ok := j.atSmall(x, s.point, sign*share)
		if !ok {
			return ""
		}
		a, err1 := j.eval.value(x.above, p)
		b, err2 := j.eval.value(x.claim, p)
		if err1 != nil || err2 != nil || a.Float64() == 0 {
			return ""
		}
		difference, err := bigfloat.Sub(b, a)
		if err != nil {
			return ""
		}
		found = append(found, percent(math.Abs(difference.Float64()/a.Float64())))
	}
	return fmt.Sprintf(": for example %s of the value where %s is a tenth of %s, and %s where it is a hundredth", found[0], name, notation.Print(x.to), found[1])
}

// atSmall returns a point with a small value for the name: a share of what it is small
// against.
func (j *judge) atSmall(x *approximation, at point, share float64) (point, bool) {
	p := point{}
	for ident, value := range at {
		p[ident] = value
	}
	size, err1 := j.eval.value(x.to, p)
	part, err2 := bigfloat.Float(share)
	if firstError(err1, err2) != nil {
		return nil, false
	}
	k, err := bigfloat.Mul(bigfloat.Abs(size), part)
	if err != nil {
		return nil, false
	}
	p[x.ident] = k
	if x.of != "" {
		delete(p, x.of)
		of, err := j.eval.value(x.value, p)
		if err != nil {
			return nil, false
		}
		p[x.of] = of
	}
	return p, true
}

// isSeenNonZero reports whether an expression is certainly not 0 at a point.
func (j *judge) isSeenNonZero(e notation.Expr) bool {
	for i := range minorPoints {
		s := j.points().site(random, i)
		if s == nil {
			return false
		}
		if x, err := j.eval.value(e, s.point); err == nil && !x.Estimated() && math.Abs(x.Float64()) > float64(1000*x.Radius()) {
			return true
		}
	}
	return false
}

// atSmallValues estimates the orders by what happens when the small name is made
// sixteen times smaller, for each sign that it is seen to take. known is whether the
// orders are known from expansions.
func (j *judge) atSmallValues(v *Verdict, x *approximation, known bool, name string, sides []smallSide) {
	if !known {
		x.asSum = false
		if _, high, ok := writtenOrders(x.claim, x.ident); ok {
			x.asSum, x.kept = true, high
		}
	}
	held := 0
	for _, side := range sides {
		if !side.allowed {
			continue
		}
		here, valueless := 0, true
		for i := range 3 * Points {
			s := j.points().site(random, i)
			if s == nil || here == Points+2 {
				break
			}
			j.eval.left = max(j.eval.left, stepNodes/4)
			excess, err := j.excessOrder(x, s.point, side.sign)
			if err != nil {
				valueless = valueless && hasNoValue(err)
				continue
			}
			if excess.above < 0.75 {
				v.Kind, v.Why = Open, fmt.Sprintf("at some small values the error seems to fall only with the power %.1f of %s; an expansion in %[2]s that would settle it was not found", excess.order, name)
				return
			}
			here++
		}
		if here == 0 && valueless {
			continue // the line above has no value on this side of 0
		}
		if here < Points {
			v.Kind, v.Why = Open, "the two lines could not be expanded in "+name+", nor compared at enough small values"
			return
		}
		held += here
	}
	if held == 0 {
		v.Kind, v.Why = Open, "no value of the line above was found for small "+name
		return
	}
	v.Kind, v.Points = Agrees, held
	v.Why = fmt.Sprintf("at all %d points tried, what is left out falls faster than what is kept when %s is made smaller", held, name)
}

// An excess is the order with which an error falls, and how far it lies above the order
// of what is kept.
type excess struct{ order, above float64 }

var errNotSmall = errors.New("no small value there")

// excessOrder measures the order of the error at a point. Its error is that of the line
// above, or errNotSmall.
func (j *judge) excessOrder(x *approximation, at point, sign float64) (excess, error) {
	var rest, kept [2]float64
	for n, share := range []float64{0x1p-10, 0x1p-14} {
		p, ok := j.atSmall(x, at, sign*share)
		if !ok || !j.points().inDomain(p) {
			return excess{}, errNotSmall
		}
		above, err := j.eval.value(x.above, p)
		if err != nil {
			return excess{}, err
		}
		claim, err1 := j.eval.value(x.claim, p)
		if err1 != nil {
			return excess{}, errNotSmall
		}
		difference, err2 := bigfloat.Sub(above, claim)
		if err2 != nil {
			return excess{}, errNotSmall
		}
		rest[n], kept[n] = math.Abs(difference.Float64()), math.Abs(claim.Float64())
		if difference.IsZero() || rest[n] <= float64(100*difference.Radius()) {
			rest[n] = 0
		}
	}
	if kept[1] == 0 {
		return excess{}, errNotSmall
	}
	wanted := float64(x.kept)
	if !x.asSum {
		wanted = elementary.Log10(kept[0]/kept[1]) / elementary.Log10(16)
	}
	if rest[1] == 0 {
		return excess{above: 1}, nil
	}
	order := elementary.Log10(rest[0]/rest[1]) / elementary.Log10(16)
	return excess{order, order - wanted}, nil
}
