package notation

import (
	"maps"
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// This file finds words of the notation that are misspelt, or left out.

// nearWord returns the one of some words that a word was probably meant for, "" if
// there is none or more than one.
func nearWord(word string, among []string) string {
	_, near := nearest(word, among)
	if len(near) != 1 {
		return ""
	}
	return near[0]
}

// nearest returns the words that are near to a word and nearer than others: with a
// letter wrong, or two in six letters or more, capitals aside; none for a word that
// is among them.
func nearest(word string, among []string) (cost int, near []string) {
	if len(word) < 2 {
		return 0, nil
	}
	lower := strings.ToLower(word)
	for _, w := range among {
		if w == word {
			return 0, nil
		}
		c := unit.Slips(lower, w)
		most := 2
		switch {
		case len(w) >= 6:
			most = 4
		case len(w) <= 2 && !isSwapped(lower, w):
			most = 0
		}
		switch {
		case c > most:
		case near == nil || c < cost:
			cost, near = c, []string{w}
		case c == cost:
			near = append(near, w)
		}
	}
	return cost, near
}

// isSwapped reports whether two words of two letters differ in the order of these.
func isSwapped(a, b string) bool { return len(a) == 2 && len(b) == 2 && a[0] == b[1] && a[1] == b[0] }

// openingWords are the words that begin a statement of a calculation cell.
var openingWords = strings.Fields("vary expect table plot draw prefer trials readings")

// NearOpening returns the word that begins statements and is nearest to a word; see
// nearWord.
func NearOpening(word string) string { return nearWord(word, openingWords) }

// misspeltOpening replaces the error of a statement that begins with a misspelt word
// such as tabel, behind which something follows without an operator.
func (p *parser) misspeltOpening(start, second token) {
	if !p.broken || len(p.list) == 0 || start.kind != tName || !second.startsOperand() && second.kind != tWord || second.kind == tOpen && !second.space {
		return
	}
	word := NearOpening(start.text)
	if word == "" {
		return
	}
	d := &p.list[len(p.list)-1]
	if d.Span.Start < int(start.start) {
		return
	}
	*d = misspelt(p.tokenSpan(start), word)
}

// formWords begin the forms with of behind them.
var formWords = strings.Fields("sum product integral derivative root largest smallest limit")

// beforeNames are words before a definition that have no meaning here.
var beforeNames = makeSet("let set define where given with Let Set Define Where Given With and")

// nameOfWords reports tau max = 40 MPa and let T = 420 N·m, where two words stand
// before the =.
func (p *parser) nameOfWords() bool {
	first, second := p.tok(), p.peek()
	if first.kind != tName && !beforeNames[first.text] || second.kind != tName || p.pos+2 >= len(p.toks) || !p.toks[p.pos+2].isOp(OpEqual) {
		return false
	}
	at := p.span(int(first.start), int(second.end))
	if beforeNames[first.text] {
		d := p.errorf(p.tokenSpan(first), UnexpectedEqual, "a definition begins with its name")
		d.Repair = "leave “" + first.text + "” out"
		d.Fix = &source.Fix{Span: at, Text: second.text}
		return true
	}
	if first.text == "Delta" || first.text == "Δ" {
		d := p.errorf(at, UnexpectedEqual, "a name is one word")
		d.Repair = "write Δ" + second.text
		d.Fix = &source.Fix{Span: at, Text: "Δ" + second.text}
		return true
	}
	if len(second.text) < 2 || NearOpening(first.text) != "" {
		return false
	}
	d := p.errorf(at, UnexpectedEqual, "a name is one word")
	d.Repair = "write " + first.text + "_" + second.text
	d.Fix = &source.Fix{Span: at, Text: first.text + "_" + second.text}
	return true
}

func misspelt(at source.Span, word string) source.Diagnostic {
	return source.Diagnostic{Span: at, Code: MisspeltWord, Message: "“" + at.Content() + "” is not a word of the notation",
		Repair: "did you mean " + word + "?", Fix: &source.Fix{Span: at, Text: word}}
}

// shaftOpenings are the words that begin a line of a shaft cell, and shaftInner those
// within one.
var (
	shaftOpenings = strings.Fields("solid hollow profile measured square rectangle ellipse triangle tube open core yields hold fixed torque distributed power allow gear")
	shaftInner    = strings.Fields("for to at from bore area around wall along by stiffness out teeth drives stress twist")
)

// shaftSynonyms are words for lines of a shaft that are called otherwise here.
var shaftSynonyms = map[string]string{
	"taper": "solid", "tapered": "solid", "cone": "solid", "conical": "solid", "cylinder": "solid", "round": "solid", "circular": "solid", "bar": "solid", "rod": "solid",
	"pipe": "hollow", "tubular": "hollow", "slit": "open", "strip": "open", "channel": "open",
	"fix": "fixed", "clamp": "fixed", "clamped": "fixed", "support": "hold", "held": "hold",
	"moment": "torque", "couple": "torque", "load": "torque", "spread": "distributed", "yield": "yields", "plastic": "yields",
}

// nearShaftLine returns the word with which a line of a shaft was probably meant to
// begin, next being the token behind it; "" if that is not plain.
func nearShaftLine(word string, next token) string {
	if w := shaftSynonyms[strings.ToLower(word)]; w != "" {
		return w
	}
	among := slices.DeleteFunc(slices.Clone(shaftOpenings), func(w string) bool {
		switch w {
		case "hold", "fixed", "yields":
			return !next.isWord("at")
		case "tube":
			return !next.isName("area")
		case "open":
			return !next.isName("wall")
		}
		return next.isWord("at")
	})
	if w := nearWord(word, among); w != "" {
		return w
	}
	if _, w := nearest(word, slices.Sorted(maps.Keys(shaftSynonyms))); w != nil {
		for _, synonym := range w[1:] {
			if shaftSynonyms[synonym] != shaftSynonyms[w[0]] {
				return ""
			}
		}
		return shaftSynonyms[w[0]]
	}
	return ""
}

// innerSynonyms are words within a line of a shaft that are called otherwise here.
var innerSynonyms = map[string]string{
	"inner": "bore", "inside": "bore", "hole": "bore", "length": "for", "long": "for", "over": "for", "on": "at", "x": "by",
}

// isMisspeltInner reports whether t is a misspelt word within a line of a shaft: an
// operand follows it, as nothing follows a factor.
func (p *parser) isMisspeltInner(t token) bool {
	if p.mode != shaftMode || t.kind != tName || !p.peek().startsOperand() || p.peek().kind == tOpen {
		return false
	}
	if innerSynonyms[t.text] != "" {
		return p.peek().kind == tNumber
	}
	_, near := nearest(t.text, shaftInner)
	return near != nil
}

// missingWord reports that one of some words of a form is missing: misspelt, or left
// out before what it belongs to.
func (p *parser) missingWord(form string, words ...string) {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = "“" + w + "”"
	}
	t, n := p.tok(), len(p.list)
	p.missing(strings.Join(quoted, " or "), form)
	if len(p.list) == n || p.list[n].Code != MissingWord {
		return
	}
	d := &p.list[n]
	near := ""
	if t.kind == tName || t.kind == tWord {
		if near = innerSynonyms[t.text]; p.mode != shaftMode || !slices.Contains(words, near) {
			near = nearWord(t.text, words)
		}
	}
	switch {
	case near != "":
		*d = misspelt(p.tokenSpan(t), near)
		d.Repair += " the full form is: " + form
	case p.mode == shaftMode && t.startsOperand() && len(words) == 1:
		at := p.span(int(t.start), int(t.start))
		d.Fix = &source.Fix{Span: at, Text: words[0] + " "}
	}
}

// comesLater reports whether a word follows in the line.
func (p *parser) comesLater(word string) bool {
	for _, t := range p.toks[p.pos:] {
		switch {
		case t.kind == tEnd:
			return false
		case t.isWord(word) || t.isName(word):
			return true
		}
	}
	return false
}
