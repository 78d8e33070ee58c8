package notation

import (
	"slices"
	"strings"

	"shaftbook/kernel/source"
)

// ParseDerivation reads a derivation. The cell is never nil.
func ParseDerivation(t *source.Text) (*DeriveCell, source.List) {
	cell := &DeriveCell{Text: t}
	p, ok := newParser(t, deriveMode)
	if ok {
		p.lines(func() { cell.Lines = append(cell.Lines, p.deriveLine(cell.Lines)...) })
	}
	return cell, p.list
}

// deriveLine reads one line, which may hold several steps: "θ = a ≤ b" is "θ = a"
// and the step "≤ b". above is the lines before it.
func (p *parser) deriveLine(above []DeriveLine) []DeriveLine {
	start := p.tok()
	at := func() derivePlace { return derivePlace{Place{p.since(start.start)}} }
	lead := ""
	if n := p.names.leadLength(p.toks[p.pos:]); n > 0 {
		p.pos += n
		if lead, start = start.text, p.tok(); leadWords[lead] {
			lead = "∴"
		}
	}
	var lines []DeriveLine
	switch {
	case lead != "" && (start.isWord("given") || start.kind == tEnd):
		p.errorf(p.tokenSpan(start), DeriveLineForm, "“%s” stands before a line that claims something", lead).Repair = "delete it, or write a line such as " + lead + " θ = T·L/(G·J)"
	case start.isWord("given"):
		lines = []DeriveLine{p.given(at)}
	case isRelation(start):
		if !hasStart(above) {
			p.errorf(p.tokenSpan(start), StepWithoutStart, "there is nothing above this line to compare with").Repair = "begin with a line such as θ = T·L/(J·G)"
			break
		}
		lines = p.steps(nil)
	case start.kind == tBad:
		p.reportBad(start)
	default:
		lines = p.beginning(start, at)
	}
	p.finish("the line")
	if p.broken {
		return []DeriveLine{&DeriveBad{at()}}
	}
	withLead(lines, lead)
	return lines
}

// beginning reads a line that begins with a name that is defined, or with an
// expression that is compared.
func (p *parser) beginning(start token, at func() derivePlace) []DeriveLine {
	head := p.pos + definitionHead(p.toks[p.pos:])
	if d := p.rate(); d != nil {
		return p.defined(d, start.start)
	}
	if p.toks[head].isOp(OpEqual) && !p.isApplied(head) {
		return p.deriveDefine(head)
	}
	if !slices.ContainsFunc(p.restOfLine(), isRelation) {
		p.errorf(p.tokenSpan(start), DeriveLineForm, "a line of a derivation gives, defines or claims something").
			Repair = "begin it with given, with name =, or with ="
		return nil
	}
	if start.kind == tIntSign && p.isIndefinite() {
		return p.steps(p.indefinite())
	}
	left := p.plusMinus()
	if !p.broken && !isRelation(p.tok()) {
		p.errorf(p.tokenSpan(p.tok()), DeriveLineForm, "a line of a derivation gives, defines or claims something").
			Repair = "begin it with given, with name =, or with ="
	}
	if p.broken {
		return nil
	}
	return p.steps(left)
}

// restOfLine returns the tokens up to the end of the line.
func (p *parser) restOfLine() []token {
	rest := p.toks[p.pos:]
	for i, t := range rest {
		if t.kind == tEnd || t.kind == tNewline {
			return rest[:i]
		}
	}
	return rest
}

// isRelation reports whether a token may begin a step.
func isRelation(t token) bool {
	return isComparison(t) && t.op != OpNotEqual || t.isOp(OpApprox) || t.isOp(OpPropTo)
}

// deriveDefine reads "θ = …" or "d(x) = …" and the steps on its line; head is the
// index of the =.
func (p *parser) deriveDefine(head int) []DeriveLine {
	start := p.tok().start
	d := &DeriveDefine{Name: p.newName("θ = T·L/(J·G)")}
	if !p.broken && p.tok().kind == tOpen {
		d.Params = p.parameters(head)
	}
	if p.broken {
		return nil
	}
	p.pos = head + 1
	return p.defined(d, start)
}

// defined reads what a definition gives, and the steps on its line.
func (p *parser) defined(d *DeriveDefine, start int32) []DeriveLine {
	d.Expr = p.side()
	p.whereBehind()
	if !p.broken && isRelation(p.tok()) {
		d.derivePlace = derivePlace{Place{p.since(start)}}
		return append([]DeriveLine{d}, p.steps(nil)...)
	}
	d.Reason = p.because()
	d.derivePlace = derivePlace{Place{p.since(start)}}
	return []DeriveLine{d}
}

// steps reads "= a ≤ b for x > 0 with u = … because …" or "= ?", a step for each
// relation. left, if there is one, is what the first is compared with.
func (p *parser) steps(left Expr) []DeriveLine {
	var list []DeriveLine
	for !p.broken && (len(list) == 0 || isRelation(p.tok())) {
		start := p.tok().start
		s := &DeriveStep{Left: left, Op: p.next().op}
		if left != nil {
			start = int32(left.Span().Start)
		}
		left = nil
		if s.Op == OpEqual && s.Left == nil && len(list) == 0 && p.got(tGap) {
			s.Gap = true
			s.Reason = p.because()
		} else {
			s.X = p.side()
			p.whereBehind()
		}
		if !s.Gap && !isRelation(p.tok()) {
			p.stepEnd(s)
		}
		s.derivePlace = derivePlace{Place{p.since(start)}}
		list = append(list, s)
	}
	return list
}

// stepEnd reads what may follow the last step of a line.
func (p *parser) stepEnd(s *DeriveStep) {
	if p.tok().isWord("for") && p.peek().isName("constant") && p.toks[p.pos+2].kind == tName {
		p.pos += 2
		p.constants(s)
	} else if p.isSmall() {
		p.small(s)
	} else if p.gotWord("for") {
		at := p.tok()
		c, ok := p.comparison().(*Compare)
		if !ok && !p.broken {
			p.errorf(p.tokenSpan(at), DeriveLineForm, "a domain is a comparison").Repair = "write for 0 m ≤ x ≤ L"
		}
		s.Domain = c
	}
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
}

// whereBehind reports "where k = d/D" behind a line: a definition, which has a line of
// its own above.
func (p *parser) whereBehind() {
	i := p.pos
	if p.toks[i].kind == tComma {
		i++
	}
	if p.broken || i >= len(p.toks) || !p.toks[i].isName("where") || p.toks[i+1].kind != tName {
		return
	}
	definition := strings.TrimSpace(p.span(int(p.toks[i+1].start), len(p.sc.src)).Content())
	definition, _, _ = strings.Cut(definition, "\n")
	p.errorf(p.tokenSpan(p.toks[i]), DeriveLineForm, "what follows “where” defines a name, and a name is defined above the line that uses it").
		Repair = "write " + definition + " on a line of its own above"
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
