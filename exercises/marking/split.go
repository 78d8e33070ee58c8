package marking

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A splitTyped is an answer as typed, taken apart: θ = 0.669 deg (0.0117 rad).
type splitTyped struct {
	head   string      // a name in front of =, or empty
	values []typedPart // what is said to be equal
}

// A typedPart is one value or formula as typed.
type typedPart struct{ text string }

var (
	openingWords = pattern.New(`^(?i:approx\.|approximately|approx|about|roughly|circa|ca\.)\s+`)
	closingWords = pattern.New(`(?:\s+\(?(?i:approx\.?|approximately|rounded)\)?|\s*,?\s*\(?(?i:correct\s+)?(?i:(?:rounded\s+)?to\s+)?\d+\s*(?i:s\.?\s?f\.?|d\.?\s?p\.?|sig\.?\s*figs?\.?|significant\s+figures|decimal\s+places|decimals)\)?)$`)
	oneName      = pattern.New(`^[\pL][\pL\pN_]*['′]*$`)
	equals       = "=≈≃≅~∼"
	plainBlanks  = strings.NewReplacer("\u00a0", " ", "\u2007", " ", "\u2009", " ", "\u202f", " ", "\u200b", "", "\ufeff", "")
)

func isName(text string) bool { return oneName().MatchString(text) }

// splitAnswer takes off what people write around a value and parts what they say
// is equal.
func splitAnswer(answer string) splitTyped {
	text := plainText(strings.TrimSpace(plainBlanks.Replace(answer)))
	if !strings.HasSuffix(text, "..") {
		text = strings.TrimSpace(strings.TrimSuffix(text, "."))
	}
	if at := maxValue().FindStringSubmatch(text); at != nil {
		text = at[1] + "_" + at[2] + " = " + at[3] // τ max 24 MPa
	}
	parts := atEquals(text)
	for len(parts) > 1 && parts[0] == "" {
		parts = parts[1:]
	}
	var a splitTyped
	if len(parts) > 1 && isName(parts[0]) {
		a.head, parts = parts[0], parts[1:]
	} else if n := len(parts) - 1; n > 0 && isName(parts[n]) {
		a.head, parts = parts[n], parts[:n] // 0.3 deg = θ
	}
	for _, part := range parts {
		part = doubtEnd().ReplaceAllString(part, "$1")
		part = closingWords().ReplaceAllString(openingWords().ReplaceAllString(part, ""), "")
		if before, inside, ok := bracketBehind(part); ok {
			a.values = append(a.values, typedPart{before}, typedPart{inside})
			continue
		}
		a.values = append(a.values, typedPart{part})
	}
	return a
}

// atEquals parts a text at the signs of equality that are outside brackets. A
// comparison (<=) and a condition (if n = 1) are left to the notation.
func atEquals(text string) []string {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if word == "if" {
			return []string{text}
		}
	}
	var parts []string
	depth, start := 0, 0
	before := rune(0)
	for i, r := range text {
		switch {
		case r == '(' || r == '[':
			depth++
		case r == ')' || r == ']':
			depth--
		case depth == 0 && strings.ContainsRune(equals, r) && !strings.ContainsRune("<>!", before):
			if end := strings.TrimSpace(text[start:i]); end != "" || len(parts) == 0 {
				parts = append(parts, end)
			}
			start = i + utf8.RuneLen(r)
		}
		before = r
	}
	return append(parts, strings.TrimSpace(text[start:]))
}

// bracketBehind parts 0.669 deg (0.0117 rad): a value, and behind it in brackets
// the same value once more; without a unit in the brackets a blank has to be in front
// of them, since 3(0.5) is a product.
func bracketBehind(text string) (before, inside string, ok bool) {
	i := strings.LastIndexAny(text, "([")
	if i <= 0 || !strings.HasSuffix(text, ")") && !strings.HasSuffix(text, "]") {
		return "", "", false
	}
	before, inside = strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:len(text)-1])
	inside = strings.TrimSpace(strings.TrimLeft(inside, equals))
	first, okBefore := cutValue(before)
	second, okInside := cutValue(inside)
	if okBefore && okInside && second.tail != "" && first.unitOK() && second.unitOK() {
		return before, inside, true
	}
	if !unicode.IsSpace(rune(text[i-1])) {
		return "", "", false
	}
	return before, inside, isNumeric(inside) && (isNumeric(before) || second.tail != "" && isOfQuantities(before))
}

// isNumeric reports whether a text is a value, or is worked out from numbers
// alone: 7/16, 300·157.08, 1°3'20".
func isNumeric(text string) bool {
	if text == "" {
		return false
	}
	if v, ok := cutValue(text); partsAt().MatchString(text) || ok && v.unitOK() {
		return true
	}
	first, last := text[0], text[len(text)-1]
	return isDigit(first) && isDigit(last) && !strings.ContainsFunc(text, unicode.IsLetter)
}

// isOfQuantities reports whether a text is worked out from values alone, such as
// 300 N·m·157 rad/s.
func isOfQuantities(text string) bool {
	x, list := notation.ParseExpr(source.NewText("answer", text))
	return !list.HasErrors() && len(notation.FreeNames(x)) == 0
}

// badNumber returns the first number of an answer that has more than one decimal
// mark, or empty.
func (a splitTyped) badNumber() string {
	for _, v := range a.values {
		for _, n := range numeralsOf(v.text) {
			if len(n.ways) == 0 {
				return n.text
			}
		}
	}
	return ""
}

// A spelling is what was typed, written in the notation.
type spelling struct {
	text  string
	why   []string
	notes []string

	offered bool // by the notation, as one of several readings
	bare    bool // the unit was not written
	plain   bool // whether the number counts per cent is settled
	rare    bool // a rare unit is meant as it is written
}

// spellings returns the ways to write an answer in the notation, each with all
// that is said to be equal. A comma means the same in all of them.
func (a splitTyped) spellings(asked unit.Dimension) [][]spelling {
	var all [][]spelling
	for _, mark := range a.commas() {
		ways := [][]spelling{nil}
		for _, v := range a.values {
			var longer [][]spelling
			for _, way := range ways {
				for _, s := range v.spellings(mark, asked) {
					longer = append(longer, append(append([]spelling(nil), way...), s))
				}
			}
			ways = longer[:min(len(longer), 4*maxChoices)]
		}
		all = append(all, ways...)
	}
	return all
}

// commas returns what a comma in the numbers of an answer can mean: one of two
// that is the only way to read any of its numbers, or both.
func (a splitTyped) commas() []commaMark {
	only := map[commaMark]bool{}
	both := false
	for _, v := range a.values {
		for _, n := range numeralsOf(v.text) {
			switch {
			case len(n.ways) > 1:
				both = true
			case len(n.ways) == 1 && n.ways[0].comma != noComma:
				only[n.ways[0].comma] = true
			}
		}
	}
	switch {
	case !both:
		return []commaMark{noComma}
	case len(only) == 1 && only[decimalComma]:
		return []commaMark{decimalComma}
	case len(only) == 1:
		return []commaMark{groupComma}
	}
	return []commaMark{decimalComma, groupComma}
}
