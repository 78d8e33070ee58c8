package notation

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// isIntegrated reports whether the unit symbol at start, behind a number, is a name in an
// integral of the same line: the t of ∫_0^b 2 t dt, or its differential, the ds of
// ∫_0^L 2 ds. A number 1, and a limit behind from or to, keep their unit.
func (s *scanner) isIntegrated(start, end int) bool {
	before, rest := s.src[strings.LastIndexByte(s.src[:start], '\n')+1:start], s.src[end:]
	sign := strings.LastIndex(before, "∫")
	if at := strings.LastIndex(before, "integral "); sign < 0 && at < 0 || s.last().text == "1" {
		return false
	} else if n := len(s.toks); at > sign && !strings.Contains(rest, "for") || n > 1 && (s.toks[n-2].isWord("from") || s.toks[n-2].isWord("to")) {
		return false
	}
	if inside := before[max(sign, 0):]; strings.Count(inside, "{") > strings.Count(inside, "}") {
		return false
	}
	for _, mark := range []string{"\n", "#", "because", "∫"} {
		rest, _, _ = strings.Cut(rest, mark)
	}
	symbol := s.src[start:end]
	differential, runs := "", ""
	for i := 0; i < len(rest); {
		r, size := utf8.DecodeRuneInString(rest[i:])
		if !unicode.IsLetter(r) {
			i += size
			continue
		}
		stop := max(nameEnd(rest, i), i+size)
		switch word := rest[i:stop]; {
		case runs == "for":
			return word == symbol
		case word == "for":
			runs = word
		case differentialOf(token{kind: tName, text: word}) != "":
			differential = word
		}
		i = stop
	}
	if differential != "" {
		return differential == "d"+symbol
	}
	return runs == "" && sign >= 0 && differentialOf(token{kind: tName, text: symbol}) != ""
}
