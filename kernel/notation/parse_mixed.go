package notation

// This file reads mixed numbers, 1 1/2 in and 3½ in, as sums.

// mixedNumber reads the fraction after a whole number, and the unit of both; t is the
// token of n. It returns nil if there is no fraction.
func (p *parser) mixedNumber(t token, n *Number) Expr {
	if !hasOnlyDigits(n.Text) || p.pos > 1 && p.toks[p.pos-2].isOp(OpPow) {
		return nil
	}
	var fraction Expr
	var text string
	switch u := p.tok(); {
	case u.kind == tFraction && (p.peek().kind == tUnit || !p.touches(p.peek())):
		text = u.text
		fraction = p.vulgarFraction()
	case p.isPlainFraction():
		p.pos += 3
		above, below := p.toks[p.pos-3], p.toks[p.pos-1]
		p.node()
		p.node()
		p.node()
		fraction = &Binary{exprPlace: ExprAt(p.span(int(above.start), int(below.end))), Op: OpDiv, OpAt: p.tokenSpan(p.toks[p.pos-2]),
			X: p.digits(above), Y: p.digits(below)}
		text = fraction.Span().Content()
	case p.isHyphenFraction():
		rest := p.toks[p.pos:]
		share, symbol := p.span(int(rest[1].start), int(rest[3].end)).Content(), p.sc.units[rest[4].aux].Text
		d := p.errorf(p.span(n.At.Start, int(rest[4].end)), TwoReadings, "the hyphen may join a whole number and a fraction, or subtract")
		mixed, difference := "("+n.Text+" + "+share+")·(1 "+symbol+")", "("+n.Text+" − "+share+")·(1 "+symbol+")"
		d.Repair = "write " + mixed + " or " + difference + ", whichever is meant"
		d.Choose(d.Span, mixed).Choose(d.Span, difference)
		return p.badExpr(d.Span)
	default:
		return nil
	}
	p.node()
	at := ExprAt(p.since(t.start))
	sum := &Paren{at, &Binary{exprPlace: at, Op: OpAdd, OpAt: p.span(n.At.End, n.At.End), X: n, Y: fraction}}
	text = "(" + n.Text + " + " + text + ")"
	if p.tok().kind == tUnit {
		return p.timesUnit(t, sum, text)
	}
	p.reads(MixedUnits, at.At, edit{at.At.Start, at.At.End, text})
	return sum
}

// ofRulers holds the divisors of mixed numbers; 1 2/420 is sooner a blank within 12.
var ofRulers = makeSet("2 3 4 8 16 32 64")

// isPlainFraction reports whether 1/2 follows, behind a blank and without one inside,
// less than 1.
func (p *parser) isPlainFraction() bool {
	rest := p.toks[p.pos:]
	if len(rest) < 4 || rest[0].kind != tNumber || !rest[0].space || !rest[1].isOp(OpDiv) || rest[1].space || rest[2].kind != tNumber || rest[2].space {
		return false
	}
	return hasOnlyDigits(rest[0].text) && ofRulers[rest[2].text] && p.sc.numbers[rest[0].aux] < p.sc.numbers[rest[2].aux]
}

// isHyphenFraction reports whether -1/2 in follows, without a blank before the unit:
// 1-1/2 in is one and a half inches in the United States.
func (p *parser) isHyphenFraction() bool {
	rest := p.toks[p.pos:]
	if len(rest) < 6 || !rest[0].isOp(OpSub) || rest[0].space || rest[1].kind != tNumber || rest[1].space || !rest[2].isOp(OpDiv) || rest[2].space || rest[3].kind != tNumber || rest[3].space || rest[4].kind != tUnit {
		return false
	}
	symbol := p.sc.units[rest[4].aux].Text
	return (symbol == "in" || symbol == "ft") && hasOnlyDigits(rest[1].text) && hasOnlyDigits(rest[3].text) && p.sc.numbers[rest[1].aux] < p.sc.numbers[rest[3].aux]
}

// digits makes a number of a token.
func (p *parser) digits(t token) *Number {
	return &Number{exprPlace: ExprAt(p.tokenSpan(t)), Text: t.text, Value: p.sc.numbers[t.aux]}
}

// timesUnit multiplies a number that begins with the token t, and is spelled text, by
// the unit that follows it. Behind a sign of another operation the product is in
// brackets.
func (p *parser) timesUnit(t token, x Expr, text string) Expr {
	i := p.pos - 1
	for i > 0 && p.toks[i].start > t.start {
		i--
	}
	ref := p.sc.units[p.next().aux]
	p.node()
	p.node()
	one := &Number{exprPlace: ExprAt(ref.At), Text: "1", Value: 1}
	unit := &Paren{ExprAt(ref.At), &Quantity{ExprAt(ref.At), one, ref}}
	at := ExprAt(p.since(t.start))
	text += "·(1 " + ref.Text + ")"
	var z Expr = &Binary{exprPlace: at, Op: OpMul, OpAt: p.span(ref.At.Start, ref.At.Start), X: x, Y: unit}
	if b := p.toks[max(i-1, 0)]; b.isOp(OpDiv) || b.isOp(OpMul) || b.isOp(OpPow) || p.tok().isOp(OpPow) {
		z, text = &Paren{at, z}, "("+text+")"
	}
	p.reads(MixedUnits, at.At, edit{at.At.Start, at.At.End, text})
	return z
}

// mixedFraction reads 12' 3 1/2" as a sum, where q is the 12'; nil if that is not
// written here.
func (p *parser) mixedFraction(q *Quantity) Expr {
	rest := p.toks[p.pos:]
	if !goesOn[q.Unit.Text] || len(rest) < 6 || rest[0].kind != tNumber || rest[4].kind != tUnit || p.sc.units[rest[4].aux].Unit.Dim != q.Unit.Unit.Dim {
		return nil
	}
	p.pos++
	isFraction := p.isPlainFraction()
	p.pos--
	if !isFraction {
		return nil
	}
	gap := p.gap()
	y := p.number()
	p.node()
	at := ExprAt(q.At.To(y.Span()))
	p.reads(MixedUnits, at.At, edit{q.At.Start, q.At.Start, "("}, edit{gap.Start, gap.End, " + "}, edit{at.At.End, at.At.End, ")"})
	return &Paren{at, &Binary{exprPlace: at, Op: OpAdd, OpAt: gap, X: q, Y: y}}
}
