package check

import "shaftbook/kernel/notation"

func (c *Checker) compare(e *notation.Compare) Type {
	types := make([]Type, len(e.Xs))
	bad := false
	for i, x := range e.Xs {
		types[i] = c.quantity(x)
		bad = bad || types[i].Kind == Invalid
	}
	if bad {
		return invalid
	}
	for i := 1; i < len(e.Xs); i++ {
		if same(types[i-1], types[i], true) {
			continue
		}
		c.mismatch(e.Span(), "cannot compare %s with %s", e.Xs[i-1], types[i-1], e.Xs[i], types[i])
		return invalid
	}
	return Type{Kind: Truth}
}

func (c *Checker) logic(e *notation.Logic) Type {
	x := c.truth(e.X)
	if e.Op == notation.OpNot {
		return x
	}
	y := c.truth(e.Y)
	if x.Kind == Invalid || y.Kind == Invalid {
		return invalid
	}
	return Type{Kind: Truth}
}

// truth infers e and insists on something that is true or false.
func (c *Checker) truth(e notation.Expr) Type {
	t := c.expr(e)
	if t.IsQuantity() {
		c.list.Addf(e.Span(), CodeKind, "%s is %s, but a comparison is needed here", piece(e), Word(t.Dim)).
			Repair = "compare it with something: " + piece(e) + " > …"
		return invalid
	}
	return t
}

func (c *Checker) conditional(e *notation.If) Type {
	cond := c.truth(e.Cond)
	x, y := c.quantity(e.Then), c.quantity(e.Else)
	if cond.Kind == Invalid || x.Kind == Invalid || y.Kind == Invalid {
		return invalid
	}
	if !same(x, y, true) {
		c.mismatch(e.Span(), "the two branches differ: %s and %s", e.Then, x, e.Else, y)
		return invalid
	}
	return merged(x, y)
}
