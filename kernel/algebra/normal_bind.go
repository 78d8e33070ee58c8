package algebra

import (
	"math/big"
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
	n.level++
	defer func() { n.level-- }()
	variable := builder{e.Var.Span()}.name("bound " + strconv.Itoa(n.level))
	body, ok := n.normal(Substitute(e.Body, e.Var.Ident, variable), depth-1)
	if !ok {
		return Ratio{}, false
	}
	limits := " from " + from.String() + " to " + to.String()
	if e.Kind != notation.Integral && e.Kind != notation.Sum {
		return n.polynomial(atomPoly(n.atom(e.Kind.String()+" "+body.String()+limits, e))), true
	}
	if e.Kind == notation.Integral && from.String() == to.String() {
		return n.polynomial(poly{}), true
	}
	return n.linear(e, body, variable.Ident, limits)
}

// linear takes the constants out of every term of the integrand or summand.
func (n *normaliser) linear(e *notation.Bind, body Ratio, variable, limits string) (Ratio, bool) {
	denominator := body.den.content()
	outside, _ := n.separate(denominator, variable)
	inside := body.den.divide(outside)
	result := n.polynomial(poly{})
	for _, key := range body.num.keys() {
		constants, rest := n.separate(body.num[key], variable)
		term, ok1 := n.reduced(poly{keyOf(rest.factors): rest}, inside)
		factor, ok2 := n.reduced(poly{keyOf(constants.factors): constants}, poly{keyOf(outside.factors): outside})
		if !ok1 || !ok2 {
			return Ratio{}, false
		}
		// reduced scales the denominator to a first coefficient of 1 and puts
		// the scale on top, where it is a constant too.
		if c := term.num.content(); len(term.num) == 1 {
			factor.num = factor.num.scale(c.coefficient)
			term.num = term.num.scale(new(big.Rat).Inv(c.coefficient))
		}
		atom := n.atom(e.Kind.String()+" "+term.String()+limits, e)
		part, ok1 := n.mul(factor, n.polynomial(atomPoly(atom)))
		result, ok2 = n.add(result, part)
		if !ok1 || !ok2 {
			return Ratio{}, false
		}
	}
	return result, true
}

// separate splits a term into what does not depend on a name, coefficient
// included, and what does.
func (n *normaliser) separate(m monomial, name string) (free, bound monomial) {
	free, bound = monomial{coefficient: m.coefficient}, monomial{coefficient: big.NewRat(1, 1)}
	for _, f := range m.factors {
		if f.atom == name || n.opaque[f.atom][name] {
			bound.factors = append(bound.factors, f)
		} else {
			free.factors = append(free.factors, f)
		}
	}
	return free, bound
}
