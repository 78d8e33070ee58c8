package notation

import (
	"fmt"
)

// This file reads integrals with their limits on the sign and their differential at the end.

// An integrand is the body of an integral that ends in its differential.
type integrand struct {
	depth int
	over  *Name // the x of dx, nil until it was read
}

// withLimits reads the forms that carry their limits on their sign, and returns
// nil if t opens none.
func (p *parser) withLimits(t token) Expr {
	isSub := p.tok().kind == tSub
	if t.kind != tLimSign && !(t.kind == tSumSign && isSub) && !(t.kind == tIntSign && (isSub || p.tok().isWord("from"))) {
		return nil
	}
	b := p.bindWithLimits(t)
	if b == nil {
		return p.badExpr(p.since(t.start))
	}
	return p.wrapped(b)
}

// bindWithLimits reads the form that the sign t opens; nil on an error.
func (p *parser) bindWithLimits(t token) *Bind {
	defer p.leave()
	if !p.enter() {
		return nil
	}
	outer := p.integrand
	p.integrand = nil
	defer func() { p.integrand = outer }()
	b := &Bind{Glyph: true}
	switch t.kind {
	case tIntSign:
		b.Kind = Integral
		p.integralWithLimits(b, t)
	case tSumSign:
		b.Kind = Sum
		p.sumWithLimits(b, t)
	default:
		b.Kind, b.Glyph = Limit, false
		p.limitWithPlace(b, t)
	}
	if p.broken {
		return nil
	}
	b.exprPlace = ExprAt(p.since(t.start))
	return b
}

const integralForm = "∫_{0 m}^{L} f(x) dx"

// integralWithLimits reads _A^B or from A to B, and the body with its dx.
func (p *parser) integralWithLimits(b *Bind, t token) {
	if p.gotWord("from") {
		b.From = p.wordEnd()
		p.needWord("to", "∫ from 0 m to L f(x) dx")
		b.To = p.wordEnd()
	} else {
		p.pos++
		b.From = p.end(integralForm)
		b.To = p.upperEnd(integralForm)
	}
	p.integrand = &integrand{depth: p.depth}
	b.Body = p.product()
	over := p.integrand.over
	p.integrand = nil
	if p.broken {
		return
	}
	if over == nil {
		next := p.tok()
		dx := p.differentialAhead()
		if (next.isOp(OpAdd) || next.isOp(OpSub)) && dx != "" {
			p.twoReadings(p.since(t.start), fmt.Sprintf("∫ (… %s …) %s", next.text, dx), fmt.Sprintf("∫ … %s %s …", dx, next.text))
			return
		}
		p.missing("the differential, such as dx,", integralForm)
		return
	}
	b.Var = over
	if next := p.tok(); next.kind == tSuper || next.isOp(OpPow) {
		p.errorf(p.tokenSpan(next), Unexpected, "a differential has no power").Repair = "put the whole integral in brackets to raise it to a power"
	}
}

// isIndefinite reports whether an integral without limits begins here, at its sign
// or just after it: a differential comes before the relation, and no for.
func (p *parser) isIndefinite() bool {
	rest := p.restOfLine()
	if len(rest) > 0 && rest[0].kind == tIntSign {
		rest = rest[1:]
	}
	if p.mode != deriveMode || len(rest) == 0 || rest[0].kind == tSub || rest[0].isWord("from") {
		return false
	}
	depth, found := 0, false
	for i, t := range rest {
		switch {
		case t.kind == tOpen || t.kind == tOpenSquare || t.kind == tOpenBrace:
			depth++
		case t.kind == tClose || t.kind == tCloseSquare || t.kind == tCloseBrace:
			depth--
		}
		switch {
		case depth > 0:
			continue
		case depth < 0 || isRelation(t):
			return found
		case t.isWord("for"):
			return false
		}
		isFactor := i == 0 || rest[i-1].endsOperand() || rest[i-1].kind == tBar || rest[i-1].isOp(OpMul)
		found = found || isFactor && differentialOf(t) != "" && !p.names.defined[Canonical(t.text)]
	}
	return found
}

// indefinite reads ∫ f(x) dx up to the relation after it.
func (p *parser) indefinite() Expr {
	const form = "∫ f(x) dx = F(x) + C"
	t := p.next()
	b := &Bind{Kind: Antiderivative, Glyph: true}
	p.integrand = &integrand{depth: p.depth}
	b.Body = p.product()
	b.Var = p.integrand.over
	p.integrand = nil
	switch {
	case p.broken:
	case b.Var == nil && (p.tok().isOp(OpAdd) || p.tok().isOp(OpSub)):
		p.errorf(p.since(t.start), DeriveLineForm, "a sum that is integrated stands in brackets").
			Repair = fmt.Sprintf("write ∫ (… %s …) %s", p.tok().text, p.differentialAhead())
	case b.Var == nil:
		p.missing("the differential, such as dx,", form)
	case !p.tok().isOp(OpEqual):
		p.missing("“=”", form)
	}
	if p.broken {
		return p.badExpr(p.tokenSpan(t))
	}
	b.exprPlace = ExprAt(p.since(t.start))
	return b
}

// differentialAhead returns the first differential on the rest of the line.
func (p *parser) differentialAhead() string {
	for _, t := range p.restOfLine() {
		if differentialOf(t) != "" {
			return t.text
		}
	}
	return ""
}

// isDifferential reports whether the token at i is the dx of the integrand that
// is being read.
func (p *parser) isDifferential(i int) bool {
	g, t := p.integrand, p.toks[i]
	return g != nil && g.over == nil && g.depth == p.depth && differentialOf(t) != "" &&
		!p.names.defined[Canonical(t.text)] && p.toks[min(i+1, len(p.toks)-1)].kind != tOpen
}

// firstFactor reads the first factor of a product; of ∫ dx/J(x) it is 1.
func (p *parser) firstFactor() Expr {
	if !p.isDifferential(p.pos) {
		return p.sign()
	}
	t := p.tok()
	p.takeDifferential()
	p.node()
	return &Number{exprPlace: ExprAt(p.tokenSpan(t)), Text: "1", Value: 1}
}

// takeDifferential moves past dx or ·dx and keeps its x.
func (p *parser) takeDifferential() bool {
	at := p.pos
	// In a lesson dx may be a name that another cell defines.
	if p.mode == deriveMode && p.tok().isOp(OpMul) && p.peek().kind == tName && !p.toks[at+2].isOp(OpMul) {
		at++
	}
	if !p.isDifferential(at) {
		return false
	}
	x := p.name(p.toks[at])
	x.Ident = differentialOf(p.toks[at])
	p.integrand.over = x
	p.pos = at + 1
	return true
}

// endsIntegrand reports whether an integrand ends before t: its differential was
// read, and no divisor follows.
func (p *parser) endsIntegrand(t token) bool {
	g := p.integrand
	return g != nil && g.over != nil && g.depth == p.depth && !t.isOp(OpDiv)
}
