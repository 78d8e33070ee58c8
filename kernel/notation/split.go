package notation

import (
	"strings"

	"shaftbook/kernel/source"
)

// This file offers to put statements that stand on one line on lines of their own,
// T = 420 N·m; L = 1 m, and to take away what marks the items of a list.

// splitAt returns the repair that begins a new line at each separator from the token
// at index i on, a comma, a semicolon or nothing at all; nil if anything but a
// statement begins behind one.
func (p *parser) splitAt(i int) *source.Fix {
	var marks []edit
	depth := 0
	for ; i < len(p.toks) && p.toks[i].kind != tEnd; i++ {
		t := p.toks[i]
		switch t.kind {
		case tOpen, tOpenBrace, tOpenSquare:
			depth++
		case tClose, tCloseBrace, tCloseSquare:
			depth--
		}
		isMark := t.kind == tComma || t.kind == tBad && t.text == ";"
		isMark = isMark || t.kind == tWord && t.text == "and" && p.opensHere(i+1)
		switch {
		case depth > 0:
		case isMark && i+1 < len(p.toks) && p.toks[i+1].kind == tEnd && len(marks) > 0:
			marks = append(marks, edit{p.endBefore(i), int(t.end), ""})
		case isMark && !p.opensHere(i+1):
			return nil
		case isMark:
			i++
			marks = append(marks, edit{p.endBefore(i - 1), int(p.toks[i].start), "\n"})
		case i > 0 && p.toks[i-1].kind != tEnd && p.opensHere(i):
			marks = append(marks, edit{p.endBefore(i), int(t.start), "\n"})
		}
	}
	if len(marks) == 0 {
		return nil
	}
	at := p.span(marks[0].start, marks[len(marks)-1].end)
	return &source.Fix{Span: at, Text: applyEdits(at.Content(), at.Start, marks)}
}

func (p *parser) endBefore(i int) int {
	if i == 0 {
		return int(p.toks[i].start)
	}
	return int(p.toks[i-1].end)
}

// opensHere reports whether a statement begins with the token at index i.
func (p *parser) opensHere(i int) bool {
	if i+1 >= len(p.toks) || p.toks[i].kind != tName {
		return false
	}
	next := p.toks[i+1]
	if p.mode == shaftMode {
		name := p.toks[i].text
		return name == "G" && next.isOp(OpEqual) || name == "hold" && next.isWord("at") || shaftWords[name] && next.startsOperand() && next.kind != tOpen
	}
	return p.mode == calcMode && next.isOp(OpEqual)
}

// offerSplit offers to split the statement at the token at index i on, if that is
// possible.
func offerSplit(d *source.Diagnostic, fix *source.Fix) {
	if fix == nil {
		return
	}
	d.Repair = "write each statement on a line of its own"
	d.Fix = fix
}

// bullet reports the sign before an item of a list, • T = 420 N·m, at the beginning of
// a statement.
func (p *parser) bullet(t token) bool {
	next := p.peek()
	if p.before().kind != tEnd || !strings.ContainsAny(t.text, "•∙·*-–—") || next.kind != tName || !p.opensHere(p.pos+1) {
		return false
	}
	d := p.errorf(p.tokenSpan(t), Unexpected, "“%s” marks an item of a list, which the notation does not know", t.text)
	d.Repair = "leave it out"
	d.Fix = &source.Fix{Span: p.span(int(t.start), int(next.end)), Text: next.text}
	return true
}
