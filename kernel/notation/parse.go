package notation

import (
	"shaftbook/kernel/source"
)

// Bounds on one text. They are far beyond what a person writes and keep any
// input cheap to read.
const (
	MaxText  = 64 << 10 // bytes in a cell
	MaxDepth = 64       // forms, brackets, signs and powers inside one another
	MaxNodes = 2000     // parts of one statement
	MaxFound = 100      // errors in a cell
)

// A parser reads the statements of one text.
type parser struct {
	// immutable
	sc   scanner
	toks []token // of the whole text, each statement ended by tEnd
	mode mode

	// state
	pos    int         // index of the current token
	list   source.List // what was found
	errors int         // how many errors list holds
	broken bool        // this statement has an error; skip to its end in silence
	depth  int         // nesting of the current expression
	nodes  int         // nodes of the current statement
	factor source.Span // the last factor read, for "write T·L"

	names     names      // what a derivation defines
	integrand *integrand // the body of ∫_0^L … dx that is being read, or nil
}

// newParser scans the text. ok is false if it is longer than MaxText.
func newParser(t *source.Text, m mode) (p *parser, ok bool) { return newParserInSteps(t, m, nil) }

// newParserInSteps is newParser that calls step now and then, if it is not nil.
func newParserInSteps(t *source.Text, m mode, step func()) (p *parser, ok bool) {
	p, ok = newParserIn(t, m, 0, len(t.Content), Choice{}, step)
	p.splitNames()
	return p, ok
}

// newParserIn is newParserInSteps for the piece of the text between two places.
func newParserIn(t *source.Text, m mode, from, to int, c Choice, step func()) (p *parser, ok bool) {
	p = &parser{sc: scanner{text: t, src: t.Content[:to], pos: from, mode: m, choice: c, step: step}, mode: m}
	if len(t.Content) > MaxText {
		p.list.Addf(source.Span{Text: t, Start: MaxText, End: MaxText}, TextTooLong,
			"this text is longer than %d kilobytes and was not read", MaxText>>10).Repair = "split it into several cells"
		p.toks = []token{{kind: tEnd}}
		return p, false
	}
	p.sc.scan()
	p.toks = joinLines(p.sc.toks, m)
	if n := len(p.toks); n == 0 || p.toks[n-1].kind != tEnd {
		end := int32(to)
		p.toks = append(p.toks, token{kind: tEnd, start: end, end: end})
	}
	if m == deriveMode {
		p.names = namesOf(p.toks)
	}
	return p, true
}

// ParseCell reads a calculation cell. The cell is never nil.
func ParseCell(t *source.Text) (*Cell, source.List) { return ParseCellInSteps(t, func() {}) }

// ParseCellInSteps is ParseCell for a text that may be long: it calls step before
// each statement and now and then while it looks for them, where the caller may let
// others have the processor.
func ParseCellInSteps(t *source.Text, step func()) (*Cell, source.List) {
	cell := &Cell{Text: t}
	p, ok := newParserInSteps(t, calcMode, step)
	if ok {
		p.lines(func() {
			step()
			cell.Stmts = append(cell.Stmts, p.statement())
		})
	}
	return cell, p.list
}

// ParseExpr reads a text that is one expression: an answer, a field of a form.
// The expression is never nil.
func ParseExpr(t *source.Text) (Expr, source.List) {
	p, ok := newParser(t, calcMode)
	if !ok {
		return p.badExpr(p.wholeText()), p.list
	}
	e := p.expression()
	p.finish("the expression")
	if !p.broken && p.pos >= len(p.toks)-1 {
		p.noteReadings(0, len(t.Content))
	}
	if !p.broken && p.pos < len(p.toks)-1 {
		p.pos++
		p.errorf(p.span(int(p.tok().start), len(p.sc.src)), Unexpected, "only one expression is allowed here").Repair = "write it on one line"
	}
	if p.broken {
		return p.badExpr(p.wholeText()), p.list
	}
	return e, p.list
}

// ParseAnswer reads what a learner typed: one expression, perhaps with a name
// and = in front, as in θ = 0.97 deg. The expression is never nil.
func ParseAnswer(t *source.Text) (Expr, source.List) {
	cell, list := ParseCell(t)
	if len(cell.Stmts) == 1 && !list.HasErrors() {
		if d, ok := cell.Stmts[0].(*Define); ok && d.Display == (Display{}) {
			return d.Expr, list
		}
	}
	return ParseExpr(t)
}

// lines calls read for each statement and makes sure that it ends at the end
// of the statement, whatever happened.
func (p *parser) lines(read func()) {
	for p.pos < len(p.toks) {
		if p.tok().kind == tEnd {
			p.pos++
			continue
		}
		if p.errors == MaxFound {
			p.broken = false
			p.errorf(p.tokenSpan(p.tok()), TooManyErrors, "more than %d lines have errors; the rest was not read", MaxFound)
			return
		}
		p.broken, p.depth, p.nodes = false, 0, 0
		p.factor, p.integrand = source.Span{}, nil
		from := int(p.tok().start)
		read()
		p.finish("the statement")
		p.skipToEnd()
		p.noteReadings(from, int(p.before().end))
	}
}

// tok returns the current token. At the end of a statement it stays tEnd.
func (p *parser) tok() token { return p.toks[p.pos] }

// peek returns the token after the current one, tEnd at the end.
func (p *parser) peek() token {
	if p.tok().kind == tEnd {
		return p.tok()
	}
	return p.toks[p.pos+1]
}

// next returns the current token and moves on, but never past the end of the
// statement.
func (p *parser) next() token {
	t := p.tok()
	if t.kind != tEnd {
		p.pos++
	}
	return t
}

// before returns the token before the current one, on whatever line.
func (p *parser) before() token {
	if p.pos == 0 {
		return token{kind: tEnd}
	}
	return p.toks[p.pos-1]
}

func (p *parser) skipToEnd() {
	for p.tok().kind != tEnd {
		p.pos++
	}
}

func (p *parser) span(start, end int) source.Span { return p.sc.span(start, end) }

func (p *parser) tokenSpan(t token) source.Span { return p.span(int(t.start), int(t.end)) }

// since returns the span from start to the end of the last token read.
func (p *parser) since(start int32) source.Span {
	return p.span(int(start), max(int(start), int(p.before().end)))
}

// wholeText returns the span of the text without white space around it.
func (p *parser) wholeText() source.Span {
	return p.span(int(p.toks[0].start), int(p.toks[len(p.toks)-1].end))
}

// gotWord moves past a reserved word if it is the current token.
func (p *parser) gotWord(word string) bool {
	if !p.tok().isWord(word) {
		return false
	}
	p.pos++
	return true
}

// gotName moves past a free name that acts as a word here.
func (p *parser) gotName(name string) bool {
	if !p.tok().isName(name) {
		return false
	}
	p.pos++
	return true
}

// got moves past a token of kind k if it is the current one.
func (p *parser) got(k kind) bool {
	if p.tok().kind != k {
		return false
	}
	p.pos++
	return true
}

// needWord moves past a reserved word or reports that it is missing; form
// shows the whole form.
func (p *parser) needWord(word, form string) bool {
	if p.gotWord(word) {
		return true
	}
	p.missingWord(form, word)
	return false
}

// node counts one more part of the statement.
func (p *parser) node() {
	if p.nodes++; p.nodes == MaxNodes+1 {
		p.errorf(p.tokenSpan(p.tok()), TooManyParts, "this statement has more than %d parts", MaxNodes).Repair = "split it into several definitions"
	}
}

// enter counts one more level of nesting; the caller must leave.
func (p *parser) enter() bool {
	p.depth++
	if p.depth > MaxDepth {
		p.errorf(p.tokenSpan(p.tok()), TooDeep, "this is nested more than %d deep", MaxDepth).Repair = "give the inner part a name of its own"
	}
	return !p.broken
}

func (p *parser) leave() { p.depth-- }

// name makes a Name of a token.
func (p *parser) name(t token) *Name {
	return &Name{exprPlace: ExprAt(p.tokenSpan(t)), Ident: Canonical(t.text)}
}

func (p *parser) badExpr(at source.Span) Expr { return &Bad{ExprAt(at)} }
