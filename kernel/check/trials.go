package check

import (
	"shaftbook/kernel/notation"
)

// trials checks the trials of a slider: columns that are quantities, a bracket that is
// like the first of them, values tried that are like the slider's, and guesses of both.
func (c *Checker) trials(s *notation.Trials) Statement {
	info := Statement{Over: c.tried(s)}
	for _, column := range s.Columns {
		t := c.shown(c.expr(column.Expr), column.Expr, column.Display)
		if t.Kind == Truth {
			c.list.Addf(column.Span(), CodeKind, "%s is true or false, but a number is needed here", piece(column.Expr))
			t = invalid
		}
		info.Columns = append(info.Columns, t)
	}
	first := info.Columns[0]
	like := func(x notation.Expr, what string) {
		if t := c.quantity(x); t.Kind != Invalid && first.Kind != Invalid && !same(first, t, true) {
			c.mismatch(x.Span(), what+": %[2]s for %[1]s", s.Columns[0].Expr, first, x, t)
		}
	}
	if s.Low != nil {
		like(s.Low, "the lower end is not like the value it is an end for")
		like(s.High, "the upper end is not like the value it is an end for")
	}
	if s.Bracket != nil {
		b := c.quantity(s.Bracket)
		if b.Kind == Number {
			c.list.Addf(s.Bracket.Span(), CodeKind, "%s is one value, but within needs a bracket", piece(s.Bracket)).
				Repair = "write between a and b, or give a bracket such as S.bracket(n)"
		} else if b.Kind != Invalid {
			c.comparable(s, s.Columns[0].Expr, first, s.Bracket, b)
		}
	}
	for _, g := range s.Guesses {
		like(g.Value, "the guess is not like what is guessed")
	}
	return info
}

// tried returns the type of the slider, and checks the values at which it was tried.
func (c *Checker) tried(s *notation.Trials) Type {
	over := c.quantity(s.Var)
	at := func(x notation.Expr) {
		if t := c.quantity(x); t.Kind != Invalid && over.Kind != Invalid && !same(over, t, true) {
			c.mismatch(x.Span(), "the value tried does not fit the slider: %[2]s for %[1]s", s.Var, over, x, t)
		}
	}
	for _, x := range s.Tried {
		at(x)
	}
	for _, g := range s.Guesses {
		at(g.At)
	}
	return over
}

// segmentTable checks the table of the segments of a shaft.
func (c *Checker) segmentTable(s *notation.SegmentTable) {
	c.shaftNamed(s.Shaft, "only a shaft can be cut into segments", "write the name of a shaft cell")
	c.countable(s.Segments, "the number of segments")
	if u := s.Display.Unit; u != nil && !isAngleUnit(u.Unit.Text) {
		c.list.Addf(u.Span(), CodeUnitShown, "twists are angles and cannot be shown in %s, a unit of %s", u.Unit.Text, bareWord(u.Unit.Dim)).
			Repair = "use deg or rad"
	}
}

// toleranceTable checks the table of the tolerances of a bracket.
func (c *Checker) toleranceTable(s *notation.ToleranceTable) Type {
	t := c.shown(c.expr(s.Expr), s.Expr, s.Display)
	if t.Kind == Bracket || t.Kind == Invalid {
		return t
	}
	what, repair := "%s is one value: nothing that it is worked out from has a tolerance", "give a name that it uses a tolerance, as in d = 36 mm ± 0.1 mm"
	if t.Kind != Number {
		what, repair = "%s is not a quantity, so it has no tolerances", "name a quantity that uses brackets, as in table of tolerances of θ"
	}
	c.list.Addf(s.Expr.Span(), CodeKind, what, piece(s.Expr)).Repair = repair
	return invalid
}

// shaftNamed reports a name that is not the name of a shaft.
func (c *Checker) shaftNamed(n *notation.Name, why, repair string) {
	if sym, ok := c.scope.Symbol(n.Ident); !ok {
		c.undefinedShaft(n)
	} else if sym.Kind != ShaftName {
		d := c.list.Addf(n.Span(), CodeKind, "%s is not a shaft, and %s", n.Ident, why)
		d.Repair, d.Related = repair, relatedTo(sym)
	}
}
