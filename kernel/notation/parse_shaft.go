package notation

import (
	"shaftbook/kernel/source"
)

// shaftWords open a line of a shaft cell.
var shaftWords = makeSet(`solid hollow profile measured square rectangle ellipse
	triangle tube open core yields hold fixed torque distributed power allow gear`)

// ParseShaft reads a shaft cell. The cell is never nil.
func ParseShaft(t *source.Text) (*ShaftCell, source.List) {
	cell := &ShaftCell{Text: t}
	p, ok := newParser(t, shaftMode)
	if ok {
		p.lines(func() { cell.Lines = append(cell.Lines, p.shaftLine()) })
	}
	return cell, p.list
}

// shaftForms shows each line of a shaft cell as it may be written.
var shaftForms = map[string]string{
	"G":           "G = 79 GPa",
	"solid":       "solid 36 mm to 54 mm for 800 mm",
	"hollow":      "hollow 54 mm bore 20 mm for 150 mm",
	"profile":     "profile 40 mm + 2 mm·sin(x/(1 m)) for 0.5 m",
	"measured":    "measured 0 mm: 36.1 mm, 150 mm: 37.9 mm",
	"square":      "square 40 mm for 300 mm",
	"rectangle":   "rectangle 60 mm by 40 mm for 300 mm",
	"ellipse":     "ellipse 60 mm by 40 mm for 300 mm",
	"triangle":    "triangle 50 mm for 300 mm",
	"tube":        "tube area 17850 mm² around 514 mm wall 8 mm for 300 mm",
	"open":        "open wall 6 mm along 80 mm and wall 4 mm along 60 mm for 300 mm",
	"core":        "core 20 mm G 26 GPa",
	"yields":      "yields at 150 MPa",
	"hold":        "hold at 0 mm",
	"fixed":       "fixed at 0 mm",
	"torque":      "torque 420 N·m at 1300 mm",
	"distributed": "distributed torque 150 N·m/m from 200 mm to 1000 mm",
	"power":       "power 12 kW at 1450 rpm at 300 mm",
	"allow":       "allow stress 40 MPa",
	"gear":        "gear 36 teeth at 400 mm drives R 54 teeth at 0 mm",
}

// shaftLine reads one line; the current token is its first.
func (p *parser) shaftLine() ShaftLine {
	start := p.tok()
	at := func() shaftPlace { return shaftPlace{Place{p.since(start.start)}} }
	line := p.shaftLineOf(start, at)
	p.finish("the line")
	if p.broken {
		return &ShaftBad{at()}
	}
	return line
}

func (p *parser) shaftLineOf(start token, at func() shaftPlace) ShaftLine {
	form, second := shaftForms[start.text], p.peek()
	if start.kind != tName || form == "" || start.text != "G" && p.peek().kind == tOp && p.peek().op == OpEqual {
		if !p.reportBad(start) {
			d := p.errorf(p.tokenSpan(start), ShaftLineForm, "a line of a shaft does not begin with “%s”", start.text)
			d.Repair = "begin it with G =, solid, hollow, profile, measured, square, rectangle, ellipse, triangle, tube, open, core, yields, fixed, hold, torque, distributed torque, power, allow or gear"
			p.offerShaftLine(d, start, second)
		}
		return nil
	}
	p.pos++
	switch start.text {
	case "G":
		if t := p.tok(); !t.isOp(OpEqual) {
			p.missingWord(form, "=")
		}
		p.next()
		g := p.plusMinus()
		return &ShaftModulus{at(), g}
	case "solid":
		s := &ShaftSolid{}
		s.D0, s.D1 = p.fromTo("for", form)
		if p.tok().isName("bore") {
			p.offerHollow(start, "a solid piece has no bore; one with a bore is hollow")
		}
		s.Length = p.length(form)
		s.shaftPlace = at()
		return s
	case "hollow":
		h := &ShaftHollow{}
		h.D0, h.D1 = p.fromTo("bore", form)
		p.needName("bore", form)
		h.B0, h.B1 = p.fromTo("for", form)
		h.Length = p.length(form)
		h.shaftPlace = at()
		return h
	case "profile":
		s := &ShaftProfile{D: p.sum()}
		if p.gotName("bore") {
			s.Bore = p.sum()
		}
		s.Length = p.length(form)
		s.shaftPlace = at()
		return s
	case "measured":
		return p.measured(form, at)
	case "square", "rectangle", "ellipse", "triangle", "tube", "open":
		if start.text == "tube" && !p.tok().isName("area") && p.comesLater("bore") {
			p.offerHollow(start, "tube is a thin wall around an area; a round piece with a bore is hollow")
		}
		return p.section(start.text, form, at)
	case "core":
		c := &ShaftCore{D: p.sum()}
		p.needName("G", form)
		c.G = p.sum()
		c.shaftPlace = at()
		return c
	case "yields":
		y := &ShaftYield{Stress: p.station(form)}
		y.shaftPlace = at()
		return y
	case "hold", "fixed":
		h := &ShaftHold{X: p.station(form), Fixed: start.text == "fixed"}
		if p.gotName("stiffness") {
			h.Stiffness = p.sum()
		}
		h.shaftPlace = at()
		return h
	case "torque":
		line := p.torque(form, at)
		if p.tok().isWord("at") {
			d := p.errorf(p.tokenSpan(start), ShaftLineForm, "a power at a speed of rotation is not a torque")
			d.Repair = "did you mean power?"
			d.Fix = &source.Fix{Span: p.tokenSpan(start), Text: "power"}
		}
		return line
	case "distributed":
		p.needName("torque", form)
		return p.distributedTorque(form, at)
	case "power":
		s := &ShaftPower{P: p.sum()}
		s.Out = p.gotName("out")
		s.Speed = p.station(form)
		s.X = p.station(form)
		s.shaftPlace = at()
		return s
	case "allow":
		return p.allow(form, at)
	}
	return p.gear(form, at)
}

// offerShaftLine offers the word with which a line was probably meant to begin. T = is
// a torque.
func (p *parser) offerShaftLine(d *source.Diagnostic, start, second token) {
	word := nearShaftLine(start.text, second)
	if second.isOp(OpEqual) {
		switch word = ""; start.text {
		case "T", "M", "Mt", "M_t":
			d.Span.End, word = int(second.end), "torque"
		case "g":
			word = "G"
		default:
			if shaftWords[start.text] {
				return
			}
			d.Repair = "a name is defined in a calculation cell; a piece has its diameter and its length in one line: solid 36 mm for 400 mm"
		}
	}
	if word != "" {
		d.Repair = "did you mean " + word + "?"
		d.Fix = &source.Fix{Span: d.Span, Text: word}
	}
}

// fromTo reads "A" or "A to B", which may have tolerances; the second is nil if
// absent. next is the word that follows in the form.
func (p *parser) fromTo(next, form string) (a, b Expr) {
	a = p.plusMinus()
	if p.gotWord("to") {
		return a, p.plusMinus()
	}
	if t := p.tok(); t.startsOperand() && !t.isName(next) && !t.isName("bore") && p.comesLater(next) {
		p.missingWord(form, "to")
	}
	return a, b
}

// offerHollow reports a round piece with a bore whose line begins with another word.
func (p *parser) offerHollow(start token, message string) {
	d := p.errorf(p.tokenSpan(start), ShaftLineForm, "%s", message)
	d.Repair = "did you mean hollow?"
	d.Fix = &source.Fix{Span: p.tokenSpan(start), Text: "hollow"}
}

// length reads "for L". A piece from 200 mm to 600 mm is 400 mm long.
func (p *parser) length(form string) Expr {
	if from := p.tok(); from.isWord("from") && !p.broken {
		p.pos++
		a := p.sum()
		if p.gotWord("to") {
			b := p.sum()
			if p.broken || p.tok().kind != tEnd {
				p.missing("“for”", form)
				return b
			}
			text := "for " + b.Span().Content()
			if !isZero(a) {
				text += " − " + a.Span().Content()
			}
			d := p.errorf(p.since(from.start), MissingWord, "a piece begins where the one above it ends, and has a length")
			d.Repair = "write " + text
			d.Fix = &source.Fix{Span: d.Span, Text: text}
			return b
		}
		return a
	}
	p.needWord("for", form)
	return p.sum()
}

// isZero reports whether e is 0, with a unit or without.
func isZero(e Expr) bool {
	switch e := e.(type) {
	case *Number:
		return e.Value == 0
	case *Quantity:
		return e.Number.Value == 0
	}
	return false
}

// station reads "at X".
func (p *parser) station(form string) Expr {
	p.needWord("at", form)
	return p.sum()
}

// needName moves past a free word of a form or reports that it is missing.
func (p *parser) needName(word, form string) {
	if !p.gotName(word) {
		p.missingWord(form, word)
	}
}

// measured reads stations "x: d" separated by commas.
func (p *parser) measured(form string, at func() shaftPlace) ShaftLine {
	m := &ShaftMeasured{}
	for {
		comma := p.before()
		m.X = append(m.X, p.sum())
		if !p.got(tColon) && !p.isDecimalComma(comma) {
			p.missingWord(form, ":")
		}
		m.D = append(m.D, p.sum())
		if p.broken || !p.got(tComma) {
			break
		}
	}
	m.shaftPlace = at()
	return m
}

func (p *parser) section(word, form string, at func() shaftPlace) ShaftLine {
	s := &ShaftSection{Kind: sectionKinds[word]}
	if s.Kind == OpenWall {
		s.Sizes = p.walls(form)
		s.Length = p.length(form)
		s.shaftPlace = at()
		return s
	}
	if s.Kind == ThinTube {
		p.needName("area", form)
	}
	s.Sizes = []Expr{p.sum()}
	switch s.Kind {
	case Rectangle, Ellipse:
		p.needName("by", form)
		s.Sizes = append(s.Sizes, p.sum())
	case ThinTube:
		p.needName("around", form)
		s.Sizes = append(s.Sizes, p.sum())
		p.needName("wall", form)
		s.Sizes = append(s.Sizes, p.sum())
	}
	s.Length = p.length(form)
	s.shaftPlace = at()
	return s
}

// walls reads "wall t along s and wall t along s": the parts of an open wall.
func (p *parser) walls(form string) (sizes []Expr) {
	for {
		p.needName("wall", form)
		sizes = append(sizes, p.sum())
		if around := p.tok(); around.isName("around") {
			d := p.errorf(p.tokenSpan(around), MissingWord, "an open wall does not go around an area; it has its length along its median line")
			d.Repair = "write along; the full form is: " + form
			d.Fix = &source.Fix{Span: p.tokenSpan(around), Text: "along"}
		} else {
			p.needName("along", form)
		}
		sizes = append(sizes, p.sum())
		if p.broken || !p.gotWord("and") {
			return sizes
		}
	}
}

var sectionKinds = map[string]SectionKind{
	"square": Square, "rectangle": Rectangle, "ellipse": Ellipse, "triangle": Triangle, "tube": ThinTube, "open": OpenWall,
}

var sectionText = [...]string{"square", "rectangle", "ellipse", "triangle", "tube", "open"}

// String returns the word that opens the line of such a piece.
func (k SectionKind) String() string { return sectionText[k] }

// torque reads a torque at a place or spread over a length.
func (p *parser) torque(form string, at func() shaftPlace) ShaftLine {
	t0, t1 := p.fromTo("from", "torque 150 N·m/m to 0 N·m/m from 200 mm to 1000 mm")
	if p.gotWord("from") {
		s := &ShaftSpread{T0: t0, T1: t1, From: p.sum()}
		p.needWord("to", "torque 150 N·m/m from 200 mm to 1000 mm")
		s.To = p.sum()
		s.shaftPlace = at()
		return s
	}
	if t1 != nil {
		p.missing("“from”", "torque 150 N·m/m to 0 N·m/m from 200 mm to 1000 mm")
	}
	form += ", or torque 150 N·m/m from 200 mm to 1000 mm"
	if !p.gotWord("at") {
		if t := p.tok(); nearWord(t.text, []string{"at", "from"}) != "" {
			p.missingWord(form, "at", "from")
		} else {
			p.missingWord(form, "at")
		}
	}
	s := &ShaftTorque{T: t0, X: p.sum()}
	s.shaftPlace = at()
	return s
}

// distributedTorque reads what follows distributed torque: a torque per length with
// its two ends.
func (p *parser) distributedTorque(form string, at func() shaftPlace) ShaftLine {
	s := &ShaftSpread{Distributed: true}
	s.T0, s.T1 = p.fromTo("from", form)
	p.needWord("from", form)
	s.From = p.sum()
	p.needWord("to", form)
	s.To = p.sum()
	s.shaftPlace = at()
	return s
}

func (p *parser) allow(form string, at func() shaftPlace) ShaftLine {
	t := p.tok()
	if !p.gotName("stress") && !p.gotName("twist") {
		p.missingWord(form+", or allow twist 1 deg/m", "stress", "twist")
		return nil
	}
	a := &ShaftAllow{What: t.text, Limit: p.sum()}
	a.shaftPlace = at()
	return a
}

func (p *parser) gear(form string, at func() shaftPlace) ShaftLine {
	g := &ShaftGear{Teeth: p.sum()}
	p.needName("teeth", form)
	g.X = p.station(form)
	p.needName("drives", form)
	g.Other = p.newName(form)
	g.OtherTeeth = p.sum()
	p.needName("teeth", form)
	g.OtherX = p.station(form)
	g.shaftPlace = at()
	return g
}
