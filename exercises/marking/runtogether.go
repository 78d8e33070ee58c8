package marking

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/notation"
)

// namesApart returns the ways to read given names that are written as one word:
// TL/GJ as T·L/(G·J) and as T·L/G·J. There is none where a word can be taken apart
// in two ways.
func (m *Marker) namesApart(s spelling) []spelling {
	text := s.text
	var flat, grouped strings.Builder
	var words []string
	last := 0
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		if isDigit(text[i]) {
			i = exponentEnd(text, i+1)
			continue
		}
		if !unicode.IsLetter(r) {
			i += size
			continue
		}
		end := nameEnd(text, i)
		pieces, ok := m.pieces(text[i:end])
		if !ok {
			return nil
		}
		if len(pieces) < 2 {
			i = end
			continue
		}
		words = append(words, text[i:end])
		product := strings.Join(pieces, "·")
		before := strings.TrimRight(text[:i], " ")
		front, sign := text[last:i], ""
		if len(before) > 0 && isDigit(before[len(before)-1]) {
			front, sign = strings.TrimRight(front, " "), "·"
		}
		power := powerEnd(text, end)
		behind := text[end:power]
		isCall := strings.HasPrefix(text[power:], "(")
		flat.WriteString(front + sign + product + behind)
		if isBelow := strings.HasSuffix(before, "/"); isBelow && isCall {
			return nil
		} else if isBelow {
			grouped.WriteString(front + "(" + product + behind + ")")
		} else {
			grouped.WriteString(front + sign + product + behind)
		}
		if isCall {
			flat.WriteString("·")
			grouped.WriteString("·")
		}
		last, i = power, power
	}
	if len(words) == 0 {
		return nil
	}
	why := strings.Join(words, ", ") + " is a product of given names"
	if len(words) > 1 {
		why = strings.Join(words, ", ") + " are products of given names"
	}
	write := func(b *strings.Builder) spelling {
		way := spelling{text: b.String() + text[last:], notes: s.notes, offered: true}
		way.why = append(append([]string(nil), s.why...), why)
		return way
	}
	if flat.String() == grouped.String() {
		return []spelling{write(&flat)}
	}
	return []spelling{write(&grouped), write(&flat)}
}

// pieces takes a word apart into given names and π; one piece for a word that is a
// name, or not made of them. ok is false for a word with two ways.
func (m *Marker) pieces(word string) (list []string, ok bool) { return m.piecesOf(word, false) }

// piecesOf is pieces; with loose indices Tb is T_b too, where no name is Tb.
func (m *Marker) piecesOf(word string, loose bool) (list []string, ok bool) {
	if mayUse(m.Numbers, notation.Canonical(word)) {
		return []string{word}, true
	}
	names := map[string]string{"π": "π", "pi": "pi"} // as written, and as meant
	for _, g := range m.Numbers.Givens() {
		if g.IsFunc {
			continue
		}
		names[g.Name] = g.Name
		if plain := strings.ReplaceAll(g.Name, "_", ""); loose && names[plain] == "" {
			names[plain] = g.Name
		}
	}
	var ways [][]string
	var cut func(rest string, before []string)
	cut = func(rest string, before []string) {
		if rest == "" {
			ways = append(ways, append([]string(nil), before...))
			return
		}
		for name, meant := range names {
			if after, found := strings.CutPrefix(rest, name); found && len(ways) < 2 && !strings.HasPrefix(after, "_") && (after == "" || !isDigit(after[0])) {
				cut(after, append(before, meant))
			}
		}
	}
	cut(word, nil)
	switch len(ways) {
	case 0:
		return []string{word}, true
	case 1:
		return ways[0], true
	}
	return nil, false
}

// powerEnd returns the end of an exponent at i, ^4 or ⁴ or ^(1/2), or i.
func powerEnd(text string, i int) int {
	rest := text[i:]
	if after, found := strings.CutPrefix(rest, "^"); found {
		if strings.HasPrefix(after, "(") {
			if end := strings.IndexByte(after, ')'); end > 0 {
				return i + 1 + end + 1
			}
			return i
		}
		end := 0
		for end < len(after) && isDigit(after[end]) {
			end++
		}
		return i + 1 + end
	}
	return i + len(rest) - len(strings.TrimLeft(rest, "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
}
