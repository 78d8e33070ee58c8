package notation

var bindKinds = map[string]BindKind{
	"sum": Sum, "product": Product, "integral": Integral, "derivative": Derivative,
	"root": FindRoot, "largest": Largest, "smallest": Smallest, "limit": Limit,
}

// bindForm reads a form that binds a name, by its word or by its glyph.
func (p *parser) bindForm() Expr {
	t := p.next()
	if b := p.withLimits(t); b != nil {
		return b
	}
	if t.kind == tIntSign && p.isIndefinite() {
		p.errorf(p.tokenSpan(t), DeriveLineForm, "an integral without limits can be used only at the beginning of a line").
			Repair = "write " + integralForm + ", or ∫ f(x) dx = F(x) + C on a line of its own"
		return p.badExpr(p.tokenSpan(t))
	}
	b := &Bind{Glyph: t.kind != tWord}
	switch t.kind {
	case tSumSign:
		b.Kind = Sum
	case tIntSign:
		b.Kind = Integral
	default:
		b.Kind = bindKinds[t.text]
	}
	form := bindExample(b.Kind, b.Glyph)
	if !b.Glyph && !p.needWord("of", form) {
		return p.badExpr(p.tokenSpan(t))
	}
	b.Body = p.expression()
	word := "for"
	if b.Kind == Limit {
		word = "as"
	}
	if !p.needWord(word, form) {
		return p.badExpr(p.since(t.start))
	}
	b.Var = p.newName(form)
	switch b.Kind {
	case Limit:
		if !p.got(tArrow) {
			p.missing("the arrow →", form)
		}
		b.From = p.limitPoint()
	case Derivative:
		p.needWord("at", form)
		b.From = p.sum()
	default:
		bound := p.sum
		if b.Kind == Integral {
			bound = p.limitPoint
		}
		p.needWord("from", form)
		b.From = bound()
		p.needWord("to", form)
		b.To = bound()
	}
	b.exprPlace = ExprAt(p.since(t.start))
	return b
}

// bindExample returns a whole form as it may be written.
func bindExample(k BindKind, glyph bool) string {
	head := k.String() + " of f(x)"
	if glyph {
		head = map[BindKind]string{Sum: "∑ f(x)", Integral: "∫ f(x)"}[k]
	}
	switch k {
	case Limit:
		return head + " as x → 0"
	case Derivative:
		return head + " for x at 0"
	}
	return head + " for x from 0 to 1"
}

// limitPoint reads where a limit is taken, or an end of an integral: a value, or
// infinity.
func (p *parser) limitPoint() Expr {
	start := p.tok()
	i, sign := p.pos, 1
	if start.isOp(OpSub) || start.isOp(OpAdd) {
		if start.op == OpSub {
			sign = -1
		}
		i++
	}
	if t := p.toks[i]; t.kind != tInfinity && !t.isName("infinity") {
		return p.sum()
	}
	p.pos = i + 1
	p.node()
	return &Infinity{ExprAt(p.since(start.start)), sign}
}

// ifForm reads "if c then a else b".
func (p *parser) ifForm() Expr {
	const form = "if a < b then a else b"
	t := p.next()
	f := &If{Cond: p.expression()}
	p.needWord("then", form)
	f.Then = p.expression()
	p.needWord("else", form)
	f.Else = p.expression()
	f.exprPlace = ExprAt(p.since(t.start))
	return f
}

// between reads "between a and b".
func (p *parser) between() Expr {
	t := p.next()
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(t))
	}
	b := &Between{Low: p.sum()}
	p.needWord("and", "between a and b")
	b.High = p.sum()
	p.leave()
	b.exprPlace = ExprAt(p.since(t.start))
	return b
}

// newName reads a name that is bound or defined here.
func (p *parser) newName(form string) *Name {
	t := p.tok()
	switch {
	case t.kind == tWord:
		p.errorf(p.tokenSpan(t), ReservedName, "“%s” is a word of the notation and cannot be a name", t.text).Repair = "choose another name, perhaps " + t.text + "_1"
	case t.kind != tName:
		p.missing("a name", form)
	case p.isBuiltin(t):
		p.errorf(p.tokenSpan(t), BuiltinName, "“%s” is the name of a function and cannot be given another meaning", t.text).Repair = "choose another name, perhaps " + t.text + "_1"
	case t.text == "π" || t.text == "pi":
		p.errorf(p.tokenSpan(t), BuiltinName, "π is the number 3.14159… and cannot be given another meaning").Repair = "choose another name, perhaps π_1"
	default:
		p.pos++
	}
	return p.name(t)
}

func (p *parser) isBuiltin(t token) bool {
	if t.kind != tName {
		return false
	}
	_, ok := builtins[t.text]
	return ok
}
