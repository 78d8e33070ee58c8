package notation

// MaxReadings is how many readings one statement can hold.
const MaxReadings = 200

const (
	readingsForm = "readings test of T in N·m, θ in deg: 0: 0.02, 10: 0.31, 20: 0.63"
	lineForm     = "line fit through test"
)

// opensReadings reports whether "readings NAME of" begins here. The words are free as
// names elsewhere.
func (p *parser) opensReadings() bool {
	return p.tok().isName("readings") && (p.peek().kind == tName || p.peek().isWord("of"))
}

// opensLine reports whether "line NAME through", or this with a word missing or wrong,
// begins here.
func (p *parser) opensLine() bool {
	if !p.tok().isName("line") || p.peek().kind != tName {
		return false
	}
	third := p.toks[p.pos+2] // there is an end behind each name
	return p.peek().isName("through") || third.kind == tName || third.kind == tWord && third.text != "in" && third.text != "to"
}

// readings reads "readings test of T in N·m, θ in deg: 0: 0.02, 10: 0.31".
func (p *parser) readings() Stmt {
	start := p.next()
	if p.tok().isWord("of") {
		p.missing("a name for the readings", readingsForm)
	}
	s := &Readings{}
	if !p.broken {
		s.Name = p.newName(readingsForm)
	}
	p.needWord("of", readingsForm)
	s.X = p.readingsAxis()
	if !p.broken && !p.got(tComma) {
		p.missing("a comma and what was read", readingsForm)
	}
	s.Y = p.readingsAxis()
	if !p.broken && !p.got(tColon) {
		p.missingWord(readingsForm, ":")
	}
	for !p.broken {
		comma, from := p.before(), p.tok()
		s.Xs = append(s.Xs, p.sum())
		if !p.broken && !p.got(tColon) && !p.isDecimalComma(comma) {
			p.missingWord(readingsForm, ":")
		}
		s.Ys = append(s.Ys, p.sum())
		if len(s.Xs) > MaxReadings {
			p.errorf(p.since(from.start), TooManyParts, "one statement can hold at most %d readings", MaxReadings).
				Repair = "take the mean of those that were read at the same value"
		}
		if p.broken || !p.got(tComma) {
			break
		}
	}
	p.finish("the readings")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}

// readingsAxis reads "T in N·m".
func (p *parser) readingsAxis() ReadingsAxis {
	if p.broken {
		return ReadingsAxis{}
	}
	a := ReadingsAxis{Name: p.newName(readingsForm)}
	if !p.broken && p.gotWord("in") {
		a.Unit = p.unit()
	}
	return a
}

// line reads "line fit through test and origin without 7, 9".
func (p *parser) line() Stmt {
	start := p.next()
	s := &Line{}
	if p.tok().isName("through") {
		p.missing("the name of the line", lineForm)
	}
	s.Name = p.newName(lineForm)
	if !p.broken {
		p.needName("through", lineForm)
	}
	s.Through = p.newName(lineForm)
	if !p.broken && p.gotWord("and") {
		p.needName("origin", lineForm+" and origin")
		s.Origin = true
	}
	if !p.broken && p.gotName("without") {
		for {
			s.Without = append(s.Without, p.sum())
			if p.broken || !p.got(tComma) {
				break
			}
		}
	}
	p.finish("the line")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}

// plotLine reads what follows plot in "plot fit" and "plot residuals of fit"; ok is
// false where it is a plot of curves.
func (p *parser) plotLine(start token) (Stmt, bool) {
	s := &PlotLine{}
	switch {
	case p.tok().isName("residuals") && p.peek().isWord("of"):
		p.pos += 2
		s.Residuals = true
		s.Of = p.newName("plot residuals of fit")
	case p.tok().kind == tName && p.peek().kind == tEnd && !p.isBuiltin(p.tok()) && Canonical(p.tok().text) != "π":
		s.Of = p.newName("plot fit")
	default:
		return nil, false
	}
	p.finish("the plot")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}, true
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s, true
}
