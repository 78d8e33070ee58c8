package notation

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// This file reads what is written otherwise on a blackboard. Each form becomes
// one of the nodes that the words of the notation give too, so that nothing
// behind the parser needs to know of it.

// names holds the names that a derivation brings in, so that e, dx and the like
// keep the meaning that the writer gives them.
type names struct {
	defined   map[string]bool   // given or defined
	bound     map[string]bool   // parameters, and names of forms
	functions map[string]string // defined with one parameter, which it gives
}

// namesOf looks through the lines of a derivation.
func namesOf(toks []token) names {
	n := names{map[string]bool{}, map[string]bool{}, map[string]string{}}
	for len(toks) > 0 {
		end := slices.IndexFunc(toks, func(t token) bool { return t.kind == tEnd })
		n.line(toks[:end+1])
		toks = toks[end+1:]
	}
	return n
}

// line takes the names of one line, which ends in tEnd.
func (n names) line(toks []token) {
	if toks[0].kind == tTherefore {
		toks = toks[1:]
	}
	for i, t := range toks[1:] {
		if word := toks[i].text; t.kind == tName && (word == "for" || word == "as" || word == "with") {
			n.bound[Canonical(t.text)] = true
		}
	}
	switch first := toks[0]; {
	case first.isWord("given"):
		for i, t := range toks[1:] {
			// What follows a colon is a dimension.
			if t.kind == tName && toks[i].kind != tColon {
				n.defined[Canonical(t.text)] = true
			}
		}
	case first.kind != tName:
	case isRate(toks):
		n.defined[Canonical(first.text)] = true
	default:
		head := definitionHead(toks)
		if !toks[head].isOp(OpEqual) {
			return
		}
		n.defined[Canonical(first.text)] = true
		for _, t := range toks[1:head] {
			if t.kind == tName {
				n.bound[Canonical(t.text)] = true
			}
		}
		if _, known := n.functions[Canonical(first.text)]; head == 4 && !known {
			n.functions[Canonical(first.text)] = Canonical(toks[2].text)
		}
	}
}

// differentialOf returns x for dx, "" if a token is not such a name.
func differentialOf(t token) string {
	rest, ok := strings.CutPrefix(t.text, "d")
	if r, _ := utf8.DecodeRuneInString(rest); t.kind != tName || !ok || !unicode.IsLetter(r) || !isCanonicalD(t.text) {
		return ""
	}
	if rest = Canonical(rest); !canBeDefined(rest) {
		return ""
	}
	return rest
}

// isCanonicalD reports whether a name with a d in front keeps it: delta is δ.
func isCanonicalD(name string) bool { return Canonical(name)[0] == 'd' }

// canBeDefined reports whether a name may be given a meaning.
func canBeDefined(name string) bool {
	_, isFunction := builtins[name]
	return !reserved[name] && !isFunction && name != "π"
}

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

// isApplied reports whether a line begins with d(0 m) =, where d is a function of
// the derivation: a claim, since a function is defined for a name.
func (p *parser) isApplied(head int) bool {
	toks := p.toks[p.pos:head]
	return len(toks) > 3 && p.names.functions[Canonical(toks[0].text)] != "" && !(len(toks) == 4 && toks[2].kind == tName)
}

// withLead puts the sign ⇒ or ∴ before the first of the lines.
func withLead(lines []DeriveLine, lead string) {
	if len(lines) == 0 {
		return
	}
	switch s := lines[0].(type) {
	case *DeriveDefine:
		s.Lead = lead
	case *DeriveStep:
		s.Lead = lead
	}
}

// constants reads the names after for constant.
func (p *parser) constants(s *DeriveStep) {
	for {
		s.Constant = append(s.Constant, p.newName("∝ L/d^4 for constant T, G"))
		if p.broken || !p.got(tComma) {
			return
		}
	}
}

// twoReadings reports a text that can be read in two ways.
func (p *parser) twoReadings(at source.Span, one, other string) Expr {
	p.errorf(at, TwoReadings, "this can be read in two ways").Repair = fmt.Sprintf("write %s or %s, whichever is meant", one, other)
	return p.badExpr(at)
}

// wrapped puts a form that reaches far to the right in brackets if an operator
// follows it, as it would stand in the words of the notation.
func (p *parser) wrapped(e Expr) Expr {
	if t := p.tok(); p.broken || t.kind != tSuper && (t.kind != tOp || t.op > OpPow) {
		return e
	}
	p.node()
	return &Paren{ExprAt(e.Span()), e}
}

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
	if !p.enter() {
		defer p.leave()
		return p.badExpr(p.tokenSpan(t))
	}
	defer p.leave()
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
		return p.badExpr(p.since(t.start))
	}
	b.exprPlace = ExprAt(p.since(t.start))
	return p.wrapped(b)
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
// one in it that is not given or defined.
func (p *parser) changing(body Expr, at source.Span) *Name {
	var found []*Name
	calls := map[*Name]bool{}
	Inspect(body, func(n Node) bool {
		if c, ok := n.(*Call); ok {
			calls[c.Fun] = true
		}
		return true
	})
	for _, n := range FreeNames(body) {
		isKnown := func(other *Name) bool { return other.Ident == n.Ident }
		if !calls[n] && n.Ident != "π" && !p.names.defined[n.Ident] && !slices.ContainsFunc(found, isKnown) {
			found = append(found, n)
		}
	}
	if len(found) == 1 {
		return found[0]
	}
	p.errorf(at, TwoReadings, "nothing shows which name in the bracket runs between the limits").Repair = "name it, as in [F(x)]_{x=a}^{x=b}"
	return nil
}

// vulgarFraction reads ½ as (1/2).
func (p *parser) vulgarFraction() Expr {
	t := p.next()
	r, _ := utf8.DecodeRuneInString(t.text)
	parts := vulgarFractions[r]
	return p.fraction(t, parts[0], parts[1])
}

// fraction makes (a/b) of two digits at the place of a token.
func (p *parser) fraction(t token, a, b string) Expr {
	at := ExprAt(p.tokenSpan(t))
	digit := func(text string) Expr {
		p.node()
		return &Number{exprPlace: at, Text: text, Value: float64(text[0] - '0')}
	}
	p.node()
	return &Paren{at, &Binary{exprPlace: at, Op: OpDiv, OpAt: at.At, X: digit(a), Y: digit(b)}}
}

// cubeRoot makes x^(1/3) of ∛x.
func (p *parser) cubeRoot(t token, x Expr) Expr {
	_, isQuantity := x.(*Quantity)
	if isQuantity || levelOf(x) < levelPrimary {
		p.node()
		x = &Paren{ExprAt(x.Span()), x}
	}
	at := ExprAt(p.tokenSpan(t).To(x.Span()))
	return &Binary{exprPlace: at, Op: OpPow, OpAt: p.tokenSpan(t), X: x, Y: p.fraction(t, "1", "3")}
}

// exponential makes exp(x) of e^x, where e has no other meaning in the derivation.
func (p *parser) exponential(base Expr, power Expr) Expr {
	e, ok := base.(*Name)
	z, isPower := power.(*Binary)
	if !ok || !isPower || e.Ident != "e" || p.mode != deriveMode || p.names.defined["e"] || p.names.bound["e"] {
		return power
	}
	fun := *e
	fun.Ident = "exp"
	arg := z.Y
	if paren, ok := arg.(*Paren); ok {
		arg = paren.X
	}
	return &Call{z.exprPlace, &fun, []Expr{arg}}
}

// functionPower reads sin²(x) and sin^2(x), the square of sin(x), after the name
// of a function; nil if that is not what stands here.
func (p *parser) functionPower(fun token) Expr {
	if !p.isBuiltin(fun) {
		return nil
	}
	sign := p.tok()
	rest := p.toks[p.pos:]
	var digits token
	switch {
	case sign.kind == tSuper && rest[1].kind == tOpen:
		digits = sign
	case sign.isOp(OpPow) && rest[1].kind == tNumber && rest[2].kind == tOpen:
		digits = rest[1]
	case sign.isOp(OpPow) && rest[1].isOp(OpSub) && rest[2].kind == tNumber && rest[3].kind == tOpen:
		return p.inverse(fun, sign)
	default:
		return nil
	}
	if strings.HasPrefix(digits.text, "⁻") {
		return p.inverse(fun, sign)
	}
	p.pos++
	if sign.kind != tSuper {
		p.pos++
	}
	name := p.name(fun)
	args := p.arguments(fun)
	call := &Call{ExprAt(p.since(fun.start)), name, args}
	var z *Binary
	if sign.kind == tSuper {
		made, ok := p.superscript(call, sign).(*Binary)
		if !ok {
			return p.badExpr(p.since(fun.start))
		}
		z = made
	} else {
		p.node()
		n := &Number{exprPlace: ExprAt(p.tokenSpan(digits)), Text: digits.text, Value: p.sc.numbers[digits.aux]}
		z = &Binary{Op: OpPow, OpAt: p.tokenSpan(sign), X: call, Y: n}
	}
	z.exprPlace = call.exprPlace
	if next := p.tok(); next.kind == tSuper || next.isOp(OpPow) {
		p.errorf(p.tokenSpan(next), Unexpected, "a power of a power needs brackets here").Repair = fmt.Sprintf("write (%s(…)^…)^…, or one exponent", fun.text)
	}
	return z
}

// inverse refuses sin⁻¹(x).
func (p *parser) inverse(fun, sign token) Expr {
	one := "1/" + fun.text + "(…)"
	if _, ok := builtins["a"+fun.text]; !ok {
		p.errorf(p.tokenSpan(sign), Unexpected, "a negative power stands after the bracket").Repair = "write " + one
		return p.badExpr(p.tokenSpan(sign))
	}
	return p.twoReadings(p.tokenSpan(sign), "a"+fun.text+"(…)", one)
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
