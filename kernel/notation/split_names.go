package notation

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/unit"
)

// This file reads names that are written together: 2GJ, and in derivations πd^4.

// splitNames cuts names that nothing defines where only a product can be meant: two
// names that the choice takes for names though together they are the symbol of a
// unit, and in derivations π before a letter.
func (p *parser) splitNames() {
	if p.mode != deriveMode && p.sc.choice.Pairs == nil {
		return
	}
	var toks []token // nil until one is cut
	for i, t := range p.toks {
		n := p.together(t)
		switch {
		case n == 0 && toks == nil:
			continue
		case n == 0:
			toks = append(toks, t)
			continue
		case toks == nil:
			toks = append(make([]token, 0, len(p.toks)+1), p.toks[:i]...)
		}
		first, rest := t, t
		first.text, first.end = t.text[:n], t.start+int32(n)
		rest.text, rest.start, rest.space = t.text[n:], first.end, false
		toks = append(toks, first, rest)
	}
	if toks == nil {
		return
	}
	p.toks = toks
}

// together returns the length of the first of two names that a token holds, 0 if it
// is one name.
func (p *parser) together(t token) int {
	known := func(s string) bool { return p.names.defined[Canonical(s)] || p.names.bound[Canonical(s)] }
	if t.kind != tName || int(t.end-t.start) != len(t.text) || known(t.text) {
		return 0
	}
	if p.mode != deriveMode {
		if first, _, ok := TwoNames(t.text); ok && p.sc.choice.Pairs[Canonical(t.text)] {
			return len(first)
		}
		return 0
	}
	if rest, ok := strings.CutPrefix(t.text, "π"); ok {
		if r, _ := utf8.DecodeRuneInString(rest); unicode.IsLetter(r) && !isSubscript(r) && !reserved[rest] {
			return len("π")
		}
		return 0
	}
	if first, rest, ok := TwoNames(t.text); ok && p.sc.isName(t.text) && known(first) && known(rest) {
		return len(first)
	}
	return 0
}

// TwoNames cuts a word of two letters, such as GJ, which may be two names.
func TwoNames(word string) (first, rest string, ok bool) {
	_, n := utf8.DecodeRuneInString(word)
	if n == 0 || n == len(word) || utf8.RuneCountInString(word) != 2 {
		return "", "", false
	}
	r, _ := utf8.DecodeRuneInString(word[n:])
	return word[:n], word[n:], isNameStart(r)
}

// isAlwaysUnit holds the symbols of two letters that are read as units whatever the
// letters are.
var isAlwaysUnit = makeSet("mm cm km kg kN kW ms")

// PairOfNames is TwoNames for the symbol of a unit that two names may spell.
func PairOfNames(symbol string) (first, rest string, ok bool) {
	if isAlwaysUnit[symbol] {
		return "", "", false
	}
	return TwoNames(symbol)
}

// PrefixedPair is PairOfNames for a unit with a prefix, such as TL and GJ: in a cell a
// symbol without one, such as Pa and hp, is that unit.
func PrefixedPair(symbol string) (first, rest string, ok bool) {
	if _, isPrefixed := unit.PrefixedName(symbol); !isPrefixed {
		return "", "", false
	}
	return PairOfNames(symbol)
}
