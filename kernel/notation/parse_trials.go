package notation

// MaxTrials is how many values one statement can have tried, and how many guesses.
const MaxTrials = 200

const trialsForm = "trials of θ_n in deg between θ_thick and θ_thin for n"

// trials reads "trials of E, F between A and B for n at 2, 4 guessed Q at 8".
func (p *parser) trials() Stmt {
	start := p.next()
	p.needWord("of", trialsForm)
	s := &Trials{}
	if !p.broken {
		s.Columns = p.columns()
	}
	switch {
	case p.broken:
	case p.gotWord("between"):
		s.Low = p.sum()
		p.needWord("and", trialsForm)
		s.High = p.sum()
	case p.gotWord("within"):
		s.Bracket = p.sum()
	}
	p.needWord("for", trialsForm)
	s.Var = p.newName(trialsForm)
	if !p.broken && p.gotWord("at") {
		s.Tried = p.tried()
	}
	if !p.broken && p.gotName("guessed") {
		s.Guesses = p.guesses()
	}
	p.finish("the trials statement")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}

// tried reads the values behind at.
func (p *parser) tried() []Expr {
	var list []Expr
	for {
		from := p.tok()
		list = append(list, p.sum())
		if len(list) > MaxTrials {
			p.errorf(p.since(from.start), TooManyParts, "one statement can have tried at most %d values", MaxTrials).
				Repair = "take out those that are not needed"
		}
		if p.broken || !p.got(tComma) {
			return list
		}
	}
}

// guesses reads "0.69 deg at 8, 0.693 deg at 16" behind guessed.
func (p *parser) guesses() []Guess {
	var list []Guess
	for {
		from := p.tok()
		g := Guess{Value: p.sum()}
		p.needWord("at", trialsForm+" at 2, 4 guessed 0.69 deg at 8")
		g.At = p.sum()
		list = append(list, g)
		if len(list) > MaxTrials {
			p.errorf(p.since(from.start), TooManyParts, "one statement can have at most %d guesses", MaxTrials).
				Repair = "take out those that are not needed"
		}
		if p.broken || !p.got(tComma) {
			return list
		}
	}
}

// segmentTable reads "table of S in n segments"; start is the word table, which has
// been read, and of is the current token.
func (p *parser) segmentTable(start token) Stmt {
	const form = "table of S in n segments"
	p.needWord("of", form)
	if p.tok().isName("tolerances") && p.peek().isWord("of") {
		return p.toleranceTable(start)
	}
	s := &SegmentTable{Shaft: p.newName(form)}
	p.needWord("in", form)
	s.Segments = p.sum()
	if !p.broken && !p.gotName("segments") && !p.gotName("segment") {
		p.missing("“segments”", form)
	}
	if !p.broken {
		s.Display = p.display()
	}
	p.finish("the table")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}

// toleranceTable reads "table of tolerances of θ in deg"; start is the word table, and
// tolerances is the current token.
func (p *parser) toleranceTable(start token) Stmt {
	p.pos += 2
	s := &ToleranceTable{Expr: p.expression()}
	if !p.broken {
		s.Display = p.display()
	}
	p.finish("the table")
	if p.broken {
		return &BadStmt{stmtPlace{Place{p.statementSpan(start)}}}
	}
	s.stmtPlace = stmtPlace{Place{p.statementSpan(start)}}
	return s
}
