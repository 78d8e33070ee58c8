package marking

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

var (
	diameterAt   = pattern.New(`^[Øø⌀∅]\s*([-+−]?[.,]?\d)`)
	limitAt      = pattern.New(`^(?:[\pL][\pL\pN_]*\s*)?(?i:(≥|≤|⩾|⩽|>=|<=|=>|=<|>|<|at least|at most|no more than|no less than|not more than|not less than|more than|less than|greater than|larger than|smaller than|up to|over|under|above|below|max(?:imum|\.)?|min(?:imum|\.)?))\s*([-+−]?[.,]?\d.*)$`)
	betweenAt    = pattern.New(`^(?i:between|from)\s+(\S.*?)\s+(?i:and|to)\s+(\S.*)$`)
	eitherAt     = pattern.New(`(?i:,?\s*(?:\bso\b|\bhence\b|\bthus\b|->|→|⇒)\s*(?:use|take|choose)?\s+|\s+(?:or|and)\s+|\s*;\s*|,\s+)`)
	wordsAt      = pattern.New(`^((?:[\pL][\pL'’]*[\s,:.]+)+)([-+−]?[.,]?\d.*)$`)
	remarkBehind = pattern.New(`\s*\((?i:left|right|top|bottom|near end|far end|max|min)\)$|\s+(?i:left|right)$`)
	doubtEnd     = pattern.New(`\s*\?+$|([^\d\s])\s*!+$`)
)

// withoutSign takes off the sign of a diameter, Ø46.7 mm, where a length is asked.
func (p typedPart) withoutSign(asked unit.Dimension) (typedPart, bool) {
	at := diameterAt().FindStringSubmatchIndex(p.text)
	if at == nil || asked != lengthDim {
		return p, false
	}
	return typedPart{p.text[at[2]:]}, true
}

// refuseAround returns the verdict on an answer of several values or of a limit, with
// the values that may be meant, or on the sign of a diameter where none is asked; nil
// for any other.
func (m *Marker) refuseAround(a splitTyped) *Verdict {
	for _, v := range a.values {
		if diameterAt().MatchString(v.text) {
			return &Verdict{Kind: Unreadable, Message: fmt.Sprintf("“%s” has the sign of a diameter, which is a length, but the question asks for %s. Write the value alone, with its unit.", v.text, m.wanted())}
		}
		if at := limitAt().FindStringSubmatch(v.text); at != nil && isOneValue(at[2]) && !m.isGivenName(at[1]) {
			return &Verdict{Kind: Unreadable, offers: []string{at[2]}, Message: fmt.Sprintf(
				"“%s” says only on which side of %s the value is, but the question asks for one value. Submit the value itself.", v.text, strings.TrimSpace(at[2]))}
		}
		if at := betweenAt().FindStringSubmatch(v.text); at != nil && isOneValue(at[1]) && isOneValue(at[2]) {
			return &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
				"“%s” is a range, but the question asks for one value: a wide enough range would always hold the answer. Give the best value you have, with its unit.", v.text)}
		}
		if each, ok := m.isTwoUnits(v.text); ok {
			return &Verdict{Kind: Unreadable, offers: each, Message: fmt.Sprintf("“%s” has its unit twice. Write one unit after the number.", v.text)}
		}
		if all := eitherValues(v.text); len(all) > 1 {
			return &Verdict{Kind: Unreadable, offers: all, Message: fmt.Sprintf("“%s” is more than one value, but the question asks for one. Submit the one you mean.", v.text)}
		}
	}
	return nil
}

// eitherValues parts 0.6 deg or 0.7 deg, and gives the first the unit of the last if
// it has none: 0.6 or 0.7 deg. It returns nil for what is not several values.
func eitherValues(text string) []string {
	parts := eitherAt().Split(text, maxChoices+2)
	if len(parts) < 2 || len(parts) > maxChoices {
		return nil
	}
	last, ok := cutValue(remarkBehind().ReplaceAllString(parts[len(parts)-1], ""))
	if !ok || !last.unitOK() {
		return nil
	}
	for i, part := range parts {
		part = remarkBehind().ReplaceAllString(part, "")
		parts[i] = part
		v, ok := cutValue(part)
		if !ok || !v.unitOK() || partsAt().MatchString(text) {
			return nil
		}
		if v.tail == "" {
			parts[i] = strings.TrimSpace(part + last.gap + last.tail)
		}
	}
	return parts
}

func isOneValue(text string) bool {
	v, ok := cutValue(strings.TrimSpace(text))
	return ok && v.unitOK()
}

// changing are words that change a value or say that there are several.
var changing = strings.Fields(`not no never minus negative plus half twice double triple times per hundred thousand
	million or to and between from than least most up over under above below maximum minimum max min without off wrong`)

// withoutWords returns the value of an answer that has plain words in front of it, The
// twist is 0.6 deg; ok is false for one without, or with words that may change it. refused
// says which those are.
func (m *Marker) withoutWords(answer string) (value string, refused *Verdict, ok bool) {
	text := strings.TrimSpace(plainBlanks.Replace(answer))
	text = strings.TrimRight(text, ".")
	at := wordsAt().FindStringSubmatch(text)
	if at == nil || len(numeralsOf(at[2])) != 1 || !isOneValue(at[2]) {
		return "", nil, false
	}
	list := wordsOf(at[1])
	for _, word := range list {
		if mayUse(m.Numbers, notation.Canonical(word)) {
			return "", nil, false // a product
		}
		if m.isOther(word) {
			return "", m.otherWay(answer), false
		}
		if changingWord([]string{word}) != "" {
			return "", &Verdict{Kind: Unreadable, offers: []string{at[2]}, Message: fmt.Sprintf(
				"It is not clear what “%s” does to the value %s. Write the value alone, with its sign and unit.", word, at[2])}, false
		}
		if dim, known := unit.Word(strings.ToLower(word)); known && dim != m.Key.Dim && !m.asksFor(notation.Canonical(word)) {
			return "", &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
				"“%s” speaks of %s, but the question asks for %s. Write the value of that alone, with its unit.", answer, Describe(dim, true), m.wanted())}, false
		}
	}
	if end := len(list); end <= 2 && isSymbol(list[0]) && (end == 1 || list[1] == "is") {
		return list[0] + " = " + at[2], nil, true
	}
	return at[2], nil, true
}

func wordsOf(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '\'' && r != '’' })
}

// changingWord returns the first of some words that changes a value, or empty.
func changingWord(list []string) string {
	for _, word := range list {
		if slices.Contains(changing, strings.ToLower(word)) {
			return word
		}
	}
	return ""
}

// isSymbol reports whether a word is a letter that stands for a quantity, θ or φ_1,
// and not a short word.
func isSymbol(word string) bool {
	letters := []rune(notation.Canonical(word))
	return len(letters) == 1 && letters[0] != 'I' && letters[0] != 'a'
}

// wordsBehind returns the value of an answer with words behind it, 0.6 deg clockwise.
func wordsBehind(text string) (value string, ok bool) {
	v, isValue := cutValue(strings.TrimSpace(text))
	if !isValue || len(numeralsOf(text)) != 1 {
		return "", false
	}
	words := strings.Fields(v.tail)
	for end := len(words) - 1; end >= 1; end-- {
		if word := words[end]; word != "in" && len(unitSpellings(word, unit.Dimension{})) > 0 {
			return "", false // of two units one may be meant
		}
		tail := strings.TrimRight(strings.Join(words[:end], " "), ",.:")
		if len(unitSpellings(tail, unit.Dimension{})) > 0 {
			return v.sign + v.number + v.power + " " + tail, true
		}
	}
	return "", false
}

// hasNothing reports whether an answer has neither a number nor a given name nor an
// operation: only words, or marks.
func (m *Marker) hasNothing(answer string) bool {
	letters := strings.Count(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return 'x'
		}
		return -1
	}, answer), "x")
	if strings.ContainsFunc(answer, unicode.IsDigit) || strings.ContainsAny(answer, "+-−*/·×^√()=<>≥≤") || letters == 1 {
		return false
	}
	isMark := func(r rune) bool { return !unicode.IsLetter(r) && r != '_' }
	return !slices.ContainsFunc(strings.FieldsFunc(answer, isMark), func(word string) bool {
		pieces, ok := m.pieces(word)
		return !ok || len(pieces) > 1 || mayUse(m.Numbers, notation.Canonical(word)) || unknownPart(m.Numbers, word) != word
	})
}

// areBare reports whether all readings are pure numbers where a unit is needed.
func (m *Marker) areBare(readings []typed) bool {
	return m.Scheme.Kind == Number && !m.Key.Dim.IsNumber() &&
		!slices.ContainsFunc(readings, func(t typed) bool { return !t.got.Value.Dim.IsNumber() })
}

// understand returns the ways to read an answer that make sense where a quantity of
// this part is asked: one if the reading is sure. With none there is the verdict on an
// answer that cannot be read, with what may be meant, if that is proved.
func (m *Marker) understand(ctx context.Context, answer string) ([]typed, *Verdict) {
	if part, note, refused := m.oneAssigned(answer); refused != nil {
		m.offer(ctx, answer, refused)
		return nil, refused
	} else if part != "" {
		readings, refused := m.understand(ctx, part)
		for i := range readings {
			readings[i].notes = append(slices.Clone(readings[i].notes), note)
		}
		return readings, refused
	}
	readings, refused := m.readings(ctx, answer)
	if refused == nil {
		if len(readings) > 1 && m.areBare(readings) {
			return nil, &Verdict{Kind: UnitMissing, Message: fmt.Sprintf(
				"“%s” is a pure number, but the question asks for %s. Write the unit after the number, for example %s.", answer, m.wanted(), m.Key.example(m.Scheme))}
		}
		if len(readings) > 1 {
			if other := m.ofAnother(answer, readings); other != nil {
				return nil, other
			}
		}
		if len(readings) > 1 && m.Scheme.Kind == Number && !slices.ContainsFunc(readings, func(t typed) bool { return m.fits(ctx, &t) }) {
			none := &Verdict{Kind: WrongDimension, Message: fmt.Sprintf("“%s” can be read in several ways, but none of them is %s.", answer, m.wanted())}
			isNumber := func(t typed) bool { return t.got.Value.Dim.IsNumber() }
			if m.offer(ctx, answer, none); len(none.Choices) > 0 || slices.ContainsFunc(readings, isNumber) {
				return nil, none
			}
		}
		if len(readings) == 1 && !m.fits(ctx, &readings[0]) {
			readings[0].choices = m.offered(ctx, append(m.joinedUnit(answer), counted(answer)...))
		}
		return readings, nil
	}
	if len(refused.offers) > 0 {
		m.offer(ctx, answer, refused)
		return nil, refused
	}
	if value, doubtful, ok := m.withoutWords(answer); ok {
		if sure, problem := m.readings(ctx, value); problem == nil {
			for i := range sure {
				sure[i].why = append(slices.Clone(sure[i].why), "the words in front of it are left out")
			}
			return sure, nil
		} else if len(problem.offers) == 0 {
			return nil, problem
		}
	} else if doubtful != nil {
		refused = doubtful
	}
	if plainEnglish(answer) || m.hasNothing(answer) {
		refused = &Verdict{Kind: Unreadable, Message: "There is no value in this. Write a number with its unit, or a formula in the given symbols (" + givenNames(m.Numbers) + ")."}
		if m.Scheme.Kind == Formula {
			refused.Message = "There is no formula in this. Write one in the given symbols (" + givenNames(m.Numbers) + ")."
		}
		return nil, refused
	}
	if len(answer) <= longestMended {
		m.offer(ctx, answer, refused)
	}
	return nil, refused
}

// longestMended is the longest answer, in bytes, for which it is tried what may be meant
// where it cannot be read.
const longestMended = 300
