package notation

import (
	"slices"
	"strconv"

	"shaftbook/kernel/source"
)

// statementWords open a statement of their own.
var statementWords = makeSet("vary expect table plot draw prefer trials")

// statement reads one statement; the current token is its first.
func (p *parser) statement() Stmt {
	t := p.tok()
	if t.kind == tWord {
		switch t.text {
		case "vary":
			return p.vary()
		case "expect":
			return p.expect()
		case "table":
			return p.table()
		case "plot":
			return p.plot()
		case "draw":
			return p.draw()
		case "prefer":
			return p.prefer()
		case "trials":
			return p.trials()
		}
	}
	switch {
	case p.opensReadings():
		return p.readings()
	case p.opensLine():
		return p.line()
	}
	if t.kind == tName || t.kind == tWord && t.text != "if" && t.text != "not" {
		if head := p.pos + definitionHead(p.toks[p.pos:]); p.toks[head].isOp(OpEqual) {
			return p.definition(head)
		}
	}
	if p.nameOfWords() {
		return &BadStmt{stmtPlace{Place{p.statementSpan(t)}}}
	}
	second := p.peek()
	s := p.show()
	p.misspeltOpening(t, second)
	return s
}

// definition reads "name = …" or "f(x) = …"; head is the index of the =.
func (p *parser) definition(head int) Stmt {
	start := p.tok()
	name := p.newName("T = 420 N·m")
	if p.tok().kind == tOpen {
		params := p.parameters(head)
		if p.broken {
			return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
		}
		p.pos = head + 1
		body := p.expression()
		if t := p.tok(); t.isWord("in") || t.isWord("to") {
			p.errorf(p.tokenSpan(t), Unexpected, "a function is defined without a unit or rounding for display").
				Repair = "show a value of it: " + name.Ident + "(…) " + t.text + " …"
		}
		p.finish("the definition")
		return &DefineFunc{stmtPlace{Place{p.statementSpan(start)}}, name, params, p.orBad(body, head)}
	}
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	p.pos = head + 1
	body := p.expression()
	p.refuseEqual(body, "a definition has one “=”", "write each definition on a line of its own")
	display := p.display()
	p.finish("the definition")
	return &Define{stmtPlace{Place{p.statementSpan(start)}}, name, p.orBad(body, head), display}
}

// orBad replaces an expression by a Bad node if the statement is broken; head
// is the index of the token before it.
func (p *parser) orBad(e Expr, head int) Expr {
	if !p.broken {
		return e
	}
	end := p.toks[p.pos].start
	return p.badExpr(p.span(int(min(p.toks[head].end, end)), int(end)))
}

// statementSpan returns the span from start to the last token read; for a
// broken statement that is all of it.
func (p *parser) statementSpan(start token) source.Span { return p.since(start.start) }

// parameters reads "(x, y)" before the = at index head.
func (p *parser) parameters(head int) []*Name {
	const form = "f(x, y) = x + y"
	var params []*Name
	open := p.next()
	onlyNames := func() {
		p.errorf(p.span(int(open.end), int(p.toks[head-1].start)), ParameterForm,
			"in the definition of a function, there can only be names between the brackets").Repair = "write " + form
	}
	for {
		if k := p.tok().kind; k != tName && k != tWord {
			onlyNames()
			return params
		}
		params = append(params, p.newName(form))
		if p.broken || !p.got(tComma) {
			break
		}
	}
	if !p.broken && !p.got(tClose) {
		onlyNames()
	}
	if p.broken {
		return params
	}
	for i, a := range params {
		for _, b := range params[:i] {
			if a.Ident == b.Ident {
				p.errorf(a.At, ParameterForm, "the name “%s” occurs twice between the brackets", a.Ident).Repair = "give each its own name"
				return params
			}
		}
	}
	return params
}

func (p *parser) show() Stmt {
	start := p.tok()
	e := p.expression()
	p.refuseEqual(e, "a definition has one name before the “=”", "write name = expression, or expect a ≈ b within 0.1 % to compare")
	display := p.display()
	p.finish("the expression")
	if p.broken {
		p.skipToEnd()
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	return &Show{stmtPlace{Place{p.statementSpan(start)}}, e, display}
}

// refuseEqual reports an = in an expression without brackets, where
// a definition was meant.
func (p *parser) refuseEqual(e Expr, message, repair string) {
	c, ok := e.(*Compare)
	if !ok || p.broken {
		return
	}
	if i := slices.Index(c.Ops, OpEqual); i >= 0 {
		p.errorf(c.OpAt[i], UnexpectedEqual, "%s", message).Repair = repair
	}
}

// display reads the suffixes in UNIT, to N figures, to N places.
func (p *parser) display() Display {
	var d Display
	for {
		t := p.tok()
		switch {
		case t.isWord("in"):
			if d.Unit != nil {
				p.errorf(p.tokenSpan(t), SuffixTwice, "the unit to show is named twice").Repair = "keep one"
				return d
			}
			p.pos++
			d.Unit = p.unit()
		case t.isWord("to"):
			if d.Figures != 0 || d.HasPlaces {
				p.errorf(p.tokenSpan(t), SuffixTwice, "the rounding is named twice").Repair = "keep one"
				return d
			}
			p.pos++
			p.rounding(&d)
		default:
			return d
		}
		if p.broken {
			return d
		}
	}
}

// rounding reads "3 figures" or "2 places" after to.
func (p *parser) rounding(d *Display) {
	const form = "to 3 figures"
	t := p.next()
	n, err := strconv.Atoi(t.text)
	if t.kind != tNumber || err != nil {
		p.pos--
		p.missing("a whole number", form)
		return
	}
	what := p.tok()
	switch {
	case p.gotName("figures"), p.gotName("figure"):
		d.Figures = n
		if n < 1 || n > maxFigures {
			p.errorf(p.tokenSpan(t), RoundingRange, "a value can be shown to 1 up to %d figures", maxFigures)
		}
	case p.gotName("places"), p.gotName("place"):
		d.Places, d.HasPlaces = n, true
		if n > maxFigures {
			p.errorf(p.tokenSpan(t), RoundingRange, "a value can be shown to 0 up to %d places", maxFigures)
		}
	default:
		p.errorf(p.tokenSpan(what), MissingWord, "“figures” or “places” is missing here").Repair = "write " + form + " or to 2 places"
	}
}

const maxFigures = 17 // more digits than a float64 has say nothing

// unit reads the unit after in or prefer.
func (p *parser) unit() *UnitRef {
	t := p.tok()
	start := int(t.start)
	first := start
	if t.kind == tNumber && t.text == "1" && p.peek().isOp(OpDiv) && p.peek().start == t.end {
		first = int(p.peek().end) // in 1/s
	}
	end := symbolEnd(p.sc.src, first)
	symbol := p.sc.src[first:end]
	if t.kind == tEnd || symbol == "" || reserved[symbol] && symbol != "in" {
		p.missingUnit(t)
		return nil
	}
	if !symbolAt(p.sc.src, first) {
		p.unknownUnit(p.span(first, end), symbol, "")
		return nil
	}
	ref, end, err := p.sc.readUnit(start)
	if err != nil {
		p.report(*err)
		return nil
	}
	for p.tok().kind != tEnd && int(p.tok().start) < end {
		p.pos++
	}
	return ref
}

func (p *parser) vary() Stmt {
	const form = "vary n from 1 to 200 by 1 starting at 8"
	start := p.next()
	v := &Vary{Name: p.newName(form)}
	if p.broken {
		p.skipToEnd()
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	p.needWord("from", form)
	v.From = p.sum()
	p.needWord("to", form)
	v.To = p.sum()
	for !p.broken {
		t := p.tok()
		switch {
		case t.isName("by") && v.Step == nil:
			p.pos++
			v.Step = p.sum()
			continue
		case t.isName("starting") && v.Start == nil:
			p.pos++
			p.needWord("at", form)
			v.Start = p.sum()
			continue
		case t.kind == tComma && p.peek().isName("typed") && !v.hasTyped():
			p.pos++
			continue
		case t.isName("typed") && !v.hasTyped():
			p.pos++
			p.typedEnds(v)
			continue
		}
		break
	}
	p.finish("the vary statement")
	if p.broken {
		bad := p.badExpr(p.since(start.start))
		v.From, v.To, v.Step, v.Start = bad, bad, nil, nil
		v.TypedFrom, v.TypedTo = nil, nil
	}
	v.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return v
}

func (v *Vary) hasTyped() bool { return v.TypedFrom != nil || v.TypedTo != nil }

// typedEnds reads what follows "typed": "from A", "up to B", or both.
func (p *parser) typedEnds(v *Vary) {
	const form = "vary n from 1 to 40 by 1 starting at 8 typed up to 1000"
	if p.gotWord("from") {
		if v.TypedFrom = p.sum(); p.broken || !p.tok().isName("up") && !p.tok().isWord("to") {
			return
		}
	}
	if !p.gotName("up") {
		t, n := p.tok(), len(p.list)
		if !t.isWord("to") {
			p.missingWord(form, "up to")
			return
		}
		p.missingWord(form, "up")
		if len(p.list) > n {
			p.list[n].Fix = &source.Fix{Span: p.span(int(t.start), int(t.start)), Text: "up "}
		}
		return
	}
	if !p.needWord("to", form) {
		return
	}
	v.TypedTo = p.sum()
}

// expect reads a plausibility check in any of its forms.
func (p *parser) expect() Stmt {
	start := p.next()
	e := &Expect{}
	x := p.expression()
	t := p.tok()
	if isCondition(x) && (t.isWord("between") || t.isWord("within") || t.isOp(OpApprox)) {
		p.comparedTwice(x, t)
	}
	switch {
	case p.gotWord("between"):
		e.X = x
		e.Low = p.sum()
		p.needWord("and", "expect θ between a and b")
		e.High = p.sum()
	case p.gotWord("within"):
		e.X = x
		e.Bracket = p.plusMinus()
	case t.isOp(OpApprox):
		p.pos++
		e.X = x
		e.Approx = p.sum()
		if !p.gotWord("within") {
			p.errorf(p.gap(), ExpectForm, "it does not say how close the two must be").Repair = "add within 0.5 %, or within 0.1 mm"
		}
		e.Tolerance = p.sum()
	default:
		e.Cond = x
		if !isCondition(x) {
			p.errorf(x.Span(), ExpectForm, "a check must say what the value is compared with").
				Repair = "write expect a < b, expect a between b and c, or expect a ≈ b within 0.5 %"
		}
	}
	p.finish("the check")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	e.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return e
}

// comparedTwice reports a check such as a < b within c; t is the second word.
func (p *parser) comparedTwice(x Expr, t token) {
	if c, ok := x.(*Compare); ok && len(c.Ops) == 1 && c.Ops[0] == OpEqual && t.isWord("within") {
		d := p.errorf(c.OpAt[0], ExpectForm, "“=” asks for the same value to the last digit")
		d.Repair = "write ≈ before within"
		d.Fix = &source.Fix{Span: c.OpAt[0], Text: "≈"}
		return
	}
	p.errorf(p.tokenSpan(t), ExpectForm, "a comparison is a check by itself; “%s” follows a value", t.text).Repair = "write two checks, each on a line of its own"
}

// isCondition reports whether an expression has a truth rather than a value.
func isCondition(e Expr) bool {
	switch e := e.(type) {
	case *Compare, *Logic:
		return true
	case *Paren:
		return isCondition(e.X)
	case *If:
		return isCondition(e.Then)
	}
	return false
}

func (p *parser) prefer() Stmt {
	start := p.next()
	s := &Prefer{}
	for {
		s.Units = append(s.Units, p.unit())
		if p.broken || !p.got(tComma) {
			break
		}
	}
	p.finish("the list of units")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}
