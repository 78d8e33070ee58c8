package notation

import (
	"strings"

	"shaftbook/kernel/unit"
)

// This file reads given lines.

// given reads items separated by commas.
func (p *parser) given(at func() derivePlace) DeriveLine {
	p.pos++
	g := &Given{}
	for {
		p.givenItems(g)
		if p.broken || p.tok().kind == tComma && p.isDecimalComma(p.tok()) || !p.got(tComma) {
			break
		}
	}
	g.derivePlace = at()
	return g
}

// givenItems reads an item, or names before one that have its kind and its domain too:
// L_1, L_2: length > 0.
func (p *parser) givenItems(g *Given) {
	at := p.pos
	for p.toks[at].kind == tName && p.toks[at+1].kind == tComma {
		at += 2
	}
	if p.toks[at].kind != tName || p.toks[at+1].kind != tColon && !isComparison(p.toks[at+1]) {
		at = p.pos
	}
	// The item is read with each of the names in front of it.
	shared, reads := p.toks[at], len(p.sc.reads)
	for i := p.pos; i < at && !p.broken; i += 2 {
		p.pos = at
		p.toks[at] = p.toks[i]
		p.givenItem(g)
		p.sc.reads = p.sc.reads[:reads]
	}
	p.toks[at] = shared
	if p.broken {
		return
	}
	p.pos = at
	p.givenItem(g)
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

// WholeNumber is the word in given for a name that runs through the whole numbers.
const WholeNumber = "whole number"

// givenWords are the words after the colon: those of the trade for dimensions, and
// whole number.
var givenWords = func() map[string]bool {
	set := map[string]bool{WholeNumber: true}
	for _, w := range unit.Words() {
		set[w] = true
	}
	return set
}()

// allGivenWords lists what may follow the colon, for messages.
var allGivenWords = strings.Join(append([]string{WholeNumber}, unit.Words()...), ", ")

// givenDimension reads a trade word or a unit after the colon.
func (p *parser) givenDimension(item *GivenItem) {
	first := p.tok()
	i := p.pos
	var words []string
	for p.toks[i].kind == tName || p.toks[i].kind == tWord {
		words = append(words, p.toks[i].text)
		i++
		// The longest phrase counts: torque per length is not a torque.
		if phrase := strings.Join(words, " "); givenWords[phrase] {
			p.pos = i
			item.Word, item.WordAt = phrase, p.since(first.start)
		}
	}
	if item.Word != "" {
		p.givenPower(item, first)
		return
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
		p.errorf(p.gap(), GivenForm, "a dimension is missing after the colon").Repair = "name it: " + allGivenWords + "; or with a power, length^4; or write a unit"
		return
	}
	p.errorf(p.tokenSpan(first), GivenForm, "“%s” is not a dimension", what).
		Repair = "write " + allGivenWords + ", one of them with a power such as length^4, or a unit"
}

// givenPower reads the power behind a word: length^4, length⁴.
func (p *parser) givenPower(item *GivenItem, first token) {
	t := p.tok()
	text, used := superscriptText(t.text), 1
	if t.isOp(OpPow) {
		if n := p.peek(); n.kind == tNumber && hasOnlyDigits(n.text) {
			text, used = n.text, 2
		}
	} else if t.kind != tSuper {
		return
	}
	word := item.Word + "^" + text
	if _, ok := unit.Word(word); !ok {
		return
	}
	p.pos += used
	item.Word, item.WordAt = word, p.since(first.start)
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
		if !ok || name.Ident == "π" {
			continue // π is a number
		}
		found = true
		g.Items = append(g.Items, GivenItem{Place: Place{domain.At}, Name: name, Domain: domain})
	}
	if !found && !p.broken {
		p.errorf(domain.At, GivenForm, "this comparison does not limit any of the names").Repair = "write " + givenForm
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
