package notation

import (
	"fmt"
	"strings"

	"shaftbook/kernel/source"
)

// ParseDerivation reads a derivation. The cell is never nil.
func ParseDerivation(t *source.Text) (*DeriveCell, source.List) {
	cell := &DeriveCell{Text: t}
	p, ok := newParser(t, deriveMode)
	if ok {
		p.lines(func() { cell.Lines = append(cell.Lines, p.chain(p.deriveLine(cell.Lines))...) })
	}
	return cell, p.list
}

// chain takes a line with several = apart: "θ = a = b" is "θ = a" and the step
// "= b". The reason belongs to the last.
func (p *parser) chain(line DeriveLine) []DeriveLine {
	switch line := line.(type) {
	case *DeriveDefine:
		if equal := p.equalities(line.Expr); equal != nil {
			first := *line
			first.Expr, first.Reason = equal.Xs[0], ""
			return p.steps(&first, &first.derivePlace, equal, DeriveStep{Reason: line.Reason, derivePlace: line.derivePlace})
		}
	case *DeriveStep:
		if equal := p.equalities(line.X); equal != nil {
			first := DeriveStep{derivePlace: line.derivePlace, X: equal.Xs[0]}
			return p.steps(&first, &first.derivePlace, equal, *line)
		}
	}
	return []DeriveLine{line}
}

// steps returns first, and a step for each later value of equal; last is the
// line that the last step takes its end, reason and substitution from.
func (p *parser) steps(first DeriveLine, at *derivePlace, equal *Compare, last DeriveStep) []DeriveLine {
	end := last.At.End
	at.At.End = equal.Xs[0].Span().End
	list := []DeriveLine{first}
	for i, x := range equal.Xs[1:] {
		step := DeriveStep{X: x}
		step.At = source.Span{Text: x.Span().Text, Start: equal.OpAt[i].Start, End: x.Span().End}
		if i == len(equal.Xs)-2 {
			step.Reason, step.With, step.WithX, step.At.End = last.Reason, last.With, last.WithX, end
		}
		list = append(list, &step)
	}
	return list
}

// equalities returns e if it is a chain of values joined by =, without brackets
// around it; it reports other comparisons, of which nothing is judged.
func (p *parser) equalities(e Expr) *Compare {
	c, ok := e.(*Compare)
	if !ok {
		return nil
	}
	for i, op := range c.Ops {
		if op != OpEqual {
			p.errorf(c.OpAt[i], DeriveLineForm, "a step of a derivation claims equality; %s is not judged", op).
				Repair = "write = between values that are equal, and compare in an expect line of a calculation cell"
			return nil
		}
	}
	return c
}

// deriveLine reads one line; above is the line before it.
func (p *parser) deriveLine(above []DeriveLine) DeriveLine {
	start := p.tok()
	at := func() derivePlace { return derivePlace{Place{p.since(start.start)}} }
	var line DeriveLine
	switch {
	case start.isWord("given"):
		line = p.given(at)
	case start.isOp(OpEqual):
		line = p.step(above, at)
	case start.kind == tBad:
		p.reportBad(start)
	default:
		head := p.pos + definitionHead(p.toks[p.pos:])
		if p.isQuotientOfDifferentials() {
			below := p.toks[p.pos+2]
			p.errorf(p.span(int(start.start), int(below.end)), DeriveLineForm, "a name stands before the first “=” of a chain").
				Repair = fmt.Sprintf("write %s = … · %s", start.text, below.text)
			break
		}
		if !p.toks[head].isOp(OpEqual) {
			p.errorf(p.tokenSpan(start), DeriveLineForm, "a line of a derivation gives, defines or claims").
				Repair = "begin it with given, with name =, or with ="
			break
		}
		line = p.deriveDefine(head, at)
	}
	p.finish("the line")
	if p.broken {
		return &DeriveBad{at()}
	}
	return line
}

// isQuotientOfDifferentials reports whether the line begins with dθ/dx.
func (p *parser) isQuotientOfDifferentials() bool {
	if p.pos+2 >= len(p.toks) || !p.toks[p.pos+1].isOp(OpDiv) {
		return false
	}
	isDifferential := func(t token) bool { return t.kind == tName && t.text[0] == 'd' && len(t.text) > 1 }
	return isDifferential(p.toks[p.pos]) && isDifferential(p.toks[p.pos+2])
}

// deriveDefine reads "θ = …" or "d(x) = …"; head is the index of the =.
func (p *parser) deriveDefine(head int, at func() derivePlace) DeriveLine {
	d := &DeriveDefine{Name: p.newName("θ = T·L/(J·G)")}
	if !p.broken && p.tok().kind == tOpen {
		d.Params = p.parameters(head)
	}
	if p.broken {
		return nil
	}
	p.pos = head + 1
	d.Expr = p.expression()
	d.Reason = p.because()
	d.derivePlace = at()
	return d
}

// step reads "= expression with u = … because …" or "= ?".
func (p *parser) step(above []DeriveLine, at func() derivePlace) DeriveLine {
	t := p.next()
	if !hasStart(above) {
		p.errorf(p.tokenSpan(t), StepWithoutStart, "nothing stands above this line that it could be equal to").Repair = "begin with a line such as θ = T·L/(J·G)"
		return nil
	}
	s := &DeriveStep{}
	if p.got(tGap) {
		s.Gap = true
		s.Reason = p.because()
		s.derivePlace = at()
		return s
	}
	s.X = p.expression()
	if p.gotWord("with") {
		const form = "= … with u = d_0 + k·x because …"
		s.With = p.newName(form)
		if !p.tok().isOp(OpEqual) {
			p.missing("“=”", form)
		}
		p.next()
		s.WithX = p.expression()
	}
	s.Reason = p.because()
	s.derivePlace = at()
	return s
}

// hasStart reports whether a step has something above it: a definition, a
// step, or a line that could not be read and drew its own message.
func hasStart(above []DeriveLine) bool {
	if len(above) == 0 {
		return false
	}
	_, given := above[len(above)-1].(*Given)
	return !given
}

// because returns the free text of a reason, "" if there is none.
func (p *parser) because() string {
	t := p.tok()
	if t.kind != tReason {
		return ""
	}
	p.pos++
	return t.text
}

// given reads items separated by commas.
func (p *parser) given(at func() derivePlace) DeriveLine {
	p.pos++
	g := &Given{}
	for {
		p.givenItem(g)
		if p.broken || !p.got(tComma) {
			break
		}
	}
	g.derivePlace = at()
	return g
}

const givenForm = "given T: torque > 0, L: m, d_1 > d_0 > 0 mm"

// givenItem reads "T: torque", "L: m > 0" or a chain "d_1 > d_0 > 0 mm". A
// chain gives one item for each name in it.
func (p *parser) givenItem(g *Given) {
	start := p.tok()
	if p.peek().kind != tColon {
		p.givenChain(g, start)
		return
	}
	item := GivenItem{Name: p.newName(givenForm)}
	p.got(tColon)
	if p.broken {
		return
	}
	p.givenDimension(&item)
	if isComparison(p.tok()) {
		item.Domain = p.chainFrom(item.Name)
	}
	item.At = p.since(start.start)
	g.Items = append(g.Items, item)
}

// tradeWords are the words for a dimension in given, as the trade has them.
var tradeWords = makeTradeWords("length", "torque", "force", "stress", "angle", "number", "speed", "power",
	"second moment of area")

func makeTradeWords(words ...string) map[string]bool {
	set := map[string]bool{}
	for _, w := range words {
		set[w] = true
	}
	return set
}

// givenDimension reads a trade word or a unit after the colon.
func (p *parser) givenDimension(item *GivenItem) {
	first := p.tok()
	i := p.pos
	var words []string
	for p.toks[i].kind == tName || p.toks[i].kind == tWord {
		words = append(words, p.toks[i].text)
		i++
		if phrase := strings.Join(words, " "); tradeWords[phrase] {
			p.pos = i
			item.Word, item.WordAt = phrase, p.since(first.start)
			return
		}
	}
	if symbolAt(p.sc.src, int(first.start)) {
		item.Unit = p.unit()
		return
	}
	if p.reportBad(first) {
		return
	}
	what := first.text
	if len(words) > 0 {
		what = strings.Join(words, " ")
	}
	if first.kind == tEnd {
		p.errorf(p.gap(), GivenForm, "a dimension is missing after the colon").Repair = "name it: length, torque, force, stress, angle, number, speed, power, second moment of area; or write a unit"
		return
	}
	p.errorf(p.tokenSpan(first), GivenForm, "“%s” names no dimension", what).
		Repair = "write length, torque, force, stress, angle, number, speed, power, second moment of area, or a unit"
}

// givenChain reads a chain without a colon.
func (p *parser) givenChain(g *Given, start token) {
	x := p.plusMinus()
	if p.broken {
		return
	}
	if !isComparison(p.tok()) {
		p.errorf(p.since(start.start), GivenForm, "given needs a dimension or a domain for each name").Repair = "write " + givenForm
		return
	}
	domain := p.chainFrom(x)
	found := false
	for _, x := range domain.Xs {
		name, ok := x.(*Name)
		if !ok {
			continue
		}
		found = true
		g.Items = append(g.Items, GivenItem{Place: Place{domain.At}, Name: name, Domain: domain})
	}
	if !found && !p.broken {
		p.errorf(domain.At, GivenForm, "this comparison limits no name").Repair = "write " + givenForm
	}
}

// chainFrom reads the rest of a comparison chain that starts with x.
func (p *parser) chainFrom(x Expr) *Compare {
	c := &Compare{Xs: []Expr{x}}
	for isComparison(p.tok()) {
		t := p.next()
		c.Ops = append(c.Ops, t.op)
		c.OpAt = append(c.OpAt, p.tokenSpan(t))
		c.Xs = append(c.Xs, p.plusMinus())
		p.node()
	}
	c.exprPlace = ExprAt(p.since(int32(x.Span().Start)))
	return c
}
