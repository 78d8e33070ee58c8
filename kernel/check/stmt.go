package check

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Statement is what is known of a statement before it is evaluated.
type Statement struct {
	Type    Type   // of a definition, a shown expression, a vary, the left side of an expect
	Columns []Type // of a table, a plot or trials; x and y of readings and of a line
	Over    Type   // of the name that these run over
	Whole   bool   // that name must be a whole number
}

// Stmt checks one statement.
func (c *Checker) Stmt(s notation.Stmt) (Statement, source.List) {
	c.begin()
	info := c.stmt(s)
	c.noteTurned(s)
	return info, c.list
}

func (c *Checker) stmt(s notation.Stmt) Statement {
	switch s := s.(type) {
	case *notation.Define:
		c.noteOwnUnit(s)
		c.noteDegrees(s)
		return Statement{Type: angleByName(s.Name.Ident, c.shown(c.expr(s.Expr), s.Expr, s.Display))}
	case *notation.Show:
		return Statement{Type: c.show(s)}
	case *notation.DefineFunc:
		c.defineFunc(s)
	case *notation.Vary:
		return Statement{Type: c.vary(s)}
	case *notation.Expect:
		return Statement{Type: c.expect(s)}
	case *notation.Table:
		return c.columns(s.Columns, s.Range)
	case *notation.Plot:
		return c.columns(s.Columns, s.Range)
	case *notation.Trials:
		return c.trials(s)
	case *notation.Readings:
		return c.readings(s)
	case *notation.Line:
		return c.line(s)
	case *notation.PlotLine:
		c.plotLine(s)
	case *notation.SegmentTable:
		c.segmentTable(s)
	case *notation.ToleranceTable:
		return Statement{Type: c.toleranceTable(s)}
	case *notation.Draw:
		c.draw(s)
	case *notation.Prefer:
		c.prefer(s)
	}
	return Statement{}
}

// angleByName takes a pure number for an angle if nothing speaks against it
// and its name is one of the symbols that ISO 80000-3:2019, items 3-5 and 3-6,
// gives to angles and rotations here: θ or φ, with any subscript, with or
// without Δ.
func angleByName(ident string, t Type) Type {
	base, _, _ := strings.Cut(strings.TrimPrefix(ident, "Δ"), "_")
	if t.IsQuantity() && t.Dim.IsNumber() && t.Angle == Unknown && t.Unit == nil && (base == "θ" || base == "φ") {
		t.Angle = IsAngle
	}
	return t
}

func (c *Checker) show(s *notation.Show) Type { return c.shown(c.expr(s.Expr), s.Expr, s.Display) }

// shown applies the unit of a display suffix.
func (c *Checker) shown(t Type, e notation.Expr, d notation.Display) Type {
	if d.Unit == nil || t.Kind == Invalid {
		return t
	}
	if t.Kind == Truth {
		c.list.Addf(d.Unit.Span(), CodeUnitShown, "%s is true or false and has no unit", piece(e))
		return invalid
	}
	u := &d.Unit.Unit
	if u.Dim != t.Dim {
		c.clash(t.Dim, u.Dim)
		c.list.Addf(d.Unit.Span(), CodeUnitShown, "%s is %s and cannot be shown in %s, a unit of %s",
			piece(e), c.wordFor(e, t), u.Text, bareWord(u.Dim)).
			Repair = "use a unit such as " + unit.Choose(0, t.Dim, nil, unit.NoHint).Text
		switch {
		case t.Dim.IsNumber():
			c.list[len(c.list)-1].Repair = "leave the unit out, or check which factor is missing in " + piece(e)
		case !unit.IsNamed(t.Dim):
			c.list[len(c.list)-1].Repair = "look for a unit, a factor or a power that is missing or too many in " + piece(e) + " and in what it uses"
		}
		return invalid
	}
	shownAs := unit.SpeedOf(*u)
	if turnsAndCycles(t.Speed, shownAs) {
		c.list.Addf(d.Unit.Span(), CodeTurns, "%s is %s and cannot be shown in %s, a unit of %s",
			piece(e), wordOf(t), u.Text, bareSpeed(shownAs)).Repair = turnsRepair
		return invalid
	}
	if t.Unit = u; t.Speed == unit.AnySpeed {
		t.Speed = shownAs
	}
	if t.Dim.IsNumber() && isAngleUnit(u.Text) {
		t.Angle = IsAngle
	}
	return t
}

// bareWord is Word without its article.
func bareWord(d unit.Dimension) string {
	w := Word(d)
	for _, article := range []string{"a ", "an "} {
		if len(w) > len(article) && w[:len(article)] == article {
			return w[len(article):]
		}
	}
	return w
}

// defineFunc checks what can be said of a body without arguments: that its
// names are known. Its dimensions are checked for each use.
func (c *Checker) defineFunc(s *notation.DefineFunc) {
	seen := map[string]bool{}
	for _, p := range s.Params {
		if seen[p.Ident] {
			c.list.Addf(p.Span(), CodeArguments, "%s is named twice among the arguments of %s", p.Ident, s.Name.Ident).
				Repair = "give each argument a name of its own"
		}
		seen[p.Ident] = true
	}
	for _, n := range notation.FreeNames(s.Body) {
		if seen[n.Ident] || n.Ident == "π" {
			continue
		}
		if _, ok := c.scope.Symbol(n.Ident); ok {
			continue
		}
		if _, ok := notation.LookupBuiltin(n.Ident); ok {
			continue
		}
		for _, p := range s.Params {
			c.bind(p.Ident, invalid)
		}
		c.undefined(n)
		c.local = nil
	}
}

func (c *Checker) vary(s *notation.Vary) Type {
	t := c.ends(s.From, s.To, "the start of a range", "the end of a range", "cannot vary from %s to %s")
	if t.Kind == Invalid {
		return invalid
	}
	for _, part := range []struct {
		e    notation.Expr
		what string
	}{{s.Step, "the step"}, {s.Start, "the starting value"}, {s.TypedFrom, "the smallest value to type"}, {s.TypedTo, "the largest value to type"}} {
		if part.e == nil {
			continue
		}
		p := c.quantity(part.e)
		if p.Kind == Invalid || !c.plainNumber(part.e, p, part.what) {
			return invalid
		}
		if !same(t, p, true) {
			c.mismatch(part.e.Span(), part.what+" does not fit the range: %[2]s for %[1]s", s.To, t, part.e, p)
			return invalid
		}
	}
	return t
}

func (c *Checker) expect(s *notation.Expect) Type {
	if s.Cond != nil {
		c.truth(s.Cond)
		return Type{Kind: Truth}
	}
	x := c.quantity(s.X)
	switch {
	case s.Bracket != nil:
		b := c.quantity(s.Bracket)
		if b.Kind == Number {
			c.list.Addf(s.Bracket.Span(), CodeKind, "%s is one value, but within needs a bracket", piece(s.Bracket)).
				Repair = fmt.Sprintf("write expect %s ≈ %s within 1 %%, or give a bracket", piece(s.X), piece(s.Bracket))
			return invalid
		}
		c.comparable(s, s.X, x, s.Bracket, b)
		x = likeBoth(x, b)
	case s.Low != nil:
		low, high := c.quantity(s.Low), c.quantity(s.High)
		c.comparable(s, s.X, x, s.Low, low)
		c.comparable(s, s.X, x, s.High, high)
		x = likeBoth(x, low)
	case s.Approx != nil:
		y, tolerance := c.quantity(s.Approx), c.quantity(s.Tolerance)
		c.comparable(s, s.X, x, s.Approx, y)
		if tolerance.IsQuantity() && x.Kind != Invalid && !tolerance.Dim.IsNumber() && tolerance.Dim != x.Dim {
			c.mismatch(s.Tolerance.Span(), "the tolerance must be a share, such as 0.5 %%, or like what is compared: %[2]s for %[1]s", s.X, x, s.Tolerance, tolerance)
		}
	}
	return x
}

// likeBoth gives x the display facts of y where it has none of its own.
func likeBoth(x, y Type) Type {
	if !x.IsQuantity() || !y.IsQuantity() || x.Dim != y.Dim {
		return x
	}
	return merged(x, y)
}

func (c *Checker) comparable(s notation.Stmt, x notation.Expr, tx Type, y notation.Expr, ty Type) {
	if tx.Kind == Invalid || ty.Kind == Invalid || same(tx, ty, true) {
		return
	}
	c.mismatch(x.Span().To(y.Span()), "cannot compare %s with %s", x, tx, y, ty)
}

// columns checks a table or a plot.
func (c *Checker) columns(columns []*notation.Column, r *notation.Range) Statement {
	info := Statement{Over: c.span(r)}
	c.bind(r.Var.Ident, info.Over)
	for _, column := range columns {
		t := c.shown(c.expr(column.Expr), column.Expr, column.Display)
		if t.Kind == Truth {
			c.list.Addf(column.Span(), CodeKind, "%s is true or false, but a number is needed here", piece(column.Expr))
			t = invalid
		}
		info.Columns = append(info.Columns, t)
	}
	info.Whole = c.whole[r.Var.Ident]
	c.unbind()
	return info
}

// span infers the name a table or plot runs over.
func (c *Checker) span(r *notation.Range) Type {
	t := c.ends(r.From, r.To, "the start of a range", "the end of a range", "cannot go from %s to %s")
	if r.Step != nil && t.Kind != Invalid {
		if step := c.quantity(r.Step); step.Kind != Invalid && !same(t, step, false) {
			c.mismatch(r.Step.Span(), "the step does not fit the range: %[2]s for %[1]s", r.To, t, r.Step, step)
		}
	}
	if r.Mark != nil && t.Kind != Invalid {
		if mark := c.quantity(r.Mark); mark.Kind != Invalid && !same(t, mark, false) {
			c.mismatch(r.Mark.Span(), "the marked value does not fit the range: %[2]s for %[1]s", r.To, t, r.Mark, mark)
		}
	}
	if r.Rows != nil {
		c.countable(r.Rows, "the number of rows")
	}
	return t
}

func (c *Checker) draw(s *notation.Draw) {
	c.shaftNamed(s.Shaft, "only a shaft can be drawn", "for a curve write plot …")
	if s.X != nil {
		c.place(s.X)
	}
	if s.Segments != nil {
		c.countable(s.Segments, "the number of segments")
	}
	if s.Times != nil {
		c.plain(s.Times, "the magnification")
	}
}

// prefer refuses two preferred units of one dimension.
func (c *Checker) prefer(s *notation.Prefer) {
	seen := map[unit.Dimension]*notation.UnitRef{}
	for _, u := range s.Units {
		if first, ok := seen[u.Unit.Dim]; ok {
			d := c.list.Addf(u.Span(), CodeUnitShown, "%s and %s are units of one dimension (%s)", first.Text, u.Text, bareWord(u.Unit.Dim))
			d.Repair = "prefer one of them"
			continue
		}
		seen[u.Unit.Dim] = u
	}
}
