package check

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// expr infers the type of an expression and reports what is wrong in it. An
// Invalid part makes the whole Invalid without a further message.
func (c *Checker) expr(e notation.Expr) Type {
	t := c.infer(e)
	if c.at != nil {
		c.at[e] = t
	}
	return t
}

func (c *Checker) infer(e notation.Expr) Type {
	switch e := e.(type) {
	case *notation.Number:
		return Type{Kind: Number, Zero: e.Value == 0}
	case *notation.Quantity:
		return c.literal(e)
	case *notation.Name:
		return c.name(e)
	case *notation.Paren:
		return c.expr(e.X)
	case *notation.Unary:
		return c.quantity(e.X)
	case *notation.Abs:
		return c.quantity(e.X)
	case *notation.Root:
		return c.power(e, c.quantity(e.X), half)
	case *notation.Binary:
		return c.binary(e)
	case *notation.Between:
		return c.bracketOf(e, "cannot make a bracket from %s to %s", e.Low, e.High)
	case *notation.PlusMinus:
		return c.bracketOf(e, "cannot put ± between %[2]s and %[1]s", e.Half, e.Mid)
	case *notation.Compare:
		return c.compare(e)
	case *notation.Logic:
		return c.logic(e)
	case *notation.If:
		return c.conditional(e)
	case *notation.Call:
		return c.call(e)
	case *notation.Field:
		return c.field(e)
	case *notation.Bind:
		return c.form(e)
	}
	return invalid // Bad, Infinity: reported by the parser
}

// shareUnit offers the unit of one side of ± for a bare number on the other.
func shareUnit(d *source.Diagnostic, e *notation.PlusMinus) {
	for _, sides := range [][2]notation.Expr{{e.Mid, e.Half}, {e.Half, e.Mid}} {
		n, isBare := sides[0].(*notation.Number)
		q, hasUnit := sides[1].(*notation.Quantity)
		if isBare && hasUnit {
			text := n.At.Content() + " " + q.Unit.Text
			d.Repair = "give it the unit too: " + text
			d.Fix = &source.Fix{Span: n.At, Text: text}
		}
	}
}

var half, _ = unit.NewRational(1, 2)

func (c *Checker) literal(q *notation.Quantity) Type {
	u := &q.Unit.Unit
	t := Type{Kind: Number, Dim: u.Dim, Unit: u, Speed: unit.SpeedOf(*u)}
	if u.Dim.IsNumber() && isAngleUnit(u.Text) {
		t.Angle = IsAngle
	}
	return t
}

func isAngleUnit(text string) bool {
	switch text {
	case "rad", "mrad", "µrad", "μrad", "deg", "°", "′", "″", "rev":
		return true
	}
	return false
}

func (c *Checker) name(n *notation.Name) Type {
	if t, ok := c.lookupLocal(n.Ident); ok {
		return t
	}
	if n.Ident == "π" {
		return Type{Kind: Number, Pi: true}
	}
	s, ok := c.scope.Symbol(n.Ident)
	if !ok {
		c.undefined(n)
		return invalid
	}
	switch s.Kind {
	case Function:
		d := c.list.Addf(n.Span(), CodeNotFunction, "%s is a function and needs its argument", n.Ident)
		d.Repair = "write " + n.Ident + "(" + paramNames(s.Func) + ")"
		d.Related = relatedTo(s)
		return invalid
	case ShaftName, ReadingsName, LineName:
		c.list.Addf(n.Span(), CodeKind, "%s is %s, not a number", n.Ident, s.what()).
			Repair = "ask for one of its values, as in " + n.Ident + map[SymbolKind]string{ShaftName: ".twist", ReadingsName: ".y(1)", LineName: ".slope"}[s.Kind]
		return invalid
	}
	return s.Type
}

func (c *Checker) binary(e *notation.Binary) Type {
	if e.Op == notation.OpPow {
		return c.raise(e)
	}
	if e.Implicit && c.strangers(e) {
		return invalid
	}
	x, y := c.quantity(e.X), c.quantity(e.Y)
	if x.Kind == Invalid || y.Kind == Invalid {
		return invalid
	}
	t := Type{Kind: joined(x, y)}
	c.turned = c.turned || x.Speed == unit.Turning || y.Speed == unit.Turning
	var ok bool
	switch e.Op {
	case notation.OpAdd, notation.OpSub:
		return c.sum(e, x, y)
	case notation.OpMul:
		t.Dim, ok = x.Dim.Mul(y.Dim)
		t.Angle, t.Unit = scaled(x, y)
		t.Speed, t.Pi = speedTimes(x, y)
	case notation.OpDiv:
		t.Dim, ok = x.Dim.Div(y.Dim)
		t.Speed, t.Pi = speedOver(x, y)
		c.noteTurns(e, x, y)
		t.Angle, t.Unit = scaled(x, Type{Kind: y.Kind, Dim: y.Dim, Angle: y.Angle})
		if y.Angle == IsAngle && t.Dim.IsNumber() {
			t.Angle = NotAngle
		}
	}
	if t.Unit != nil && turnsAndCycles(t.Speed, unit.SpeedOf(*t.Unit)) {
		t.Unit = nil
	}
	if !ok {
		c.list.Addf(e.OpAt, CodeDimension, "the powers of the units grow beyond reason here (over 1000)")
		return invalid
	}
	return t
}

// scaled returns the display facts of a product: those of the factor that is
// not a bare number, if the other one is.
func scaled(x, y Type) (Angle, *unit.Unit) {
	bare := func(t Type) bool { return t.Dim.IsNumber() && t.Angle != IsAngle && t.Unit == nil }
	switch {
	case bare(y):
		return x.Angle, x.Unit
	case bare(x):
		return y.Angle, y.Unit
	}
	return Unknown, nil
}

func (c *Checker) sum(e *notation.Binary, x, y Type) Type {
	if !same(x, y, false) {
		if e.Op == notation.OpAdd {
			c.mismatch(e.Span(), "cannot add %[2]s to %[1]s", e.X, x, e.Y, y)
		} else {
			c.mismatch(e.Span(), "cannot subtract %[2]s from %[1]s", e.X, x, e.Y, y)
		}
		return invalid
	}
	c.notePercent(e.Span(), e.X, e.Op.String(), e.Y)
	return merged(x, y)
}

// merged returns the type of a value that is like both x and y.
func merged(x, y Type) Type {
	t := Type{Kind: joined(x, y), Dim: x.Dim, Angle: x.Angle, Unit: x.Unit, Speed: x.Speed, Pi: x.Pi && y.Pi}
	if x.Zero {
		t.Dim = y.Dim
	}
	if t.Angle == Unknown {
		t.Angle = y.Angle
	}
	if t.Unit == nil {
		t.Unit = y.Unit
	}
	if t.Speed == unit.AnySpeed {
		t.Speed = y.Speed
	}
	return t
}

func (c *Checker) raise(e *notation.Binary) Type {
	x := c.quantity(e.X)
	y := c.plain(e.Y, "an exponent")
	if x.Kind == Invalid || y.Kind == Invalid {
		return invalid
	}
	if x.Dim.IsNumber() {
		return Type{Kind: joined(x, y)}
	}
	r, ok := notation.StaticRational(e.Y, c.definition)
	if !ok {
		c.list.Addf(e.Y.Span(), CodeExponent,
			"%s is raised to %s, and the power of a value with a unit must be a fraction known beforehand", c.describe(e.X, x), piece(e.Y)).
			Repair = "write the exponent as a number, or divide by a reference value first"
		return invalid
	}
	if !r.Num().IsInt64() || !r.Denom().IsInt64() {
		return c.power(e, x, unit.Rational{})
	}
	exponent, ok := unit.NewRational(int(r.Num().Int64()), int(r.Denom().Int64()))
	if !ok {
		c.list.Addf(e.Y.Span(), CodeExponent, "the exponent %s is too long a fraction for a value with a unit", piece(e.Y)).
			Repair = "use a simple fraction such as 1/3"
		return invalid
	}
	t := c.power(e, x, exponent)
	t.Kind = joined(x, y)
	return t
}

func (c *Checker) power(e notation.Expr, x Type, exponent unit.Rational) Type {
	if x.Kind == Invalid {
		return invalid
	}
	d, ok := x.Dim.Pow(exponent)
	if !ok {
		c.list.Addf(e.Span(), CodeDimension, "the powers of the units grow beyond reason here (over 1000)")
		return invalid
	}
	return Type{Kind: x.Kind, Dim: d}
}

// definition returns the expression that defines a name, for exponents.
func (c *Checker) definition(ident string) (notation.Expr, bool) {
	if _, bound := c.lookupLocal(ident); bound {
		return nil, false
	}
	s, ok := c.scope.Symbol(ident)
	if !ok || s.Kind != Value || s.Expr == nil {
		return nil, false
	}
	return s.Expr, true
}

func (c *Checker) bracketOf(e notation.Expr, sentence string, a, b notation.Expr) Type {
	x, y := c.quantity(a), c.quantity(b)
	if x.Kind == Invalid || y.Kind == Invalid {
		return invalid
	}
	if !same(x, y, true) {
		c.mismatch(e.Span(), sentence, a, x, b, y)
		if pm, ok := e.(*notation.PlusMinus); ok {
			shareUnit(&c.list[len(c.list)-1], pm)
		}
		return invalid
	}
	if pm, ok := e.(*notation.PlusMinus); ok {
		c.notePercent(pm.Span(), pm.Mid, "±", pm.Half)
	}
	t := merged(x, y)
	t.Kind = Bracket
	return t
}

// notePercent notes 100 ± 5 % and 100 + 5 %, where a share of a pure number is meant
// sooner than 0.05.
func (c *Checker) notePercent(at source.Span, x notation.Expr, sign string, y notation.Expr) {
	n, isNumber := x.(*notation.Number)
	q, isShare := y.(*notation.Quantity)
	if !isNumber || !isShare || q.Unit.Unit.Text != "%" || n.Value == 1 || n.Value == 0 {
		return
	}
	text := n.Text + "·(1 " + sign + " " + q.At.Content() + ")"
	d := c.list.Notef(at, CodeShare, "%s is a share of 1 here, and not of %s", q.At.Content(), n.Text)
	d.Repair = "perhaps " + text + " is meant"
	d.Choose(at, text)
}
