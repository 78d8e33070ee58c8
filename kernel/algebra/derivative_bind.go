package algebra

import "shaftbook/kernel/notation"

// bind differentiates the forms that bind a name.
func (d differentiator) bind(b builder, e *notation.Bind) (notation.Expr, error) {
	// The bound name must be neither the one of the derivative nor one that the
	// body of a function means when it is put in under it.
	taken := map[string]bool{d.name: true}
	d.funcs.collect(e.Body, taken, map[string]bool{})
	if taken[e.Var.Ident] {
		for _, n := range notation.FreeNames(e.Body) {
			taken[n.Ident] = true
		}
		renamed := *e
		renamed.Var = b.name(freshName(e.Var.Ident, taken))
		renamed.Body = Substitute(e.Body, e.Var.Ident, renamed.Var)
		e = &renamed
	}
	switch e.Kind {
	case notation.Integral:
		return d.integral(b, e)
	case notation.Sum, notation.Product:
		return d.series(b, e)
	case notation.Derivative:
		inner := d
		inner.name = e.Var.Ident
		slope, err := inner.differentiate(e.Body)
		if err != nil {
			return nil, err
		}
		if err := d.look(e, slope); err != nil {
			return nil, err
		}
		return d.differentiate(Substitute(slope, e.Var.Ident, e.From))
	case notation.FindRoot:
		byParameter, err := d.differentiate(e.Body)
		if err != nil {
			return nil, err
		}
		inner := d
		inner.name = e.Var.Ident
		byUnknown, err := inner.differentiate(e.Body)
		if err != nil {
			return nil, err
		}
		if err := d.look(e, byParameter, byUnknown); err != nil {
			return nil, err
		}
		return b.neg(b.div(Substitute(byParameter, e.Var.Ident, e), Substitute(byUnknown, e.Var.Ident, e))), nil
	}
	return nil, &NoRuleError{e.Span(), "“" + e.Kind.String() + " of”"}
}

func (d differentiator) integral(b builder, e *notation.Bind) (notation.Expr, error) {
	body, err := d.differentiate(e.Body)
	if err != nil {
		return nil, err
	}
	from, to, err := d.pair(e.From, e.To)
	if err != nil {
		return nil, err
	}
	result := b.bind(e, notation.Integral, body)
	result = b.add(result, b.mul(Substitute(e.Body, e.Var.Ident, e.To), to))
	return b.sub(result, b.mul(Substitute(e.Body, e.Var.Ident, e.From), from)), nil
}

func (d differentiator) series(b builder, e *notation.Bind) (notation.Expr, error) {
	for _, limit := range []notation.Expr{e.From, e.To} {
		depends, err := d.depends(limit)
		if err != nil {
			return nil, err
		}
		if depends {
			return nil, &NoRuleError{limit.Span(), "a " + e.Kind.String() + " whose number of terms changes"}
		}
	}
	term, err := d.differentiate(e.Body)
	if err != nil {
		return nil, err
	}
	if e.Kind == notation.Sum {
		return b.bind(e, notation.Sum, term), nil
	}
	return b.mul(e, b.bind(e, notation.Sum, b.div(term, e.Body))), nil
}
