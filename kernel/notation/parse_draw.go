package notation

import "slices"

// drawn are the words before "of" in a draw statement.
var drawn = []string{"section", "cut"}

// drawForms are the words before "of" with what they draw.
var drawForms = map[string]DrawForm{"section": DrawSection, "cut": DrawCut}

func (p *parser) draw() Stmt {
	start := p.next()
	d := &Draw{}
	if word := p.tok(); word.kind == tName && p.peek().isWord("of") {
		p.drawPlace(d, word)
	} else {
		d.Shaft = p.newName("draw S")
		for !p.broken && p.drawOption(d) {
		}
	}
	p.finish("the draw statement")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	d.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return d
}

// drawPlace reads "section of S at x" and "cut of S at x"; word is its first.
func (p *parser) drawPlace(d *Draw, word token) {
	form := "draw section of S at 400 mm"
	if !slices.Contains(drawn, word.text) {
		p.missingWord(form+", or draw cut of S at 400 mm", drawn...)
		return
	}
	if d.Form = drawForms[word.text]; d.Form == DrawCut {
		form = "draw cut of S at 400 mm"
	}
	p.pos += 2
	d.Shaft = p.newName(form)
	d.X = p.station(form)
}

// drawOption reads one of the words that may follow "draw S" and reports whether
// there was one. What belongs to one form only ends the statement in another.
func (p *parser) drawOption(d *Draw) bool {
	plain := d.Segments == nil && !d.Axial && !d.Alone
	switch t := p.tok(); {
	case t.isWord("in") && d.Segments == nil && d.Form == DrawShaft:
		p.pos++
		d.Segments = p.sum()
		if !p.gotName("segments") && !p.gotName("segment") {
			p.missing("“segments”", "draw S in 8 segments")
		}
	case t.isName("twisted") && d.Times == nil:
		p.pos++
		d.Times = p.sum()
		if !p.gotName("times") {
			p.missing("“times”", "draw S twisted 20 times")
		}
	case (t.isName("with") || t.isWord("with")) && !d.Axial && d.Form == DrawShaft:
		p.pos++
		if !p.gotName("axial") || !p.gotName("arrows") {
			p.missing("“axial arrows”", "draw S with axial arrows")
		}
		d.Axial = true
	case t.isName("alone") && !d.Alone && d.Form == DrawShaft:
		p.pos++
		d.Alone = true
	case t.isName("before") && plain && d.Form == DrawShaft:
		p.pos++
		if !p.gotWord("and") || !p.gotName("after") {
			p.missing("“and after”", "draw S before and after")
		}
		d.Form = DrawTwisting
	case t.isWord("between") && plain && d.Form == DrawShaft:
		p.pos++
		if !p.gotName("uniform") || !p.gotName("companions") {
			p.missing("“uniform companions”", "draw S between uniform companions")
		}
		d.Form = DrawCompanions
	default:
		return false
	}
	return true
}
