package notation

// The levels of precedence, from loose to tight, each in a function:
//
//	or · and · not · comparison · ± · + − · · / · sign, √ · ^ · primary

// expression reads an expression of any form.
func (p *parser) expression() Expr {
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(p.tok()))
	}
	x := p.and()
	for p.tok().isWord("or") {
		p.pos++
		y := p.and()
		p.node()
		x = &Logic{exprPlace: ExprAt(x.Span().To(y.Span())), Op: OpOr, X: x, Y: y}
	}
	p.leave()
	return x
}

func (p *parser) and() Expr {
	x := p.not()
	for p.tok().isWord("and") {
		p.pos++
		y := p.not()
		p.node()
		x = &Logic{exprPlace: ExprAt(x.Span().To(y.Span())), Op: OpAnd, X: x, Y: y}
	}
	return x
}

func (p *parser) not() Expr {
	t := p.tok()
	if !t.isWord("not") {
		return p.comparison()
	}
	p.pos++
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(t))
	}
	x := p.not()
	p.leave()
	p.node()
	return &Logic{exprPlace: ExprAt(p.tokenSpan(t).To(x.Span())), Op: OpNot, X: x}
}

func isComparison(t token) bool {
	return t.kind == tOp && OpLess <= t.op && t.op <= OpNotEqual
}

func (p *parser) comparison() Expr {
	x := p.plusMinus()
	if !isComparison(p.tok()) {
		return x
	}
	c := &Compare{Xs: []Expr{x}}
	for isComparison(p.tok()) {
		t := p.next()
		c.Ops = append(c.Ops, t.op)
		c.OpAt = append(c.OpAt, p.tokenSpan(t))
		c.Xs = append(c.Xs, p.plusMinus())
		p.node()
	}
	c.exprPlace = ExprAt(x.Span().To(c.Xs[len(c.Xs)-1].Span()))
	return c
}

func (p *parser) plusMinus() Expr {
	x := p.sum()
	if p.tok().kind != tPlusMin {
		return x
	}
	p.pos++
	y := p.sum()
	p.node()
	if t := p.tok(); t.kind == tPlusMin {
		p.errorf(p.tokenSpan(t), Unexpected, "a bracket has only one ±").Repair = "put one of them in brackets: (36 mm ± 0.1 mm) ± 0.2 mm"
	}
	return &PlusMinus{exprPlace: ExprAt(x.Span().To(y.Span())), Mid: x, Half: y}
}

// sum reads terms joined by + and −: the level of the operands of from, to,
// at and between.
func (p *parser) sum() Expr {
	x := p.product()
	for {
		t := p.tok()
		if !t.isOp(OpAdd) && !t.isOp(OpSub) {
			return x
		}
		p.pos++
		sign := p.tok()
		isPair := (sign.isOp(OpSub) || sign.isOp(OpAdd)) && sign.op != t.op
		y := p.product()
		if isPair && p.askPlusMinus(x, t, sign, y) {
			return x
		}
		x = p.binary(t, x, y)
	}
}

// askPlusMinus asks of 36 mm +-0.1 mm whether the two signs are a ±, where they touch
// one another or stand between two literals. It reports whether it has asked.
func (p *parser) askPlusMinus(x Expr, plus, minus token, y Expr) bool {
	u, ok := y.(*Unary)
	if !ok || p.broken {
		return false
	}
	if minus.space {
		_, isMid := x.(*Quantity)
		_, isHalf := u.X.(*Quantity)
		if !isMid || !isHalf || p.sc.src[minus.end] != ' ' {
			return false
		}
	}
	half := u.X.Span().Content()
	at := p.span(int(plus.start), y.Span().End)
	d := p.errorf(at, TwoReadings, "two signs may be a ±, or a number with a sign of its own")
	d.Repair = "write ± " + half + ", or − " + half
	d.Choose(at, "± "+half).Choose(at, "− "+half)
	return true
}

func (p *parser) product() Expr {
	start, from := p.pos, len(p.sc.reads)
	x := p.factors(start)
	p.noteRaisedPoint(x)
	if len(p.sc.reads) > from {
		p.readAsProduct(from, start)
	}
	return x
}

// factors reads the factors of a product, whose first token is at index start.
func (p *parser) factors(start int) Expr {
	x := p.firstFactor()
	divided := -1 // index of the / before, if what it divides by is easily misread
	over := -1    // index of the / before the last factor
	for {
		if p.takeDifferential() {
			divided = -1
		}
		t := p.tok()
		if p.endsIntegrand(t) {
			return x
		}
		if p.isRatio(t) {
			at := p.tokenSpan(t)
			p.reads(ForeignOperator, p.span(int(p.toks[start].start), int(p.peek().end)), edit{at.Start, at.End, "/"})
			t.kind, t.op = tOp, OpDiv
		}
		if !t.isOp(OpMul) && !t.isOp(OpDiv) {
			if !p.touches(t) || p.unitBehind(t) {
				return x
			}
			z, ok := p.implicit(x, t, start, over)
			if !ok {
				return z
			}
			x, divided, over = z, -1, -1
			continue
		}
		at := p.pos
		p.pos++
		y := p.sign()
		p.noteQuotient(x, t, y, divided, at)
		p.noteLostPower(x, t, y)
		divided, over = -1, -1
		if t.op == OpDiv {
			over = at
		}
		if t.op == OpDiv && misreadDivisor(y) {
			divided = at
		}
		if p.sc.choice.Fraction && t.op == OpDiv {
			if z := p.fractionOfUnit(t, x, y); z != nil {
				x, divided, over = z, -1, -1
				continue
			}
		}
		x = p.binary(t, x, y)
	}
}

// touches reports whether t starts an operand directly after another.
func (p *parser) touches(t token) bool {
	if !t.startsOperand() || p.broken || p.mode == shaftMode && t.kind == tNumber || p.isMisspeltInner(t) {
		return false
	}
	return t.kind != tName || !follows[p.mode][t.text]
}

func (p *parser) binary(t token, x, y Expr) Expr {
	p.node()
	return &Binary{exprPlace: ExprAt(x.Span().To(y.Span())), Op: t.op, OpAt: p.tokenSpan(t), X: x, Y: y}
}

// sign reads −x, +x and √x, which reach over a power: −x^2 is −(x²).
func (p *parser) sign() Expr {
	t := p.tok()
	isSign := t.isOp(OpSub) || t.isOp(OpAdd)
	if !isSign && t.kind != tRoot && t.kind != tCubeRoot {
		return p.power()
	}
	p.pos++
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(t))
	}
	x := p.sign()
	p.leave()
	p.node()
	at := ExprAt(p.tokenSpan(t).To(x.Span()))
	switch {
	case t.kind == tRoot:
		return &Root{at, x}
	case t.kind == tCubeRoot:
		return p.cubeRoot(t, x)
	case t.op == OpSub:
		return &Unary{at, OpNeg, x}
	}
	return &Unary{at, OpPos, x}
}

func (p *parser) power() Expr {
	x := p.factorial(p.primary())
	p.factor = x.Span()
	t := p.tok()
	if t.kind == tSuper {
		p.pos++
		p.checkBase(x, t)
		return p.exponential(x, p.superscript(x, t))
	}
	if !t.isOp(OpPow) {
		return x
	}
	p.pos++
	p.checkBase(x, t)
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(t))
	}
	y := p.sign()
	p.leave()
	if z := p.powerOfTenQuantity(t, x, y); z != nil {
		return z
	}
	p.checkExponent(y)
	z := p.exponential(x, p.binary(t, x, y))
	p.factor = z.Span()
	p.askRoot(t, y)
	return z
}

// superscript makes the power of a superscript number: d⁴, s⁻².
func (p *parser) superscript(x Expr, t token) Expr {
	text := superscriptText(t.text)
	if !hasDigit(text) {
		p.errorf(p.tokenSpan(t), Unfinished, "the superscript sign has no digit after it").Repair = "write x⁻¹ or x^-1"
		return p.badExpr(p.tokenSpan(t))
	}
	if len(text) > maxSuperscript {
		p.errorf(p.tokenSpan(t), LiteralTooLong, "this exponent has more than %d digits", maxSuperscript)
		return p.badExpr(p.tokenSpan(t))
	}
	value := 0.0
	digits := text
	if text[0] == '-' {
		digits = text[1:]
	}
	for _, c := range digits {
		value = float64(value*10) + float64(c-'0')
	}
	p.node()
	var y Expr = &Number{exprPlace: ExprAt(p.tokenSpan(t)), Text: digits, Value: value}
	if text[0] == '-' {
		p.node()
		y = &Unary{exprPlace: ExprAt(p.tokenSpan(t)), Op: OpNeg, X: y}
	}
	p.node()
	z := &Binary{exprPlace: ExprAt(x.Span().To(p.tokenSpan(t))), Op: OpPow, OpAt: p.tokenSpan(t), X: x, Y: y, Superscript: true}
	p.factor = z.Span()
	if again := p.tok(); again.kind == tSuper || again.isOp(OpPow) {
		p.errorf(p.tokenSpan(again), Unexpected, "a power of a power needs brackets here").Repair = "write (" + z.Span().Content() + ")^…, or one exponent"
	}
	return z
}

const maxSuperscript = 6 // digits

func (p *parser) primary() Expr {
	t := p.tok()
	p.node()
	if p.broken {
		return p.badExpr(p.tokenSpan(t))
	}
	switch t.kind {
	case tNumber:
		return p.number()
	case tName:
		return p.nameOrCall()
	case tOpen:
		p.pos++
		x := p.expression()
		p.close(t)
		return &Paren{ExprAt(p.since(t.start)), x}
	case tBar:
		p.pos++
		x := p.expression()
		if !p.got(tBar) {
			p.unclosed(t, "the bar |")
		}
		return &Abs{ExprAt(p.since(t.start)), x}
	case tFraction:
		x := p.vulgarFraction()
		if p.tok().kind != tUnit {
			return x
		}
		return p.timesUnit(t, x, t.text)
	case tOpenBrace:
		p.pos++
		x := p.expression()
		if !p.got(tCloseBrace) {
			p.unclosed(t, "the bracket {")
		}
		return &Paren{ExprAt(p.since(t.start)), x}
	case tOpenSquare:
		return p.change()
	case tSumSign, tIntSign, tLimSign:
		return p.bindForm()
	case tWord:
		switch {
		case t.text == "if":
			return p.ifForm()
		case t.text == "between":
			return p.between()
		case opensForm[t.text]:
			return p.bindForm()
		}
	}
	p.noOperand()
	return p.badExpr(p.tokenSpan(t))
}

func (p *parser) number() Expr {
	t := p.next()
	n := &Number{exprPlace: ExprAt(p.tokenSpan(t)), Text: replaced(pastedSigns, t.text), Value: p.sc.numbers[t.aux]}
	u := p.tok()
	if u.kind != tUnit {
		if z := p.mixedNumber(t, n); z != nil {
			return z
		}
		p.notePowerOfTen(n)
		return n
	}
	p.pos++
	p.node()
	q := &Quantity{ExprAt(p.since(t.start)), n, p.sc.units[u.aux]}
	if p.mode != shaftMode && p.tok().kind == tNumber {
		return p.mixed(q)
	}
	if p.tok().isOp(OpSub) && p.hyphenMixed(q) {
		return p.badExpr(q.At)
	}
	p.noteArc(q)
	return q
}

func (p *parser) nameOrCall() Expr {
	if d := p.derivativeForm(); d != nil {
		return d
	}
	t := p.next()
	if z := p.functionPower(t); z != nil {
		return z
	}
	name := p.name(t)
	open := p.tok()
	switch open.kind {
	case tOpen:
		if name.Ident == "π" || p.isProductWith(name, open) {
			return name
		}
		args := p.arguments(t)
		return &Call{ExprAt(p.since(t.start)), name, args}
	case tDot:
		return p.field(name)
	}
	if p.isBuiltin(t) {
		if x := p.bareArgument(t); x != nil {
			return &Call{ExprAt(p.since(t.start)), name, []Expr{x}}
		}
	}
	return name
}

// field reads .twist or .twist(x) after a name.
func (p *parser) field(name *Name) Expr {
	p.next()
	t := p.tok()
	if t.kind != tName && t.kind != tWord {
		p.errorf(p.tokenSpan(t), Unexpected, "the name of a field must follow the point").Repair = "write " + name.Ident + ".twist"
		return p.badExpr(p.tokenSpan(t))
	}
	p.pos++
	f := &Field{X: name, Field: Canonical(t.text), FieldAt: p.tokenSpan(t)}
	if p.tok().kind == tOpen {
		f.HasArgs = true
		f.Args = p.arguments(t)
	}
	f.exprPlace = ExprAt(p.since(int32(name.At.Start)))
	return f
}

// arguments reads ( x, y ); fun is the token before the bracket.
func (p *parser) arguments(fun token) []Expr {
	open := p.next()
	if p.got(tClose) {
		return nil
	}
	args := []Expr{p.expression()}
	for p.got(tComma) {
		args = append(args, p.expression())
	}
	p.close(open)
	p.checkArguments(fun, args)
	return args
}

func (p *parser) close(open token) {
	if !p.got(tClose) {
		p.unclosed(open, "the bracket (")
	}
}
