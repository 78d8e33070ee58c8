package notation

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// This file finds the names that a derivation brings in, so that e, dx and the like keep the
// meaning that the writer gives them.

// names holds the names that a derivation brings in, so that e, dx and the like
// keep the meaning that the writer gives them.
type names struct {
	defined   map[string]bool   // given or defined
	bound     map[string]bool   // parameters, and names of forms
	functions map[string]string // defined with one parameter, which it gives
	over      map[string]bool   // the x of each dx
	rates     map[string]bool   // the θ of each dθ/dx =
}

// namesOf looks through the lines of a derivation.
func namesOf(toks []token) names {
	n := names{map[string]bool{}, map[string]bool{}, map[string]string{}, map[string]bool{}, map[string]bool{}}
	for len(toks) > 0 {
		end := slices.IndexFunc(toks, func(t token) bool { return t.kind == tEnd })
		n.line(toks[:end+1])
		toks = toks[end+1:]
	}
	return n
}

// line takes the names of one line, which ends in tEnd.
func (n names) line(toks []token) {
	toks = toks[n.leadLength(toks):]
	for _, t := range toks {
		if x := differentialOf(t); x != "" {
			n.over[x] = true
		}
	}
	for i, t := range toks[1:] {
		if word := toks[i].text; t.kind == tName && (word == "for" || word == "as" || word == "with") {
			n.bound[Canonical(t.text)] = true
		}
	}
	switch first := toks[0]; {
	case first.isWord("given"):
		for i, t := range toks[1:] {
			// What follows a colon is a dimension.
			if t.kind == tName && toks[i].kind != tColon {
				n.defined[Canonical(t.text)] = true
			}
		}
	case first.kind != tName:
	case isRate(toks):
		n.defined[Canonical(first.text)] = true
		n.rates[differentialOf(first)] = true
	default:
		head := definitionHead(toks)
		if !toks[head].isOp(OpEqual) {
			return
		}
		n.defined[Canonical(first.text)] = true
		for _, t := range toks[1:head] {
			if t.kind == tName {
				n.bound[Canonical(t.text)] = true
			}
		}
		if _, known := n.functions[Canonical(first.text)]; head == 4 && !known {
			n.functions[Canonical(first.text)] = Canonical(toks[2].text)
		}
	}
}

// differentialOf returns x for dx, "" if a token is not such a name.
func differentialOf(t token) string {
	rest, ok := strings.CutPrefix(t.text, "d")
	if r, _ := utf8.DecodeRuneInString(rest); t.kind != tName || !ok || !unicode.IsLetter(r) || !isCanonicalD(t.text) {
		return ""
	}
	if rest = Canonical(rest); !canBeDefined(rest) {
		return ""
	}
	return rest
}

// isCanonicalD reports whether a name with a d in front keeps it: delta is δ.
func isCanonicalD(name string) bool { return Canonical(name)[0] == 'd' }

// canBeDefined reports whether a name may be given a meaning.
func canBeDefined(name string) bool {
	_, isFunction := builtins[name]
	return !reserved[name] && !isFunction && name != "π"
}
