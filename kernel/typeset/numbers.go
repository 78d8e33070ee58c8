package typeset

import (
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/typeset/box"
)

// A Lookup finds the value of a name as it is displayed, "36 mm". ok is false
// for a name without a value to show: a function, a shaft, a failed statement.
type Lookup func(ident string) (text string, ok bool)

// Numbers returns the formula of n as MathML with every name replaced by its
// value, so that a page can show symbol = formula = numbers = result. Of a
// definition only the right side is returned. Names that the formula itself
// binds stay names. It returns "" if no name was replaced, since the line of
// numbers would then repeat the formula.
func Numbers(n notation.Node, lookup Lookup, o Options) string {
	with, changed := WithNumbers(n, lookup)
	if !changed {
		return ""
	}
	return MathML(with, o)
}

// WithNumbers returns the formula of n with every name replaced by its value,
// as a tree, so that it can also be set as TeX or as plain text. changed
// reports whether any name was replaced.
func WithNumbers(n notation.Node, lookup Lookup) (with notation.Node, changed bool) {
	s := substitution{lookup: lookup}
	switch n := n.(type) {
	case *notation.Define:
		with = s.expr(n.Expr)
	case *notation.DefineFunc:
		for _, p := range n.Params {
			s.bound = append(s.bound, p.Ident)
		}
		with = s.expr(n.Body)
	case *notation.Show:
		with = s.expr(n.Expr)
	case *notation.Expect:
		with = s.expect(n)
	case notation.Expr:
		with = s.expr(n)
	default:
		return n, false
	}
	return with, s.changed
}

// substitution replaces names by values. The tree it is given stays as it is;
// what changes is copied.
type substitution struct {
	lookup  Lookup
	bound   []string // names bound by the forms around
	changed bool
}

func (s *substitution) expect(n *notation.Expect) notation.Stmt {
	c := *n
	c.X, c.Low, c.High = s.expr(c.X), s.expr(c.Low), s.expr(c.High)
	c.Bracket, c.Approx, c.Tolerance, c.Cond = s.expr(c.Bracket), s.expr(c.Approx), s.expr(c.Tolerance), s.expr(c.Cond)
	return &c
}

func (s *substitution) expr(e notation.Expr) notation.Expr {
	switch e := e.(type) {
	case nil:
		return nil
	case *notation.Name:
		return s.name(e)
	case *notation.Bind:
		return s.bind(e)
	}
	return notation.Map(e, s.expr)
}

// bind leaves the bound name alone in the body; the range is outside its reach.
func (s *substitution) bind(e *notation.Bind) notation.Expr {
	c := *e
	c.From, c.To = s.expr(e.From), s.expr(e.To)
	if e.Var != nil {
		s.bound = append(s.bound, e.Var.Ident)
		defer func() { s.bound = s.bound[:len(s.bound)-1] }()
	}
	c.Body = s.expr(e.Body)
	return &c
}

func (s *substitution) name(e *notation.Name) notation.Expr {
	if slices.Contains(s.bound, e.Ident) || e.Ident == "π" {
		return e
	}
	shown, ok := s.lookup(e.Ident)
	if !ok {
		return e
	}
	value, ok := readValue(shown)
	if !ok {
		return e
	}
	s.changed = true
	return value
}

// spaces are the spaces that a displayed value may hold.
var spaces = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ")

// readValue reads a displayed value: a number, a quantity, one of these with a
// sign, or a bracket of two of them.
func readValue(shown string) (notation.Expr, bool) {
	e, list := notation.ParseExpr(source.NewText("", spaces.Replace(shown)))
	if list.HasErrors() || !isValue(e) {
		return nil, false
	}
	return e, true
}

func isValue(e notation.Expr) bool {
	switch e := e.(type) {
	case *notation.Number, *notation.Quantity:
		return true
	case *notation.Unary:
		return isValue(e.X)
	case *notation.Between:
		return isValue(e.Low) && isValue(e.High)
	case *notation.PlusMinus:
		return isValue(e.Mid) && isValue(e.Half)
	}
	return false
}

// Quantity returns a displayed value, such as "3.2×10⁻⁵ m" or "between 0.9 deg
// and 1.1 deg", as MathML. A text that is not a value is shown as it is.
func Quantity(shown string, o Options) string { return mathML(Value(shown), o) }

// Value returns the boxes of a displayed value.
func Value(shown string) box.Box {
	if e, ok := readValue(shown); ok {
		return layout(e)
	}
	return box.Text(shown)
}
