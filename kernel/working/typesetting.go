package working

import (
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
)

// Formula returns the statement typeset as MathML.
func (r *Result) Formula() string { return typeset.MathML(r.Node, typeset.Options{Lines: true}) }

// Numbers returns the statement's formula as MathML with the values of its
// names put in, "" where there is nothing to put in.
func (r *Result) Numbers() string {
	x := r.expression()
	if x == nil || r.numbers == nil || len(notation.FreeNames(x)) == 0 {
		return ""
	}
	return typeset.Numbers(x, r.numbers, typeset.Options{Lines: true})
}

// ShownValue returns the value as MathML.
func (r *Result) ShownValue() string {
	if r.Text == "" {
		return ""
	}
	return typeset.Quantity(r.Text, typeset.Options{})
}

// Plain returns the statement as text that reads back as the same statement.
func (r *Result) Plain() string { return typeset.Plain(r.Node) }

// TeX returns the statement in TeX notation.
func (r *Result) TeX() string { return typeset.TeX(r.Node) }

// Spoken returns the statement in words, for a screen reader.
func (r *Result) Spoken() string { return typeset.Spoken(r.Node) }

// expression returns the formula whose numbers a reader may want to see.
func (r *Result) expression() notation.Expr {
	switch n := r.Node.(type) {
	case *notation.Define:
		return n.Expr
	case *notation.Show:
		if _, name := notation.Unparen(n.Expr).(*notation.Name); name {
			return nil
		}
		return n.Expr
	}
	return nil
}
