package notation

import "fmt"

// This file reads what may stand behind a side of a line of a derivation: a unit,
// as in 16·T/(π·d^3) MPa with numbers for names, and the small name of ≈.

// side reads one side of a line: a value, perhaps with a unit behind a product.
func (p *parser) side() Expr {
	x := p.plusMinus()
	t := p.tok()
	if p.broken || !p.unitBehind(t) {
		return x
	}
	if sum, ok := x.(*Binary); ok && (sum.Op == OpAdd || sum.Op == OpSub) {
		unit := p.unit().Text
		text := sum.At.Content()
		return p.twoReadings(sum.At, fmt.Sprintf("(%s) %s", text, unit), "the unit behind each number")
	}
	u := p.unit()
	if p.broken {
		return p.badExpr(x.Span())
	}
	p.node()
	p.node()
	at := ExprAt(u.At)
	q := &Quantity{at, &Number{exprPlace: at, Text: "1", Value: 1}, u}
	return &Binary{exprPlace: ExprAt(x.Span().To(u.At)), Op: OpMul, OpAt: u.At, X: x, Y: q, UnitBehind: true}
}

// unitBehind reports whether a unit begins with t that reaches to the end of a
// side: after a space, with a symbol that is not a name of the derivation.
func (p *parser) unitBehind(t token) bool {
	if p.mode != deriveMode || t.kind != tName && t.kind != tDegree || !t.space || p.names.defined[Canonical(t.text)] ||
		p.names.bound[Canonical(t.text)] || !symbolAt(p.sc.src, int(t.start)) || p.integrand != nil || p.before().kind == tUnit {
		return false
	}
	n := len(p.sc.reads)
	_, end, err := p.sc.readUnit(int(t.start))
	p.sc.reads = p.sc.reads[:n]
	if err != nil {
		return false
	}
	i := p.pos
	for int(p.toks[i].start) < end && p.toks[i].kind != tEnd {
		i++
	}
	next := p.toks[i]
	switch {
	case next.kind == tEnd || next.kind == tReason || isRelation(next):
		return true
	}
	return next.isWord("for") || next.isWord("with")
}

// isSmall reports whether for small k or for k ≪ 1 comes next.
func (p *parser) isSmall() bool {
	if !p.tok().isWord("for") {
		return false
	}
	if p.peek().kind != tName {
		return false
	}
	after := p.toks[p.pos+2]
	return p.peek().isName("small") && after.kind == tName || after.kind == tMuchLess
}

// small reads for small k, or for t ≪ d.
func (p *parser) small(s *DeriveStep) {
	const form = "≈ 1 + 4·k for small k"
	at := p.next()
	if p.tok().isName("small") && p.peek().kind == tName {
		p.pos++
		s.Small = p.newName(form)
	} else {
		s.Small = p.newName(form)
		p.pos++
		s.SmallTo = p.sum()
	}
	if s.Op != OpApprox && !p.broken {
		p.errorf(p.since(at.start), DeriveLineForm, "what is small matters only to a step with ≈").Repair = "write ≈ in place of " + s.Op.String() + ", or leave out what follows for"
	}
}

// isFactorial reports whether a form was written n!.
func isFactorial(e *Bind) bool { return e.Kind == Product && e.Glyph }

// IsFactorial reports whether e is n!, and returns the n.
func IsFactorial(e Expr) (Expr, bool) {
	b, ok := e.(*Bind)
	if !ok || !isFactorial(b) {
		return nil, false
	}
	return b.To, true
}

// factorial reads the ! after an operand.
func (p *parser) factorial(x Expr) Expr {
	t := p.tok()
	if t.kind != tFactorial || p.broken {
		return x
	}
	p.pos++
	if p.tok().kind == tFactorial {
		p.twoReadings(p.since(int32(x.Span().Start)), "("+x.Span().Content()+"!)!", "a product of every second number")
		return x
	}
	at := ExprAt(p.tokenSpan(t))
	for range 3 {
		p.node()
	}
	i := func() *Name { return &Name{at, "i"} }
	return &Bind{exprPlace: ExprAt(x.Span().To(p.tokenSpan(t))), Kind: Product, Body: i(), Var: i(),
		From: &Number{exprPlace: at, Text: "1", Value: 1}, To: x, Glyph: true}
}
