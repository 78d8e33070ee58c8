package notation

import (
	"fmt"

	"shaftbook/kernel/source"
)

// This file reads what is written otherwise on a blackboard, beside the forms with files of
// their own. Each form becomes one of the nodes that the words of the notation give
// too, so that nothing behind the parser needs to know of it.

// isApplied reports whether a line begins with d(0 m) =, where d is a function of
// the derivation: a claim, since a function is defined for a name.
func (p *parser) isApplied(head int) bool {
	toks := p.toks[p.pos:head]
	if len(toks) > 3 && p.isBuiltin(toks[0]) && !(len(toks) == 4 && toks[2].kind == tName) {
		return true
	}
	return len(toks) > 3 && p.names.functions[Canonical(toks[0].text)] != "" && !(len(toks) == 4 && toks[2].kind == tName)
}

// leadWords are read as ∴ at the beginning of a line.
var leadWords = makeSet("hence Hence so So thus Thus therefore Therefore then Then")

// leadLength returns how many tokens at the beginning of a line only lead over to it: ⇒,
// ∴, or a word such as hence with a comma, before what it claims. A word that is the name
// of something is none, and neither is one that the line defines.
func (n names) leadLength(toks []token) int {
	if toks[0].kind == tTherefore {
		return 1
	}
	if !leadWords[toks[0].text] || n.defined[toks[0].text] || len(toks) < 2 {
		return 0
	}
	switch next := toks[1]; {
	case next.kind == tComma || next.kind == tColon:
		return 2
	case isRelation(next) && !definedAsName[toks[0].text], next.startsOperand() && next.kind != tOpen:
		return 1
	}
	return 0
}

// definedAsName are the lead words that a line may define: So = 2·a.
var definedAsName = makeSet("so So Then")

// withLead puts the sign ⇒ or ∴ before the first of the lines.
func withLead(lines []DeriveLine, lead string) {
	if len(lines) == 0 {
		return
	}
	switch s := lines[0].(type) {
	case *DeriveDefine:
		s.Lead = lead
	case *DeriveStep:
		s.Lead = lead
	}
}

// constants reads the names after for constant.
func (p *parser) constants(s *DeriveStep) {
	for {
		s.Constant = append(s.Constant, p.newName("∝ L/d^4 for constant T, G"))
		if p.broken || !p.got(tComma) {
			return
		}
	}
}

// twoReadings reports a text that can be read in two ways.
func (p *parser) twoReadings(at source.Span, one, other string) Expr {
	p.errorf(at, TwoReadings, "this can be read in two ways").Repair = fmt.Sprintf("write %s or %s, whichever is meant", one, other)
	return p.badExpr(at)
}

// wrapped puts a form that reaches far to the right in brackets if an operator or
// a factor follows it, as it would stand in the words of the notation.
func (p *parser) wrapped(e Expr) Expr {
	t := p.tok()
	isFactor := p.touches(t) && !p.isDifferential(p.pos) && !p.unitBehind(t)
	if p.broken || t.kind != tSuper && (t.kind != tOp || t.op > OpPow) && !isFactor {
		return e
	}
	p.node()
	return &Paren{ExprAt(e.Span()), e}
}
