// Package typeset shows a tree of the notation to people: as MathML for the
// page, as TeX and as plain text for a copy of the working, and as words for a
// screen reader. It decides nothing about values; a tree that is typeset need
// not have passed any check.
//
// MathML, TeX and formulas in a PDF come from one layout, the boxes of package
// box, so that brackets, products and fractions agree between them; plain text is printed by package notation and
// reads back as the same tree.
//
// The output is MathML Core (W3C) without style attributes, as a strict
// content security policy requires. Symbols follow ISO 80000-1
// and ISO 80000-2 (from memory): quantities italic, units, functions, words,
// π and the d of a differential upright.
package typeset

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset/box"
)

// A Style is the place of a formula on the page, which limits its height.
type Style int

const (
	Row    Style = iota // on a line of its own cell: full-size fractions, limits above and below
	Inline              // within a sentence: small fractions, limits at the side
	Block               // centred, on its own
)

// Options of MathML. The zero Options sets a row without a label.
type Options struct {
	Style Style
	Label string // aria-label of the formula, usually Spoken(n); none if empty
	Lines bool   // a long formula is several elements, between which a line may end
}

// MathML returns n as one <math> element, or as several if Options has Lines. A region that could not be read is
// shown as it was written.
func MathML(n notation.Node, o Options) string { return mathML(layout(n), o) }

func mathML(b box.Box, o Options) string {
	element := box.Element{Display: o.Style == Row, Block: o.Style == Block, Label: o.Label}
	if o.Lines {
		return element.WriteLines(b)
	}
	return element.Write(b)
}

// Formula returns the boxes of n, for a writer that sets type itself.
func Formula(n notation.Node) box.Box { return layout(n) }

// TeX returns n as TeX of mathematics mode, without delimiters. It needs the
// amsmath package (cases, operatorname, text).
func TeX(n notation.Node) string { return box.TeX(layout(n)) }

// layout sets any node.
func layout(n notation.Node) box.Box {
	s := setter{}
	switch n := n.(type) {
	case nil:
		return box.Row(nil)
	case notation.Expr:
		return s.expr(n)
	case notation.Stmt:
		return s.stmt(n)
	case notation.ShaftLine:
		return s.shaftLine(n)
	case notation.DeriveLine:
		return s.deriveLine(n)
	case *notation.UnitRef:
		return unitBox(n.Text)
	case *notation.Column:
		return s.expr(n.Expr)
	case *notation.Range:
		return s.span(n)
	default:
		return asWritten(n)
	}
}

// asWritten shows the text of a node.
func asWritten(n notation.Node) box.Box { return box.Text(strings.TrimSpace(n.Span().Content())) }
