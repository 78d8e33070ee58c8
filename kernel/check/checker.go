package check

import (
	"slices"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Checker infers types in one scope. The zero value is not usable; see New.
// It is not safe for concurrent use.
type Checker struct {
	// UnitFor, if set, returns the unit that a bare number of a dimension lacks, and
	// whether that is sure. Without it the unit of what the number met is taken.
	UnitFor func(number float64, d unit.Dimension) (text string, sure bool)

	// immutable
	scope Scope

	// state of one Check
	list      source.List
	local     []local                // bound names and parameters, innermost last
	tolerance bool                   // a number of the shaft cell has one
	depth     int                    // nesting of function bodies
	memo      map[string]bodyUse     // function bodies by name and argument types
	whole     map[string]bool        // bound names that must be whole numbers
	at        map[notation.Expr]Type // filled while recording
	clashes   []Clash
	turned    bool // a product has a rotational speed in it
}

// A Clash is a dimension that a value has beside the one that its place needs.
type Clash struct{ Have, Need unit.Dimension }

// Clashes returns the dimensions that did not fit in the statement that was
// checked last, so that a caller can work out which dimension of a name would.
func (c *Checker) Clashes() []Clash { return c.clashes }

func (c *Checker) clash(have, need unit.Dimension) {
	c.clashes = append(c.clashes, Clash{have, need})
}

type local struct {
	ident string
	typ   Type
}

// New returns a checker for a scope.
func New(scope Scope) *Checker {
	return &Checker{scope: scope, memo: map[string]bodyUse{}, whole: map[string]bool{}}
}

// begin starts a statement.
func (c *Checker) begin() {
	c.list, c.local, c.depth, c.clashes, c.turned = nil, nil, 0, nil, false
	clear(c.memo)
	clear(c.whole)
}

// Expr infers the type of one expression.
func (c *Checker) Expr(e notation.Expr) (Type, source.List) {
	c.begin()
	t := c.expr(e)
	return t, c.list
}

// ExprWith infers the type of an expression in which some names are bound to
// values of given types, for example the x of a profile.
func (c *Checker) ExprWith(e notation.Expr, bound map[string]Type) (Type, source.List) {
	c.begin()
	for ident, t := range bound {
		c.bind(ident, t)
	}
	t := c.expr(e)
	return t, c.list
}

func (c *Checker) bind(ident string, t Type) { c.local = append(c.local, local{ident, t}) }
func (c *Checker) unbind()                   { c.local = c.local[:len(c.local)-1] }

func (c *Checker) lookupLocal(ident string) (Type, bool) {
	for _, l := range slices.Backward(c.local) {
		if l.ident == ident {
			return l.typ, true
		}
	}
	return Type{}, false
}

// number returns the type of a plain number or quantity.
func number(d unit.Dimension) Type { return Type{Kind: Number, Dim: d} }

// joined returns the kind of a value made of a and b: a bracket if either is.
func joined(a, b Type) Kind {
	if a.Kind == Bracket || b.Kind == Bracket {
		return Bracket
	}
	return Number
}

// quantity infers e and insists on a number or a bracket.
func (c *Checker) quantity(e notation.Expr) Type {
	t := c.expr(e)
	if t.Kind == Truth {
		c.list.Addf(e.Span(), CodeKind, "%s is true or false, but a number is needed here", piece(e))
		return invalid
	}
	return t
}

// plain infers e and insists on a pure number; what names the place in words.
func (c *Checker) plain(e notation.Expr, what string) Type {
	t := c.quantity(e)
	if t.Kind == Invalid || t.Dim.IsNumber() {
		return t
	}
	c.clash(t.Dim, unit.Dimension{})
	c.list.Addf(e.Span(), CodeDimension, "%s must be a pure number, not %s", what, c.describe(e, t)).
		Repair = "divide by a quantity of the same dimension, or leave the unit out"
	return invalid
}

// countable infers e as a whole number and marks bound names used in it.
func (c *Checker) countable(e notation.Expr, what string) Type {
	t := c.plain(e, what)
	if t.Kind == Bracket {
		c.list.Addf(e.Span(), CodeKind, "%s must be one whole number, not a bracket", what).
			Repair = "take mid(…), low(…) or high(…) of it"
		return invalid
	}
	c.markWhole(e)
	return t
}

func (c *Checker) markWhole(e notation.Expr) {
	for _, n := range notation.FreeNames(e) {
		if _, ok := c.lookupLocal(n.Ident); ok {
			c.whole[n.Ident] = true
		}
	}
}

// same reports whether two types may be the two sides of a sum or a
// comparison. A bare 0 fits everything where zeroFits. A rotational speed and a
// frequency do not fit one another.
func same(a, b Type, zeroFits bool) bool {
	return a.Dim == b.Dim && !turnsAndCycles(a.Speed, b.Speed) || zeroFits && (a.Zero || b.Zero)
}
