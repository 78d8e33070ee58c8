package check

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// form infers a form that binds a name: sum, integral, derivative and so on.
func (c *Checker) form(e *notation.Bind) Type {
	switch e.Kind {
	case notation.Sum, notation.Product:
		return c.counting(e)
	case notation.Limit:
		c.list.Addf(e.Span(), CodeLimitForm, "a limit can be used only in a derivation; a cell works with numbers").
			Repair = "put in a value close to the limit and watch the answer settle"
		return invalid
	case notation.Derivative:
		at := c.quantity(e.From)
		if !c.plainNumber(e.From, at, "the place of a derivative") {
			return invalid
		}
		body := c.within(e, Type{Kind: Number, Dim: at.Dim, Unit: at.Unit, Angle: at.Angle})
		return c.quotient(e, body, at)
	}
	over := c.limits(e)
	body := c.within(e, over)
	if over.Kind == Invalid || body.Kind == Invalid {
		return invalid
	}
	switch e.Kind {
	case notation.Integral:
		d, ok := body.Dim.Mul(over.Dim)
		if !ok {
			return c.power(e, over, unit.Rational{})
		}
		t := Type{Kind: body.Kind, Dim: d}
		t.Angle, t.Unit = scaled(body, over)
		return t
	case notation.FindRoot:
		over.Kind = body.Kind
		return over
	}
	return body // largest, smallest
}

func (c *Checker) quotient(e *notation.Bind, body, at Type) Type {
	if body.Kind == Invalid {
		return invalid
	}
	d, ok := body.Dim.Div(at.Dim)
	if !ok {
		return invalid
	}
	return Type{Kind: body.Kind, Dim: d}
}

// counting infers a sum or a product over whole numbers.
func (c *Checker) counting(e *notation.Bind) Type {
	from := c.countable(e.From, "the first value of "+e.Var.Ident)
	last := "the last value of " + e.Var.Ident
	if _, ok := notation.IsFactorial(e); ok {
		last = "the number before “!”"
	}
	to := c.countable(e.To, last)
	body := c.within(e, Type{Kind: Number, Angle: NotAngle})
	if from.Kind == Invalid || to.Kind == Invalid || body.Kind == Invalid {
		return invalid
	}
	if e.Kind == notation.Product && !body.Dim.IsNumber() {
		c.clash(body.Dim, unit.Dimension{})
		c.list.Addf(e.Body.Span(), CodeDimension, "the factors of a product must be pure numbers, not %s", c.describe(e.Body, body)).
			Repair = "divide each factor by a reference value, or write the unit's power outside"
		return invalid
	}
	body.Zero = false
	return body
}

// limits infers the range of a form over a continuous name.
func (c *Checker) limits(e *notation.Bind) Type {
	finite := func(bound notation.Expr) bool { _, ok := notation.Unparen(bound).(*notation.Infinity); return !ok }
	switch {
	case !finite(e.From) && !finite(e.To):
		return Type{Kind: Number}
	case !finite(e.From):
		return c.ends(e.To, e.To, "a limit", "a limit", "cannot go from %s to %s")
	case !finite(e.To):
		return c.ends(e.From, e.From, "a limit", "a limit", "cannot go from %s to %s")
	}
	return c.ends(e.From, e.To, "a limit", "a limit", "cannot go from %s to %s")
}

// ends infers a range from one value to another of the same dimension, either
// of which may be a bare 0.
func (c *Checker) ends(from, to notation.Expr, first, last, sentence string) Type {
	a, b := c.quantity(from), c.quantity(to)
	if !c.plainNumber(from, a, first) || !c.plainNumber(to, b, last) {
		return invalid
	}
	if !same(a, b, true) {
		c.mismatch(from.Span().To(to.Span()), sentence, from, a, to, b)
		return invalid
	}
	if q, ok := notation.Unparen(from).(*notation.Quantity); ok && q.Number.Value == 0 {
		a.Unit = b.Unit // "0 m" says nothing about the unit that suits the rest
	}
	t := merged(a, b)
	t.Zero = false
	return t
}

func (c *Checker) plainNumber(e notation.Expr, t Type, what string) bool {
	if t.Kind == Bracket {
		c.list.Addf(e.Span(), CodeKind, "%s must be one value, not a bracket", what).
			Repair = "take mid(…), low(…) or high(…) of it"
		return false
	}
	return t.Kind == Number
}

// within infers the body of a form with its name bound.
func (c *Checker) within(e *notation.Bind, bound Type) Type {
	c.bind(e.Var.Ident, bound)
	t := c.quantity(e.Body)
	c.unbind()
	return t
}
