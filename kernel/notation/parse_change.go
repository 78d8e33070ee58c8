package notation

import (
	"slices"

	"shaftbook/kernel/source"
)

// This file reads [F(x)] with limits.

// change reads [F(x)]_a^b or [F(x)]_{x=a}^{x=b}.
func (p *parser) change() Expr {
	const form = "[F(x)]_{x=a}^{x=b}"
	open := p.next()
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(open))
	}
	defer p.leave()
	outer := p.integrand
	p.integrand = nil
	defer func() { p.integrand = outer }()
	b := &Bind{Kind: Change, Glyph: true, Body: p.expression()}
	if !p.got(tCloseSquare) {
		p.unclosed(open, "the bracket [")
	}
	if !p.broken && p.tok().kind != tSub {
		p.errorf(p.tokenSpan(open), StrayCharacter, "square brackets have limits after them; all others are round").Repair = "write ( ), or " + form
	}
	p.next()
	b.Var, b.From = p.namedEnd(form)
	if !p.tok().isOp(OpPow) {
		p.missing("^ with the upper end", form)
	}
	p.next()
	again, to := p.namedEnd(form)
	b.To = to
	if p.broken {
		return p.badExpr(p.since(open.start))
	}
	at := p.since(open.start)
	switch {
	case b.Var == nil:
		b.Var = again
	case again != nil && again.Ident != b.Var.Ident:
		p.errorf(again.At, Unexpected, "the two ends are of one name").Repair = "write " + form
	}
	for _, end := range []Expr{b.From, b.To} {
		if _, infinite := end.(*Infinity); infinite {
			p.errorf(end.Span(), StrayInfinity, "∞ is not a number to calculate with").Repair = "write a limit: lim_{b→∞} of the bracket up to b"
		}
	}
	if b.Var == nil && !p.broken {
		b.Var = p.changing(b.Body, at)
	}
	if p.broken {
		return p.badExpr(at)
	}
	b.exprPlace = ExprAt(at)
	return b
}

// namedEnd reads an end as in {x = a}, or one without a name.
func (p *parser) namedEnd(form string) (*Name, Expr) {
	if p.tok().kind != tOpenBrace || p.peek().kind != tName || p.pos+2 >= len(p.toks) || !p.toks[p.pos+2].isOp(OpEqual) {
		return nil, p.end(form)
	}
	p.pos++
	name := p.newName(form)
	p.next()
	x := p.sum()
	p.closeBrace(form)
	return name, x
}

// changing returns the name that the limits of a bracket belong to: the only
// one in it that is not given or defined, or the only one that a dx is of.
func (p *parser) changing(body Expr, at source.Span) *Name {
	var found []*Name
	calls := map[*Name]bool{}
	Inspect(body, func(n Node) bool {
		if c, ok := n.(*Call); ok {
			calls[c.Fun] = true
		}
		return true
	})
	for _, test := range []func(ident string) bool{
		func(ident string) bool { return !p.names.defined[ident] },
		func(ident string) bool { return p.names.over[ident] },
	} {
		for _, n := range FreeNames(body) {
			isKnown := func(other *Name) bool { return other.Ident == n.Ident }
			if !calls[n] && n.Ident != "π" && test(n.Ident) && !slices.ContainsFunc(found, isKnown) {
				found = append(found, n)
			}
		}
		if len(found) == 1 {
			return found[0]
		}
		found = nil
	}
	p.errorf(at, TwoReadings, "nothing shows which name in the bracket runs between the limits").Repair = "name it, as in [F(x)]_{x=a}^{x=b}"
	return nil
}
