package algebra

import (
	"strconv"

	"shaftbook/kernel/notation"
)

// bind handles the forms that bind a name. The bound name is replaced by one
// that no text can hold and that depends only on how deep the form is nested, so
// that its spelling does not matter.
func (n *normaliser) bind(e *notation.Bind, depth int) (Ratio, bool) {
	if e.Kind == notation.Derivative {
		slope, err := Derivative(e.Body, e.Var.Ident, n.funcs)
		if err != nil {
			return Ratio{}, false
		}
		return n.normal(Substitute(slope, e.Var.Ident, e.From), depth-1)
	}
	if e.Kind == notation.Limit || e.To == nil {
		return n.verbatim(e)
	}
	from, ok1 := n.normal(e.From, depth-1)
	to, ok2 := n.normal(e.To, depth-1)
	if !ok1 || !ok2 {
		return Ratio{}, false
	}
	if value, ok := factorialOf(e, to); ok {
		return n.polynomial(constant(value)), true
	}
	n.level++
	defer func() { n.level-- }()
	variable := builder{e.Var.Span()}.name("bound " + strconv.Itoa(n.level))
	body, ok := n.normal(Substitute(e.Body, e.Var.Ident, variable), depth-1)
	if !ok {
		return Ratio{}, false
	}
	limits := " from " + from.String() + " to " + to.String()
	if e.Kind != notation.Integral && e.Kind != notation.Sum {
		atom, ok := n.atom(e.Kind.String()+" "+body.String()+limits, e)
		return n.power1(atom), ok
	}
	if e.Kind == notation.Integral && from.equals(to) {
		return n.polynomial(nil), true
	}
	return n.linear(e, body, variable.Ident, limits)
}

// linear takes the constants out of every term of the integrand or summand.
func (n *normaliser) linear(e *notation.Bind, body Ratio, variable, limits string) (Ratio, bool) {
	outside, _ := n.separate(body.den.content(), variable)
	inside := body.den.without(outside)
	result := n.polynomial(nil)
	for _, m := range body.num {
		free, bound := n.separate(m.powers, variable)
		term, ok1 := n.reduced(poly{{whole(1), bound}}, inside)
		factor, ok2 := n.reduced(poly{{m.coefficient, free}}, poly{{whole(1), outside}})
		if !ok1 || !ok2 {
			return Ratio{}, false
		}
		// reduced scales the denominator to a first coefficient of 1 and puts
		// the scale on top, where it is a constant too.
		if len(term.num) == 1 {
			c := term.num[0].coefficient
			factor.num, term.num = factor.num.scale(c), term.num.scale(c.inverse())
		}
		atom, ok := n.atom(e.Kind.String()+" "+term.String()+limits, e)
		if !ok {
			return Ratio{}, false
		}
		part, ok1 := n.mul(factor, n.power1(atom))
		result, ok2 = n.add(result, part)
		if !ok1 || !ok2 {
			return Ratio{}, false
		}
	}
	return result, true
}

// separate splits a product into what does not depend on a name and what does.
func (n *normaliser) separate(p powers, name string) (free, bound powers) {
	p.each(func(atom, exponent int) bool {
		if n.names[atom] == name || n.opaque[atom][name] {
			bound = bound.times(powerOf(atom, exponent))
		} else {
			free = free.times(powerOf(atom, exponent))
		}
		return true
	})
	return free, bound
}
