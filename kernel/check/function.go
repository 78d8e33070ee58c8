package check

import (
	"math"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
)

// This file is about functions that other books and programs spell otherwise, and
// about angles without a unit.

// otherSpellings maps functions as they are spelt elsewhere to ours.
var otherSpellings = map[string]string{
	"tg": "tan", "arctg": "atan", "atg": "atan", "sen": "sin", "lg": "log10", "loge": "ln", "fabs": "abs", "ceiling": "ceil", "maximum": "max", "minimum": "min",
}

// otherForms maps functions that are not ones here to what is written instead.
var otherForms = map[string]string{
	"pow": "write a power as a^b", "power": "write a power as a^b", "cot": "write 1/tan(x)", "ctg": "write 1/tan(x)", "sec": "write 1/cos(x)", "csc": "write 1/sin(x)",
	"radians": "write an angle with its unit, 30 deg", "degrees": "show an angle in degrees: θ in deg", "rad": "write an angle with its unit, 30 deg",
	"deg": "show an angle in degrees: θ in deg", "sind": "write sin(30 deg)", "cosd": "write cos(30 deg)", "tand": "write tan(30 deg)",
	"if": "write if a > b then … else …", "sum": "write a + b, or sum of f(i) for i from 1 to n", "int": "write integral of f(x) for x from a to b", "mean": "write (a + b)/2", "average": "write (a + b)/2",
	"cbrt": "write ∛(x), or x^(1/3)", "sinh": "write (exp(x) − exp(−x))/2", "cosh": "write (exp(x) + exp(−x))/2",
}

// otherFunction says of a function that is unknown how it is written here, and reports
// whether it is one that is spelt otherwise elsewhere.
func otherFunction(d *source.Diagnostic, e *notation.Call) bool {
	word := strings.ToLower(e.Fun.At.Content())
	if ours := otherSpellings[word]; ours != "" {
		d.Repair = "write " + ours + "(…)"
		d.Fix = &source.Fix{Span: e.Fun.At, Text: ours}
		return true
	}
	if word == "sqr" && len(e.Args) == 1 {
		square := "(" + e.Args[0].Span().Content() + ")^2"
		root := "sqrt(" + e.Args[0].Span().Content() + ")"
		d.Repair = "write " + root + " for the root, or " + square + " for the square"
		d.Choose(e.Span(), root).Choose(e.Span(), square)
		return true
	}
	form, ok := otherForms[word]
	if ok {
		d.Repair = form
	}
	return ok
}

// noteRadians says that the angle of a sine, cosine or tangent is in radians where it
// is a number of more than a turn, written without a unit.
func (c *Checker) noteRadians(e notation.Expr) {
	x := notation.Unparen(e)
	sign := ""
	if u, ok := x.(*notation.Unary); ok && u.Op == notation.OpNeg {
		sign, x = "−", notation.Unparen(u.X)
	}
	named := ""
	if name, ok := x.(*notation.Name); ok {
		s, known := c.scope.Symbol(name.Ident)
		if _, bound := c.lookupLocal(name.Ident); bound || !known || s.Expr == nil {
			return
		}
		named, x = name.Ident+" = ", notation.Unparen(s.Expr)
	}
	n, ok := x.(*notation.Number)
	if !ok || n.Value <= 2*math.Pi {
		return
	}
	d := c.list.Notef(e.Span(), CodeRadians, "%s%s%s without a unit is in radians", named, sign, n.Text)
	if named != "" {
		d.Repair = "for degrees write " + named + n.Text + "° where it is defined"
		return
	}
	text := sign + n.Text + "°"
	d.Repair = "for degrees write " + text
	d.Choose(e.Span(), text)
}

// noteOwnUnit says that the T of T = 2 T is the tesla, if the name usually has another
// dimension.
func (c *Checker) noteOwnUnit(s *notation.Define) {
	q, ok := notation.Unparen(s.Expr).(*notation.Quantity)
	if !ok || notation.Canonical(q.Unit.Text) != s.Name.Ident {
		return
	}
	if usual, known := UsualDimension(s.Name.Ident); !known || usual == q.Unit.Unit.Dim {
		return
	}
	c.list.Notef(q.Unit.At, notation.RareUnit, "%s is the unit here: no name is defined by itself", q.Unit.Text).Repair = "perhaps another unit is meant"
}

// toDegrees is how a value in radians is multiplied to be one in degrees.
var toDegrees = pattern.New(`\s*[·*×⋅∙]\s*(180\s*[/÷]\s*(π|pi)|\(\s*180\s*[/÷]\s*(π|pi)\s*\)|57\.(3|30|296|2958))$`)

// noteDegrees says of a definition that ends in ·180/π without a unit that its value is
// so many radians, and offers to show it in degrees instead.
func (c *Checker) noteDegrees(s *notation.Define) {
	if s.Display.Unit != nil {
		return
	}
	text := s.Expr.Span().Content()
	at := toDegrees().FindStringIndex(text)
	if at == nil || angleByName(s.Name.Ident, Type{Kind: Number}).Angle != IsAngle {
		return
	}
	span := s.Expr.Span()
	span.Start += at[0]
	d := c.list.Notef(span, CodeRadians, "%s is an angle in radians; times 180/π it is another angle", s.Name.Ident)
	d.Repair = "leave it out and show the angle in degrees: … in deg"
	d.Choose(span, " in deg")
}
