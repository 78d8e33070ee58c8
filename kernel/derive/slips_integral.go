package derive

import (
	"fmt"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
)

// integralSlips integrates wrongly. An integral that is still there was not taken at
// one place.
func (j *judge) integralSlips(list []mistaken, e, claim notation.Expr) []mistaken {
	for _, b := range binds(e, notation.Integral) {
		full, err := j.scope.full(b)
		if err != nil || b.To == nil {
			continue
		}
		i := full.(*notation.Bind)
		m := makerAt(b)
		for _, s := range []struct {
			how   method
			words string
			slip  Slip
		}{
			{noSlope, "the chain-rule factor 1/%s is missing", ChainRule},
			{noExponent, "after integrating, divide by the new exponent", WrongPower},
			{noExponentSize, "after integrating, divide by the new exponent", WrongPower},
			{sameExponent, "the exponent must rise by 1 in integrating", WrongPower},
			{lowered, "the exponent must rise by 1 in integrating; here it fell", WrongPower},
			{upperOnly, "the antiderivative was taken at the upper limit only; its value at the lower limit must be subtracted", LostLimit},
			{lowerOnly, "the antiderivative was taken at the lower limit only", LostLimit},
			{lowerOnlyNegative, "the antiderivative was taken at the lower limit only", LostLimit},
		} {
			if value, ok := integral(nil, i, i.Body, 4, s.how); ok {
				words := s.words
				if s.how == noSlope {
					words = fmt.Sprintf(words, bracketed(slopeText(j.scope.apply(b.Body), b.Var.Ident)))
				}
				list = append(list, slipOf(replace(e, b, m.paren(value)), words, s.slip))
			}
		}
		if len(binds(claim, notation.Integral)) < len(binds(e, notation.Integral)) && !isZero(claim) {
			list = onePlaceSlips(list, e, b)
		}
		list = j.limitSlips(list, e, b, i)
	}
	return list
}

// onePlaceSlips takes an integrand at one place, or averages its two ends.
func onePlaceSlips(list []mistaken, e notation.Expr, b *notation.Bind) []mistaken {
	m := makerAt(b)
	run := m.paren(m.sub(m.paren(b.To), m.paren(b.From)))
	at := func(place notation.Expr) notation.Expr { return m.paren(put(b.Body, b.Var.Ident, place)) }
	first, last := at(b.From), at(b.To)
	two, one := m.number(2), m.number(1)
	softness := m.paren(m.add(m.div(one, first), m.div(one, last)))
	for _, s := range []struct {
		mean  notation.Expr
		words string
		slip  Slip
	}{
		{at(m.div(m.paren(m.add(m.paren(b.From), m.paren(b.To))), two)), "the integrand was taken at mid-length for the whole range", MeanValue},
		{first, "the integrand was taken at the lower limit for the whole range", OneEnd},
		{last, "the integrand was taken at the upper limit for the whole range", OneEnd},
		{m.div(two, softness), "the stiffnesses at the two ends were averaged; the twist of a taper is not that of the mean stiffness", MeanStiffness},
		{m.div(m.paren(m.add(first, last)), two), "the values at the two ends were averaged; that takes the integrand for a straight line", MeanTwist},
	} {
		list = append(list, slipOf(replace(e, b, m.paren(m.mul(m.paren(s.mean), run))), s.words, s.slip))
	}
	return list
}

// limitSlips gives an integral other limits. full is b in terms of given names.
func (j *judge) limitSlips(list []mistaken, e notation.Expr, b, full *notation.Bind) []mistaken {
	m := makerAt(b)
	within := func(from, to notation.Expr) notation.Expr {
		c := *b
		c.From, c.To = from, to
		if value, ok := polynomial(&notation.Bind{Kind: b.Kind, Var: b.Var, From: from, To: to}, full.Body); ok {
			return replace(e, b, m.paren(value))
		}
		return replace(e, b, &c)
	}
	list = append(list, slipOf(within(b.To, b.From), "the limits of the integral were swapped, which reverses the sign", SwappedLimits))
	zero := func(e notation.Expr) notation.Expr { return m.mul(m.number(0), m.paren(e)) }
	if !isZero(b.From) {
		list = append(list,
			slipOf(within(zero(b.To), b.To), "the lower limit "+notation.Print(b.From)+" was lost: the integral was begun at 0", LostLimit),
			slipOf(within(zero(b.From), b.From), fmt.Sprintf("the integral was taken from the wrong end: from 0 to %s, not from %[1]s to %s", notation.Print(b.From), notation.Print(b.To)), WrongEnd))
	}
	over, _ := j.scope.typeOf(b.To)
	for _, ident := range j.scope.order {
		symbol := j.scope.symbols[ident]
		if symbol.Kind != check.Value || symbol.Type.Dim != over.Dim || ident == b.Var.Ident || ident == j.defining || isFree(b.To, ident) || isFree(b.From, ident) {
			continue
		}
		list = append(list,
			slipOf(within(b.To, m.name(ident)), fmt.Sprintf("the integral was taken from the wrong end: from %s to %s, not from %s to %[1]s", notation.Print(b.To), ident, notation.Print(b.From)), WrongEnd),
			slipOf(within(b.From, m.name(ident)), fmt.Sprintf("the integral ends at %s, not at %s", notation.Print(b.To), ident), WrongEnd))
	}
	return list
}

func isZero(e notation.Expr) bool {
	zero, decided := algebra.EqualExactly(e, makerAt(e).mul(makerAt(e).number(0), makerAt(e).paren(e)), nil)
	return zero && decided
}

// slopeText names the slope of the first inner function that has one.
func slopeText(f notation.Expr, x string) string {
	for _, p := range linearParts(f, x) {
		q, err := algebra.Derivative(p, x, nil)
		if err == nil && !isFree(q, x) && len(notation.FreeNames(q)) > 0 {
			return notation.Print(q)
		}
	}
	return "k"
}

// endSlips takes a function of the derivation at the other end of a range, or
// measures a length from the other end.
func (j *judge) endSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, c := range find(e, func(c *notation.Call) bool { return len(c.Args) == 1 }) {
		if f := j.scope.symbols[c.Fun.Ident]; f == nil || f.Kind != check.Function {
			continue
		}
		for _, end := range append(j.ends(), makerAt(c).mul(makerAt(c).number(0), makerAt(c).paren(c.Args[0]))) {
			if notation.Print(end) == notation.Print(c.Args[0]) {
				continue
			}
			at := notation.Print(end)
			if isZero(end) {
				at = "0"
			}
			words := fmt.Sprintf("%s was taken at %s, where it belongs at %s", c.Fun.Ident, at, notation.Print(c.Args[0]))
			list = append(list, slipOf(replace(e, c, makerAt(c).call(c.Fun.Ident, end)), words, WrongEnd))
		}
	}
	for _, b := range find(e, func(b *notation.Binary) bool { return b.Op == notation.OpSub && !isRise(b) }) {
		x, ok1 := notation.Unparen(b.X).(*notation.Name)
		y, ok2 := notation.Unparen(b.Y).(*notation.Name)
		if !ok1 || !ok2 || isAcross(x.Ident) || isAcross(y.Ident) {
			continue
		}
		if s := j.scope.symbols[x.Ident]; s == nil || s.Func != nil || s.Type.Dim != lengthDimension {
			continue
		}
		words := fmt.Sprintf("it was measured from the wrong end: %s stands where %s belongs", y.Ident, notation.Print(b))
		list = append(list, slipOf(replace(e, b, makerAt(b).name(y.Ident)), words, WrongEnd))
	}
	return list
}

// maxPlaces bounds the places that count as ends of the shaft.
const maxPlaces = 6

// ends lists the given lengths along the shaft, and the places at which the
// derivation takes functions or limits.
func (j *judge) ends() []notation.Expr {
	var list []notation.Expr
	seen := map[string]bool{}
	add := func(e notation.Expr) {
		if t, errs := j.scope.typeOf(e); len(errs) > 0 || !t.IsQuantity() || len(list) == maxPlaces || seen[notation.Print(e)] {
			return
		}
		seen[notation.Print(e)] = true
		list = append(list, e)
	}
	for _, v := range j.scope.vars {
		if v.dim == lengthDimension && !isAcross(v.name.Ident) {
			add(v.name)
		}
	}
	for _, line := range j.cell.Lines {
		e := expressionOf(line)
		if e == nil {
			continue
		}
		for _, b := range binds(e, notation.Integral) {
			if b.To != nil {
				add(b.From)
				add(b.To)
			}
		}
		for _, c := range find(e, func(c *notation.Call) bool { return j.scope.functions[c.Fun.Ident].body != nil }) {
			for _, arg := range c.Args {
				add(arg)
			}
		}
	}
	return list
}

// sumSlips takes a term too few or too many.
func sumSlips(list []mistaken, e notation.Expr) []mistaken {
	for _, b := range binds(e, notation.Sum) {
		m := makerAt(b)
		for _, s := range []struct {
			from, to int
			words    string
		}{
			{0, -1, "the sum ends one term too early"},
			{0, 1, "the sum goes on one term too far"},
			{1, 0, "the sum begins one term too late"},
			{-1, 0, "the sum begins one term too early"},
		} {
			c := *b
			c.From = m.paren(m.add(m.paren(b.From), m.number(s.from)))
			c.To = m.paren(m.add(m.paren(b.To), m.number(s.to)))
			list = append(list, slipOf(replace(e, b, &c), s.words, DroppedTerm))
		}
	}
	return list
}

// changeSlips takes a bracket with limits at one limit, or with the limits
// swapped. typed is the line before its brackets were written out.
func (j *judge) changeSlips(typed notation.Expr) []mistaken {
	if typed == nil {
		return nil
	}
	var list []mistaken
	for _, b := range binds(typed, notation.Change) {
		m := makerAt(b)
		at := func(end, other notation.Expr) notation.Expr {
			body := b.Body
			for _, n := range notation.FreeNames(body) {
				if value, defined := j.scope.values[n.Ident]; defined && n.Ident != b.Var.Ident && isFree(value, b.Var.Ident) {
					body = put(body, n.Ident, value)
				}
			}
			return m.paren(put(body, b.Var.Ident, j.scope.sameKind(end, other)))
		}
		upper, lower := at(b.To, b.From), at(b.From, b.To)
		for _, s := range []struct {
			value notation.Expr
			words string
			slip  Slip
		}{
			{upper, "the lower limit was lost: the value at " + notation.Print(b.From) + " must be subtracted", LostLimit},
			{lower, "the upper limit was lost: only the value at " + notation.Print(b.From) + " is left", LostLimit},
			{m.neg(lower), "the upper limit was lost: only the value at " + notation.Print(b.From) + " is left", LostLimit},
			{m.sub(lower, upper), "the limits were swapped, which reverses the sign", SwappedLimits},
			{m.add(upper, lower), "the value at the lower limit was added; it must be subtracted", WrongSign},
		} {
			list = append(list, slipOf(j.scope.expand(replace(typed, b, m.paren(s.value))), s.words, s.slip))
		}
	}
	return list
}
