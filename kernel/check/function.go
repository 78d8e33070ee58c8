package check

import (
	"math"
	"strings"

	"shaftbook/kernel/notation"
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
