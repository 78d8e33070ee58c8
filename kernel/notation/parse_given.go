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

const someGivenWords = "length, diameter, radius, torque, force, stress, angle, ratio, number, whole number, speed, power, second moment of area"

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
		p.errorf(p.gap(), GivenForm, "a dimension is missing after the colon").Repair = "name it: " + someGivenWords + "; or write a unit"
		return
	}
	p.errorf(p.tokenSpan(first), GivenForm, "“%s” is not a dimension", what).
		Repair = "write " + someGivenWords + ", or a unit"
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
