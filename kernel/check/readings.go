package check

import (
	"fmt"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// HasFields reports whether a name stands for something that has values of its own and
// is none: a shaft, readings, a line.
func (s *Symbol) HasFields() bool {
	return s.Kind == ShaftName || s.Kind == ReadingsName || s.Kind == LineName
}

// what says what a name stands for.
func (s *Symbol) what() string {
	switch s.Kind {
	case Function:
		return "a function"
	case ShaftName:
		return "a shaft"
	case ReadingsName:
		return "a set of readings"
	case LineName:
		return "a line through readings"
	}
	return Word(s.Type.Dim)
}

// readings checks that the readings have the dimensions of their axes. A bare number
// is in the unit of its axis.
func (c *Checker) readings(s *notation.Readings) Statement {
	x, y := c.axis(s.X), c.axis(s.Y)
	for i := range s.Xs {
		c.reading(s.Xs[i], s.X, x)
		c.reading(s.Ys[i], s.Y, y)
	}
	return Statement{Columns: []Type{x, y}}
}

func (c *Checker) axis(a notation.ReadingsAxis) Type {
	t := Type{Kind: Number}
	if a.Unit != nil {
		u := &a.Unit.Unit
		t.Dim, t.Unit, t.Speed = u.Dim, u, unit.SpeedOf(*u)
		if u.Dim.IsNumber() && isAngleUnit(u.Text) {
			t.Angle = IsAngle
		}
	}
	return angleByName(a.Name.Ident, t)
}

func (c *Checker) reading(e notation.Expr, a notation.ReadingsAxis, axis Type) {
	if _, bare := notation.BareNumber(e); bare {
		return
	}
	t := c.quantity(e)
	if t.Kind == Invalid || !c.plainNumber(e, t, "a reading") || same(axis, t, true) {
		return
	}
	c.clash(t.Dim, axis.Dim)
	c.list.Addf(e.Span(), CodeDimension, "a reading of %s is %s, not %s", a.Name.Ident, Word(axis.Dim), c.describe(e, t)).
		Repair = "write a bare number, which is in " + unitOrNumber(a) + ", or one with a unit of that kind"
}

func unitOrNumber(a notation.ReadingsAxis) string {
	if a.Unit == nil {
		return "no unit"
	}
	return a.Unit.Text
}

// line checks what a line goes through.
func (c *Checker) line(s *notation.Line) Statement {
	for _, e := range s.Without {
		c.countable(e, "the number of a reading")
	}
	sym, ok := c.scope.Symbol(s.Through.Ident)
	switch {
	case !ok:
		c.noReadings(s.Through)
	case sym.Kind != ReadingsName:
		d := c.list.Addf(s.Through.Span(), CodeKind, "%s is %s, and a line goes through readings", s.Through.Ident, sym.what())
		d.Repair, d.Related = "name a line that begins with readings", relatedTo(sym)
	default:
		return Statement{Columns: sym.Axes[:]}
	}
	return Statement{Columns: make([]Type, 2)}
}

// noReadings reports readings that no line defines.
func (c *Checker) noReadings(n *notation.Name) {
	var names []string
	for _, ident := range c.scope.All() {
		if s, ok := c.scope.Symbol(ident); ok && s.Kind == ReadingsName {
			names = append(names, ident)
		}
	}
	d := c.list.Addf(n.Span(), CodeUndefined, "there are no readings %s in this lesson", n.Ident)
	switch {
	case suggest(d, n.Span(), Nearest(n.Ident, names)):
	case len(names) > 0:
		d.Repair = "the readings here are " + strings.Join(names, ", ")
	default:
		d.Repair = "write them down: readings " + n.Ident + " of T in N·m, θ in deg: 0: 0.02, 10: 0.31, 20: 0.63"
	}
}

func (c *Checker) plotLine(s *notation.PlotLine) {
	sym, ok := c.scope.Symbol(s.Of.Ident)
	switch {
	case !ok:
		c.undefined(s.Of)
	case s.Residuals && sym.Kind == ReadingsName:
		c.list.Addf(s.Of.Span(), CodeKind, "%s is a set of readings, and residuals are those of a line", s.Of.Ident).
			Repair = "find a line first: line fit through " + s.Of.Ident
	case sym.Kind == ShaftName:
		c.list.Addf(s.Of.Span(), CodeKind, "%s is a shaft, and cannot be plotted", s.Of.Ident).Repair = "write draw " + s.Of.Ident
	case sym.Kind != ReadingsName && sym.Kind != LineName:
		d := c.list.Addf(s.Of.Span(), CodeKind, "%s is %s, and it does not say over which range it is plotted", s.Of.Ident, sym.what())
		d.Repair, d.Related = `the full form is: plot d(x) in mm as "diameter" for x from 0 m to L`, relatedTo(sym)
	}
}

// A readingsForm is one way to ask readings, or a line through them, for a value.
type readingsForm struct {
	name, arg string // arg is "x", "k" (the number of a reading) or ""
	result    func(x, y Type) Type
}

func ofX(x, _ Type) Type  { return x }
func ofY(_, y Type) Type  { return y }
func pure(_, _ Type) Type { return Type{Kind: Number, Angle: NotAngle} }

var readingsForms = []readingsForm{{"x", "k", ofX}, {"y", "k", ofY}, {"count", "", pure}}

var lineForms = []readingsForm{
	{"slope", "", SlopeType}, {"intercept", "", ofY}, {"slope_error", "", SlopeType}, {"intercept_error", "", ofY},
	{"scatter", "", ofY}, {"t", "", pure}, {"count", "", pure}, {"at", "x", ofY}, {"residual", "k", ofY},
}

// SlopeType is the type of the slope of a line through readings with these axes, shown in the units of the readings.
func SlopeType(x, y Type) Type {
	dim, ok := y.Dim.Div(x.Dim)
	if !ok {
		return invalid
	}
	t := Type{Kind: Number, Dim: dim}
	if y.Angle == IsAngle && x.Angle != IsAngle {
		t.Angle = IsAngle
	}
	if x.Unit == nil {
		t.Unit = y.Unit
		return t
	}
	top, bottom := "1", x.Unit.Text
	if y.Unit != nil {
		top = y.Unit.Text
	}
	if strings.ContainsAny(bottom, "·*/") {
		bottom = "(" + bottom + ")"
	}
	if u, err := unit.Parse(top + "/" + bottom); err == nil {
		t.Unit = &u
	}
	return t
}

// readingsField checks test.y(3) and fit.slope.
func (c *Checker) readingsField(e *notation.Field, s *Symbol, args []Type) Type {
	forms := readingsForms
	if s.Kind == LineName {
		forms = lineForms
	}
	var names []string
	for _, f := range forms {
		names = append(names, f.name)
		if f.name != e.Field {
			continue
		}
		if !c.readingsArgument(e, f, s, args) || s.Axes[0].Kind == Invalid {
			return invalid
		}
		return f.result(s.Axes[0], s.Axes[1])
	}
	d := c.list.Addf(e.FieldAt, CodeField, "%s has no value called %s", s.what(), e.Field)
	if !suggest(d, e.FieldAt, Nearest(e.Field, names)) {
		d.Repair = "it has " + strings.Join(names, ", ")
	}
	return invalid
}

func (c *Checker) readingsArgument(e *notation.Field, f readingsForm, s *Symbol, args []Type) bool {
	call := e.X.Ident + "." + f.name
	switch {
	case f.arg == "" && e.HasArgs:
		c.list.Addf(e.Span(), CodeArguments, "%s takes no argument", call).Repair = "write " + call
		return false
	case f.arg == "":
		return true
	case len(args) != 1:
		c.list.Addf(e.Span(), CodeArguments, "%s takes 1 argument, and here it has %d", call, len(args)).
			Repair = fmt.Sprintf("write %s(%s)", call, map[string]string{"k": "1", "x": "x"}[f.arg])
		return false
	case f.arg == "k":
		return c.countable(e.Args[0], "the number of a reading").Kind != Invalid
	}
	axis := s.Axes[0]
	if axis.Kind != Invalid && !same(axis, args[0], true) {
		c.clash(args[0].Dim, axis.Dim)
		c.list.Addf(e.Args[0].Span(), CodeDimension, "%s is asked for at %s, not at %s", call, Word(axis.Dim), c.describe(e.Args[0], args[0]))
		return false
	}
	return c.plainNumber(e.Args[0], args[0], "the argument of "+call)
}
