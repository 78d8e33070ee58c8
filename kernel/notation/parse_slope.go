package notation

// This file reads derivatives as a blackboard has them: dθ/dx, d/dx(…) and θ′(x).

// isRate reports whether a line begins with dθ/dx =.
func isRate(toks []token) bool {
	return len(toks) > 3 && differentialOf(toks[0]) != "" && toks[1].isOp(OpDiv) &&
		differentialOf(toks[2]) != "" && toks[3].isOp(OpEqual)
}

// rate reads dθ/dx = or θ′(x) = at the start of a line, up to the right side.
func (p *parser) rate() *DeriveDefine {
	toks := p.restOfLine()
	d := &DeriveDefine{}
	switch {
	case isRate(toks):
		d.Name, d.Over = p.name(toks[0]), p.name(toks[2])
		p.pos += 4
	case len(toks) > 5 && toks[1].kind == tPrime && toks[2].kind == tOpen && toks[3].kind == tName &&
		toks[4].kind == tClose && toks[5].isOp(OpEqual) && p.names.functions[Canonical(toks[0].text)] == "" && isPair(toks[0], toks[3]):
		d.Name, d.Over = p.name(toks[0]), p.name(toks[3])
		d.Name.Ident, d.Over.Ident = "d"+d.Name.Ident, "d"+d.Over.Ident
		p.pos += 6
	default:
		return nil
	}
	return d
}

// isPair reports whether dθ and dx are names that θ and x can be read from again.
func isPair(θ, x token) bool {
	for _, t := range []token{θ, x} {
		d := token{kind: tName, text: "d" + Canonical(t.text)}
		if reserved[d.text] || differentialOf(d) != Canonical(t.text) {
			return false
		}
	}
	return true
}

// derivativeForm reads d/dx(…), θ′(x), and dθ/dx where θ is a function of the
// derivation; nil if none of them stands here.
func (p *parser) derivativeForm() Expr {
	if p.mode != deriveMode {
		return nil
	}
	t, rest := p.tok(), p.toks[p.pos:]
	b := &Bind{Kind: Derivative}
	switch {
	case p.peek().kind == tPrime:
		p.primeForm(b)
	case len(rest) > 3 && rest[1].isOp(OpDiv) && differentialOf(rest[2]) != "":
		x := p.name(rest[2])
		x.Ident = differentialOf(rest[2])
		b.Var, b.From = x, x
		ident := differentialOf(t)
		switch {
		case t.text == "d" && rest[3].kind == tOpen && p.names.functions[Canonical(rest[2].text)] == "":
			p.pos += 4
			b.Body = p.expression()
			p.close(rest[3])
		case t.text == "d" && p.isSlopeOfCall(rest):
			p.pos += 3
			b.Body = p.primary()
		case p.names.functions[ident] != "" && !p.names.defined[Canonical(t.text)]:
			p.pos += 3
			at := ExprAt(p.since(t.start))
			fun := p.name(t)
			fun.Ident = ident
			p.node()
			b.Body = &Call{at, fun, []Expr{x}}
		default:
			return nil
		}
	default:
		return nil
	}
	if p.broken {
		return p.badExpr(p.since(t.start))
	}
	b.exprPlace = ExprAt(p.since(t.start))
	return p.wrapped(b)
}

// isSlopeOfCall reports whether d/dx T(x) stands here, with nothing behind it that could
// be differentiated too.
func (p *parser) isSlopeOfCall(toks []token) bool {
	if len(toks) < 6 || toks[3].kind != tName || toks[4].kind != tOpen || !toks[3].space ||
		p.names.functions[Canonical(toks[3].text)] == "" || p.names.defined["d"] || p.names.defined[Canonical(toks[2].text)] {
		return false
	}
	depth := 0
	for i, t := range toks[4:] {
		switch t.kind {
		case tOpen:
			depth++
		case tClose:
			depth--
		case tEnd:
			return false
		}
		if depth == 0 {
			next := toks[4+i+1]
			return next.kind == tEnd || next.kind == tReason || next.kind == tClose || isComparison(next) || next.isOp(OpApprox) ||
				next.isOp(OpAdd) || next.isOp(OpSub)
		}
	}
	return false
}

// primeForm reads θ′(a): the derivative of θ(x) at a.
func (p *parser) primeForm(b *Bind) {
	t := p.next()
	fun := p.name(t)
	p.pos++
	args := p.arguments(t)
	if p.broken {
		return
	}
	if len(args) != 1 {
		p.errorf(p.since(t.start), Unexpected, "the mark ′ stands for the derivative of a function of one argument").Repair = "write derivative of … for x at …"
		return
	}
	b.From = args[0]
	// The parameter of the function is the one name that its body cannot take
	// from outside.
	x := p.name(t)
	x.Ident = p.names.functions[fun.Ident]
	if name, ok := b.From.(*Name); ok && (x.Ident == "" || x.Ident == name.Ident) {
		x = name
	} else if x.Ident == "" {
		x.Ident = "x"
	}
	p.node()
	b.Var, b.Body = x, &Call{ExprAt(p.since(t.start)), fun, []Expr{x}}
}
