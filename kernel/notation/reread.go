package notation

import (
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// Doubts are the pieces of a statement that its text alone does not decide: where
// names are known, package check chooses, and the statement is read again.
type Doubts struct {
	Symbols    []string    // unit symbols that could be names, canonical
	Common     []string    // N, m, s and kg beside one of Symbols in a unit, which are names only if that is
	Weak       []string    // those of Symbols after 1 or 0, which are units if both make sense
	Quantities []*Quantity // those with such a symbol, or with a pound
	Pound      *Quantity   // the first with lb or oz in it, or nil
	Fraction   *Binary     // the first like 1/2 in or d/2 mm, or nil
	E          *Binary     // the first like e^x, or nil
}

// Any reports whether there are doubts.
func (d *Doubts) Any() bool {
	return len(d.Symbols) > 0 || d.Pound != nil || d.Fraction != nil || d.E != nil
}

// DoubtsOf returns the doubts of a statement, a line or an expression. In 1 J and in
// (1 mm/L) the symbol is the unit whatever else it could be, and so are N, m, s and kg
// in a compound unit.
func DoubtsOf(n Node) Doubts {
	var d Doubts
	Inspect(n, func(n Node) bool {
		switch n := n.(type) {
		case *Paren:
			q, ok := n.X.(*Quantity)
			return !ok || q.Number.Text != "1"
		case *Quantity:
			d.quantity(n)
		case *Binary:
			d.binary(n)
		}
		return true
	})
	return d
}

func (d *Doubts) quantity(q *Quantity) {
	isWeak := q.Number.Text == "1" || q.Number.Text == "0"
	isDoubtful := false
	var common []string
	for i, part := range q.Unit.Parts {
		symbol := part.Content()
		if q.Number.Text == "1" && i == 0 {
			continue
		}
		if isPoundOfMass(symbol) && d.Pound == nil && !strings.Contains(q.Unit.Text, "lbf") {
			d.Pound = q
		}
		if len(q.Unit.Parts) > 1 && isCommonInside[symbol] {
			common = append(common, symbol)
			continue
		}
		isDoubtful = true
		if symbol = Canonical(symbol); !slices.Contains(d.Symbols, symbol) {
			d.Symbols = append(d.Symbols, symbol)
			if isWeak {
				d.Weak = append(d.Weak, symbol)
			}
		}
	}
	if isDoubtful {
		d.Common = append(d.Common, common...)
		d.Quantities = append(d.Quantities, q)
	}
}

// isPoundOfMass reports whether a symbol is lb or oz, perhaps spelled out as pounds,
// which some write for the force too. lbm is always the mass.
func isPoundOfMass(symbol string) bool {
	if usual, ok := unit.Spelling(symbol); ok && symbol != "lbm" && symbol != "lbms" {
		symbol = usual
	}
	return symbol == "lb" || symbol == "oz"
}

var isCommonInside = makeSet("N m s kg kN mm")

func (d *Doubts) binary(b *Binary) {
	switch {
	case b.Op == OpDiv && d.Fraction == nil && isUnitFraction(b):
		d.Fraction = b
	case b.Op == OpPow && d.E == nil:
		if e, ok := b.X.(*Name); ok && e.Ident == "e" {
			d.E = b
		}
	}
}

// isUnitFraction reports whether b is written like 1/2 in, 180/6° or d/2 mm: with a
// tight stroke, and a unit behind the divisor that may be meant for the whole.
func isUnitFraction(b *Binary) bool {
	y, isQuantity := b.Y.(*Quantity)
	return isQuantity && y.Number.Text != "1" && b.X.Span().End == b.OpAt.Start && b.OpAt.End == y.At.Start
}

// RereadStmt reads a statement again with a choice made.
func RereadStmt(s Stmt, c Choice) (Stmt, source.List) {
	var again Stmt = s
	list := reread(s.Span(), calcMode, c, names{}, func(p *parser) { again = p.statement() })
	return again, list
}

// RereadShaftLine reads a line of a shaft cell again with a choice made.
func RereadShaftLine(l ShaftLine, c Choice) (ShaftLine, source.List) {
	again := l
	list := reread(l.Span(), shaftMode, c, names{}, func(p *parser) { again = p.shaftLine() })
	return again, list
}

// RereadDeriveLine reads a line of a derivation again with a choice made. A line
// that is one of several steps on a line of text is read alone.
func RereadDeriveLine(l DeriveLine, c Choice) (DeriveLine, source.List) {
	again := l
	whole, ok := newParser(l.Span().Text, deriveMode)
	if !ok {
		return l, nil
	}
	list := reread(l.Span(), deriveMode, c, whole.names, func(p *parser) {
		if lines := p.deriveLine([]DeriveLine{&DeriveStep{}}); len(lines) == 1 {
			again = lines[0]
		}
	})
	lead := ""
	switch l := l.(type) {
	case *DeriveDefine:
		lead = l.Lead
	case *DeriveStep:
		lead = l.Lead
	}
	withLead([]DeriveLine{again}, lead)
	return again, list
}

func reread(at source.Span, m mode, c Choice, known names, read func(*parser)) source.List {
	if !at.IsValid() {
		return nil
	}
	p, _ := newParserIn(at.Text, m, at.Start, at.End, c, nil)
	if known.defined != nil {
		p.names = known
	}
	p.splitNames()
	done := false
	p.lines(func() {
		if !done {
			read(p)
		}
		done = true
	})
	return p.list
}
