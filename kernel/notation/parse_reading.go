package notation

import (
	"slices"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/source"
)

// This file reads what beginners leave out where only one thing can be meant:
// signs of multiplication, brackets of functions. What was read so is said in a
// note, with the usual spelling as a repair.

// reads keeps a reading that the end of the statement notes, unless the statement
// has an error.
func (p *parser) reads(code source.Code, at source.Span, edits ...edit) {
	if !p.broken {
		p.sc.reads = append(p.sc.reads, reading{code: code, start: at.Start, end: at.End, edits: edits})
	}
}

// noteReadings notes what was read in another spelling than usual between two
// places: each once, and those that touch one another together.
func (p *parser) noteReadings(from, to int) {
	if len(p.sc.reads) == 0 {
		return
	}
	var mine []reading
	p.sc.reads = slices.DeleteFunc(p.sc.reads, func(r reading) bool {
		isMine := from <= r.start && r.end <= to
		if isMine {
			mine = append(mine, r)
		}
		return isMine
	})
	if p.broken {
		return
	}
	slices.SortStableFunc(mine, func(a, b reading) int {
		if a.start != b.start {
			return a.start - b.start
		}
		return b.end - a.end
	})
	for len(mine) > 0 {
		r := mine[0]
		mine = mine[1:]
		if r.note != nil {
			p.list = append(p.list, *r.note)
			continue
		}
		for len(mine) > 0 && mine[0].start <= r.end && mine[0].note == nil {
			if mine[0].end-mine[0].start >= r.end-r.start {
				r.code = mine[0].code
			}
			r.end = max(r.end, mine[0].end)
			r.edits = append(slices.Clone(r.edits), mine[0].edits...)
			if r.reason == "" {
				r.reason = mine[0].reason
			}
			mine = mine[1:]
		}
		p.noteReading(r)
	}
}

func (p *parser) noteReading(r reading) {
	at := p.span(r.start, r.end)
	usual := applyEdits(at.Content(), r.start, r.edits)
	message := "read as " + strings.TrimSpace(usual)
	if r.code != ImplicitProduct {
		message = "“" + strings.TrimSpace(at.Content()) + "” " + message // a word or a number of a line
	}
	if r.reason != "" {
		message += ": " + r.reason
	}
	d := p.list.Notef(at, r.code, "%s", message)
	d.Reading = true
	d.Fix = &source.Fix{Span: at, Text: usual}
}

// implicit reads the factors that follow x without a sign, t being the first of
// them; start is the index of the first token of the product, and over that of the
// stroke before the last factor of x, -1 if there is none. ok is false if there is
// no product here.
func (p *parser) implicit(x Expr, t token, start, over int) (z Expr, ok bool) {
	if !p.multiplies(x, t) {
		p.missingTimes(t)
		return x, false
	}
	isCoefficient := over < 0 || isFraction(x) && !p.isTightPi(x, t) || p.opensApart(x, t)
	first := p.gap()
	gaps := []edit{{first.Start, first.End, "·"}}
	z = x
	for {
		gap := p.gap()
		y := p.sign()
		if p.broken {
			return z, false
		}
		p.node()
		z = &Binary{exprPlace: ExprAt(z.Span().To(y.Span())), Op: OpMul, OpAt: gap, X: z, Y: y, Implicit: true}
		next := p.tok()
		if p.endsIntegrand(next) || !p.touches(next) || p.isDifferential(p.pos) || p.unitBehind(next) {
			break
		}
		if !p.multiplies(y, next) {
			p.missingTimes(next)
			return z, false
		}
		gap = p.gap()
		gaps = append(gaps, edit{gap.Start, gap.End, "·"})
	}
	if !isCoefficient {
		p.dividesHowFar(x.(*Binary), z, p.toks[over], gaps)
		return z, false
	}
	at := p.span(int(p.toks[start].start), z.Span().End)
	p.reads(ImplicitProduct, at, gaps...)
	return z, true
}

// readAsProduct lets the readings from index from on that are products without signs
// be one reading of the whole product, whose first token is at index start.
func (p *parser) readAsProduct(from, start int) {
	var edits []edit
	rest := p.sc.reads[:from]
	for _, r := range p.sc.reads[from:] {
		if r.code == ImplicitProduct {
			edits = append(edits, r.edits...)
			continue
		}
		rest = append(rest, r)
	}
	p.sc.reads = rest
	if len(edits) > 0 {
		p.reads(ImplicitProduct, p.since(p.toks[start].start), edits...)
	}
}

// opensApart reports whether t opens a bracket or a form behind a blank, in a
// derivation, where the quotient x before it ends in a number or a bracket: in
// π D^4/32 (1 - k^4) and T/(G J) [x]_0^L the blank ends what is divided by.
func (p *parser) opensApart(x Expr, t token) bool {
	b, ok := x.(*Binary)
	if p.mode != deriveMode || !ok || b.Op != OpDiv || !t.space {
		return false
	}
	switch t.kind {
	case tOpen, tOpenSquare, tIntSign, tSumSign, tLimSign:
	default:
		return false
	}
	switch b.Y.(type) {
	case *Number, *Paren:
		return true
	}
	return false
}

// isProductWith reports whether a name before a bracket is a factor: in t_0 (L - x),
// in a derivation, t_0 is a quantity, and a blank keeps it apart.
func (p *parser) isProductWith(name *Name, open token) bool {
	if p.mode != deriveMode || !open.space || p.names.functions[name.Ident] != "" || p.names.rates[name.Ident] {
		return false
	}
	return p.names.defined[name.Ident] || p.names.bound[name.Ident]
}

// isTightPi reports whether t is a π written tightly behind the divisor of x: 1000/2π
// may be a quotient by 2·π, though π/32 d^4 is none by 32·d^4.
func (p *parser) isTightPi(x Expr, t token) bool {
	return p.mode != deriveMode && t.kind == tName && Canonical(t.text) == "π" && !t.space && x.Span().End == int(t.start)
}

// isFraction reports whether x is a quotient of numbers, as π/32, which as a whole
// multiplies what follows it.
func isFraction(x Expr) bool {
	b, ok := x.(*Binary)
	if !ok {
		return false
	}
	if _, ok = b.Y.(*Number); !ok {
		return false
	}
	numbers := true
	Inspect(b.X, func(n Node) bool {
		switch n := n.(type) {
		case *Number, *Unary, *Paren:
		case *Binary:
			numbers = numbers && n.Op != OpPow
		case *Name:
			numbers = numbers && n.Ident == "π"
		default:
			numbers = false
		}
		return numbers
	})
	return numbers
}

// multiplies reports whether an operand that starts with t, directly after the
// factor x, is a further factor that somebody left a sign out before.
func (p *parser) multiplies(x Expr, t token) bool {
	before := p.before()
	if b, ok := x.(*Binary); ok && b.Op != OpPow {
		x = b.Y
	}
	_, isQuantity := x.(*Quantity)
	switch {
	case t.kind == tNumber || t.kind == tFraction || t.kind == tInfinity || t.kind == tWord:
		return false
	case p.opensSecond(t):
		return false
	case isOne(x):
		return false // nobody writes 1·x; another sign was left out
	case t.kind == tName && len(t.text) > 1 && t.text[0] == 'd' && p.peek().isWord("from"):
		return false
	case isQuantity && t.kind == tOpen && t.space:
		return false // a remark, perhaps
	case before.kind == tClose && t.kind == tName && len(t.text) > 1 && p.sc.symbolAt(int(t.start)):
		return false
	}
	return true
}

func isOne(x Expr) bool {
	n, ok := x.(*Number)
	return ok && n.Text == "1"
}

// isRatio reports whether t is the colon of a ratio, 6 : 2, the only one of a
// statement of a calculation cell that has no = behind it.
func (p *parser) isRatio(t token) bool {
	isNamed := p.before().kind == tName && (p.pos < 2 || p.toks[p.pos-2].kind == tEnd) && p.peek().kind == tNumber // T: 420 N·m
	if t.kind != tColon || isNamed || p.mode != calcMode || !p.before().endsOperand() || !p.peek().startsOperand() {
		return false
	}
	colons := 0
	for i := p.pos; p.toks[i].kind != tEnd; i++ {
		if p.toks[i].kind == tColon {
			colons++
		}
		if p.toks[i].isOp(OpEqual) {
			return false
		}
	}
	for i := p.pos - 1; i >= 0 && p.toks[i].kind != tEnd; i-- {
		if p.toks[i].kind == tColon {
			return false
		}
	}
	return colons == 1
}

// opensSecond reports whether a second definition begins with t on the same line.
func (p *parser) opensSecond(t token) bool {
	if p.mode == shaftMode {
		return p.before().kind != tEnd && p.opensHere(p.pos)
	}
	if t.kind != tName || !p.peek().isOp(OpEqual) {
		return false
	}
	for i := p.pos - 1; i >= 0 && p.toks[i].kind != tEnd; i-- {
		if p.toks[i].isOp(OpEqual) {
			return true
		}
	}
	return false
}

// dividesHowFar asks what T·L/G J divides by: by G, or by both.
func (p *parser) dividesHowFar(x *Binary, z Expr, stroke token, gaps []edit) {
	at := p.span(x.Y.Span().Start, z.Span().End)
	product := applyEdits(at.Content(), at.Start, gaps)
	d := p.errorf(p.span(int(stroke.start), at.End), TwoReadings, "this may divide by all of %s or by %s only", product, x.Y.Span().Content())
	d.Repair = "write /(" + product + ") or /" + product + ", whichever is meant"
	if q, ok := x.Y.(*Quantity); ok && len(q.Unit.Parts) == 1 && utf8.RuneCountInString(q.Unit.Parts[0].Content()) == 1 {
		// In π/32 d^4 L the d is a name sooner than a unit.
		gap := edit{q.Number.At.End, q.Unit.At.Start, "·"}
		named := applyEdits(at.Content(), at.Start, append([]edit{gap}, gaps...))
		d.Repair = "write /" + named + ", /(" + product + ") or /" + product + ", whichever is meant"
		d.Choose(at, named)
	}
	d.Choose(at, "("+product+")").Choose(at, product)
}

// bareArgument reads the argument of a function that has no brackets: sin x,
// sin 30 deg. nil if there is none, or more than one thing it could be.
func (p *parser) bareArgument(fun token) Expr {
	t := p.tok()
	b := builtins[fun.text]
	if b.MinArgs != 1 || b.MaxArgs != 1 || !t.startsOperand() || t.kind == tOpen || t.kind == tWord || !p.enter() {
		p.bareFunction(fun)
		return nil
	}
	x := p.operandOf()
	p.leave()
	if p.broken {
		return nil
	}
	argument := x.Span()
	end := argument.End
	next := p.tok()
	asks := func(sign string) Expr {
		rest := sign + strings.TrimSpace(p.span(end, p.lastEnd()).Content())
		at := p.span(int(fun.start), p.lastEnd())
		one := fun.text + "(" + argument.Content() + rest + ")"
		other := fun.text + "(" + argument.Content() + ")" + rest
		d := p.errorf(at, TwoReadings, "nothing shows where the argument of %s ends", fun.text)
		d.Repair = "write " + one + " or " + other + ", whichever is meant"
		d.Choose(at, one).Choose(at, other)
		return nil
	}
	isFunction := func(t token) bool { return t.kind == tName && p.isBuiltin(t) }
	switch {
	case next.kind == tSuper || next.isOp(OpPow):
		p.skipPower()
		return asks("")
	case (next.isOp(OpMul) || next.isOp(OpDiv)) && !isFunction(p.peek()) && p.peek().startsOperand():
		p.pos++
		p.operandOf()
		if p.broken {
			return nil
		}
		return asks("")
	case p.touches(next) && !isFunction(next) && p.multiplies(x, next):
		p.operandOf()
		if p.broken {
			return nil
		}
		return asks("·")
	}
	p.reads(FunctionBrackets, p.span(int(fun.start), end), edit{int(fun.end), argument.Start, "("}, edit{end, end, ")"})
	return x
}

// operandOf reads one number, quantity or name, perhaps under a root.
func (p *parser) operandOf() Expr {
	if k := p.tok().kind; k == tRoot || k == tCubeRoot {
		return p.sign()
	}
	return p.primary()
}

// lastEnd returns where the last token that was read ends.
func (p *parser) lastEnd() int { return int(p.before().end) }

// skipPower moves past the exponent of a power, whatever it is.
func (p *parser) skipPower() {
	if p.next().kind == tSuper {
		return
	}
	if t := p.tok(); t.isOp(OpSub) || t.isOp(OpAdd) {
		p.pos++
	}
	if !p.broken {
		p.operandOf()
	}
}

// noteArc notes that ″ and ′ alone are parts of a degree, where documents have them
// for inches and feet.
func (p *parser) noteArc(q *Quantity) {
	symbol := q.Unit.At.Content()
	length := map[string]string{"″": "in", "′": "ft"}[symbol]
	if length == "" || p.broken || p.pos > 2 && p.toks[p.pos-3].kind == tUnit {
		return // of 45°30′
	}
	d := p.list.Notef(q.Unit.At, RareUnit, "%s is the %s of arc", symbol, map[string]string{"″": "second", "′": "minute"}[symbol])
	d.Repair = "perhaps " + length + " is meant"
	d.Choose(q.At, q.Number.At.Content()+" "+length)
}

// hyphenMixed asks of 2'-6" and 2 ft-6 in whether the hyphen joins feet and inches or
// subtracts; q is the first. It reports whether it has asked.
func (p *parser) hyphenMixed(q *Quantity) bool {
	rest := p.toks[p.pos:]
	if q.Unit.Text != "ft" || len(rest) < 4 || !rest[0].isOp(OpSub) || rest[1].kind != tNumber || rest[1].space != rest[0].space {
		return false
	}
	last := 2 // the index of the unit, behind 10, 10½ or 10 1/2
	switch {
	case rest[2].kind == tFraction:
		last = 3
	case len(rest) > 6 && rest[2].kind == tNumber && rest[3].isOp(OpDiv) && rest[4].kind == tNumber:
		last = 5
	}
	if len(rest) <= last || rest[last].kind != tUnit {
		return false
	}
	inches := p.sc.units[rest[last].aux]
	isTick := q.Unit.At.Content() != "ft" // 2' - 6"
	if inches.Text != "in" || rest[0].space && !isTick || p.sc.numbers[rest[1].aux] >= 12 {
		return false
	}
	feet, length := q.Number.Text+" ft", rest[1].text+" in"
	if last > 2 {
		length = "(" + rest[1].text + " + " + p.span(int(rest[2].start), int(rest[last-1].end)).Content() + ")·(1 in)"
	}
	sum, difference := "("+feet+" + "+length+")", feet+" − "+length
	d := p.errorf(p.span(q.At.Start, int(rest[last].end)), TwoReadings, "the hyphen may join feet and inches, or subtract")
	d.Repair = "write " + sum + " or " + difference + ", whichever is meant"
	d.Choose(d.Span, sum).Choose(d.Span, difference)
	return true
}

// mixed reads a quantity of two units, 5 ft 3 in, as their sum; q is the first.
func (p *parser) mixed(q *Quantity) Expr {
	n := p.tok()
	if z := p.mixedFraction(q); z != nil {
		return z
	}
	if n.kind != tNumber || !goesOn[q.Unit.Text] || p.peek().kind != tUnit {
		return q
	}
	second := p.sc.units[p.peek().aux]
	if q.Unit.Text == "ft" && second.Text != "in" {
		return q // 36’5 mm
	}
	if second.Unit.Dim != q.Unit.Unit.Dim || second.Unit.Factor >= q.Unit.Unit.Factor || strings.ContainsAny(second.Text, "·/^") {
		return q
	}
	gap := p.gap()
	y := p.number()
	p.node()
	p.node()
	sum := &Binary{exprPlace: ExprAt(q.At.To(y.Span())), Op: OpAdd, OpAt: gap, X: q, Y: y}
	p.reads(MixedUnits, sum.At, edit{q.At.Start, q.At.Start, "("}, edit{gap.Start, gap.End, " + "}, edit{sum.At.End, sum.At.End, ")"})
	return &Paren{ExprAt(sum.At), sum}
}

// goesOn holds the units that people follow by a smaller one.
var goesOn = makeSet("m ft yd mi lb h min deg ° ′")

// powerOfTenQuantity makes (10^3)·(1 N) of 10^3 N, where the unit would belong to the
// exponent; nil if the base is not a number.
func (p *parser) powerOfTenQuantity(t token, x, y Expr) Expr {
	base, ok := x.(*Number)
	sign, isSigned := y.(*Unary)
	exponent := y
	if isSigned {
		exponent = sign.X
	}
	q, isQuantity := exponent.(*Quantity)
	if !ok || base.Value != 10 || !isQuantity || p.broken {
		return nil
	}
	y = q.Number
	if isSigned {
		s := *sign
		s.exprPlace = ExprAt(sign.At.To(q.Number.At))
		s.At.End = q.Number.At.End
		s.X = q.Number
		y = &s
	}
	p.node()
	p.node()
	power := p.binary(t, x, y)
	one := &Number{exprPlace: ExprAt(q.Unit.At), Text: "1", Value: 1}
	unit := &Paren{ExprAt(q.Unit.At), &Quantity{ExprAt(q.Unit.At), one, q.Unit}}
	gap := p.span(q.Number.At.End, q.Unit.At.Start)
	z := &Binary{exprPlace: ExprAt(x.Span().To(q.At)), Op: OpMul, OpAt: gap, X: power, Y: unit}
	p.reads(UnitInExponent, z.At, edit{gap.Start, gap.End, "·(1 "}, edit{z.At.End, z.At.End, ")"})
	return z
}

// fractionOfUnit makes (1/2)·(1 in) of 1/2 in; nil if x over y is not written so.
// The unit of a quantity is its text in the usual spelling: ' is ft.
func (p *parser) fractionOfUnit(t token, x, y Expr) Expr {
	if b := (&Binary{OpAt: p.tokenSpan(t), X: x, Y: y}); !isUnitFraction(b) {
		return nil
	}
	q := y.(*Quantity)
	p.node()
	p.node()
	share := p.binary(t, x, q.Number)
	one := &Number{exprPlace: ExprAt(q.Unit.At), Text: "1", Value: 1}
	unit := &Paren{ExprAt(q.Unit.At), &Quantity{ExprAt(q.Unit.At), one, q.Unit}}
	gap := p.span(q.Number.At.End, q.Unit.At.Start)
	z := &Binary{exprPlace: ExprAt(x.Span().To(q.At)), Op: OpMul, OpAt: gap, X: share, Y: unit}
	at := x.Span().Start
	p.reads(TwoReadings, z.At, edit{at, at, "("}, edit{gap.Start, q.Unit.At.End, ")·(1 " + q.Unit.Text + ")"})
	return z
}
