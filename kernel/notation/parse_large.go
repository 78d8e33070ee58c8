package notation

import (
	"fmt"
)

// This file reads Σ and lim with their limits, and the ends of all such forms.

// sumWithLimits reads _{i=1}^{n} and the body.
func (p *parser) sumWithLimits(b *Bind, t token) {
	const form = "Σ_{i=1}^{n} f(i)"
	p.pos++
	if !p.got(tOpenBrace) {
		p.missing("the bracket {", form)
	}
	b.Var = p.newName(form)
	if !p.tok().isOp(OpEqual) {
		p.missing("“=”", form)
	}
	p.next()
	b.From = p.sum()
	p.closeBrace(form)
	b.To = p.upperEnd(form)
	p.largeBody(b, t)
}

// limitWithPlace reads _{n→∞} and the body.
func (p *parser) limitWithPlace(b *Bind, t token) {
	const form = "lim_{n→∞} f(n)"
	if !p.got(tSub) || !p.got(tOpenBrace) {
		p.missing("_{", form)
	}
	b.Var = p.newName(form)
	if !p.got(tArrow) {
		p.missing("the arrow →", form)
	}
	b.From = p.limitPoint()
	p.closeBrace(form)
	p.largeBody(b, t)
}

// largeBody reads the body of a sum or limit, a product. What is added after it
// might belong to it or not, unless brackets show where it ends.
func (p *parser) largeBody(b *Bind, t token) {
	start := p.tok()
	b.Body = p.product()
	next := p.tok()
	if _, ok := b.Body.(*Paren); ok || p.broken || !next.isOp(OpAdd) && !next.isOp(OpSub) {
		return
	}
	head := p.span(int(t.start), int(start.start)).Content()
	body := b.Body.Span().Content()
	p.twoReadings(p.since(t.start), fmt.Sprintf("%s(%s %s …)", head, body, next.text), fmt.Sprintf("(%s%s) %s …", head, body, next.text))
}

func (p *parser) closeBrace(form string) {
	if !p.got(tCloseBrace) {
		p.missing("the bracket }", form)
	}
}

// upperEnd reads ^B.
func (p *parser) upperEnd(form string) Expr {
	if !p.tok().isOp(OpPow) {
		p.missing("^ with the upper end", form)
	}
	p.next()
	return p.end(form)
}

// end reads an end of a form: in braces or brackets, or one name or number,
// perhaps with a sign.
func (p *parser) end(form string) Expr {
	t := p.tok()
	switch t.kind {
	case tOpenBrace:
		p.pos++
		x := p.limitPoint()
		p.closeBrace(form)
		return x
	case tOpen:
		return p.primary()
	}
	x := p.shortEnd()
	if q, ok := x.(*Quantity); ok && !p.broken {
		return p.twoReadings(q.At, "{"+q.At.Content()+"} for a quantity", q.Number.Text+" "+"(…) for a number before what is integrated")
	}
	if next := p.tok(); next.kind == tSuper || next.isOp(OpPow) && p.before().kind != tSub && p.upper(t) {
		return p.twoReadings(p.tokenSpan(next), "the end in braces, as in ^{b^2}", "the whole form in brackets, as in (…)^2")
	}
	return x
}

// upper reports whether the end that starts with t is the upper one.
func (p *parser) upper(t token) bool {
	i := p.pos - 1
	for i > 0 && p.toks[i].start >= t.start {
		i--
	}
	return p.toks[i].isOp(OpPow)
}

// shortEnd reads one name, number or ∞, perhaps with a sign.
func (p *parser) shortEnd() Expr {
	t := p.tok()
	sign := t
	isSigned := t.isOp(OpSub) || t.isOp(OpAdd)
	if isSigned {
		p.pos++
		t = p.tok()
	}
	p.node()
	var x Expr
	switch {
	case t.kind == tInfinity || t.isName("infinity"):
		p.pos++
		e := &Infinity{ExprAt(p.since(sign.start)), 1}
		if sign.isOp(OpSub) {
			e.Sign = -1
		}
		return e
	case t.kind == tNumber:
		x = p.number()
	case t.kind == tFraction:
		x = p.vulgarFraction()
	case t.kind == tName && !p.isBuiltin(t):
		p.pos++
		x = p.name(t)
	default:
		p.noOperand()
		return p.badExpr(p.tokenSpan(t))
	}
	if !isSigned {
		return x
	}
	p.node()
	op := OpPos
	if sign.isOp(OpSub) {
		op = OpNeg
	}
	return &Unary{ExprAt(p.since(sign.start)), op, x}
}

// wordEnd reads an end after from or to, where nothing shows where it ends but
// that it is short.
func (p *parser) wordEnd() Expr {
	if p.tok().kind == tOpen {
		return p.primary()
	}
	x := p.shortEnd()
	if next := p.tok(); next.kind == tOpen && !next.space && !p.broken {
		if _, ok := x.(*Name); ok {
			name := x.Span().Content()
			return p.twoReadings(p.tokenSpan(next), "∫_{…}^{"+name+"} (…) dx", "∫_{…}^{"+name+"(…)} … dx")
		}
	}
	return x
}
