package marking

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// offer adds to the verdict on an answer that cannot be read what may be meant. Each
// is proved first: it is read, and gives the quantity that is asked. A repair in words
// stays in the message only where the notation knows no replacement for it, since one
// that is not proved may mean something else.
func (m *Marker) offer(ctx context.Context, answer string, v *Verdict) {
	if v.Choices = m.offered(ctx, v.offers); len(v.Choices) > 0 {
		return // the message asks already
	}
	for _, texts := range [][]string{closed(answer), m.joinedUnit(answer), m.nearUnits(answer), m.nearNames(answer), unitBehind(answer), counted(answer), m.products(answer), mended(answer)} {
		if v.Choices = m.offered(ctx, texts); len(v.Choices) > 0 {
			break
		}
	}
	fromWords := len(v.Choices) == 0
	if fromWords {
		v.Choices = m.offered(ctx, append(endOf(answer), shortened(answer)...))
		fromWords = len(v.Choices) > 0
	}
	if word := m.strayUnit(answer); fromWords {
		v.Message = "The words beside the value are not read."
	} else if word != "" {
		v.Message = fmt.Sprintf("“%s” is neither a unit nor one of the given symbols (%s).", word, givenNames(m.Numbers))
		if len(v.Choices) == 0 {
			v.Message += fmt.Sprintf(" Write one unit after the number, such as %s.", m.Key.example(m.Scheme))
		}
	} else if v.short != "" && (v.isUnproved || len(v.Choices) > 0) {
		v.Message = v.short
	}
	if len(v.Choices) == 0 {
		return
	}
	var list []string
	for _, c := range v.Choices {
		list = append(list, c.Text)
	}
	v.Message += " Did you mean " + words.Or(list) + "?"
}

// strayUnit returns the word behind the number of an answer that is not a unit and
// not a given name, or empty.
func (m *Marker) strayUnit(text string) string {
	_, v, ok := valueOf(text)
	if !ok || v.unitOK() || strings.ContainsFunc(v.tail, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsSpace(r) }) {
		return ""
	}
	for _, word := range strings.Fields(v.tail) {
		if mayUse(m.Numbers, notation.Canonical(word)) {
			return ""
		}
	}
	for _, word := range strings.Fields(v.tail) {
		if len(unitSpellings(word, unit.Dimension{})) == 0 {
			return word
		}
	}
	return ""
}

// offered returns those of some texts that are proved, as choices.
func (m *Marker) offered(ctx context.Context, texts []string) []Choice {
	var all []typed
	for _, text := range texts {
		found, refused := m.readings(ctx, text)
		if refused != nil {
			continue
		}
		for _, t := range found {
			if m.fits(ctx, &t) {
				all = append(all, t)
			}
		}
	}
	if all = m.distinct(all); len(all) > maxChoices {
		return nil
	}
	var choices []Choice
	for _, t := range all {
		choices = append(choices, Choice{Text: t.text, Reason: strings.Join(t.why, ", ")})
	}
	return choices
}

// closed closes the brackets that are open at the end of a text, or takes those off
// that close none.
func closed(text string) []string {
	depth := 0
	for i, r := range text {
		switch r {
		case '(':
			depth++
		case ')':
			if depth--; depth < 0 {
				if strings.Trim(text[i:], ") .") != "" {
					return nil
				}
				return []string{text[:i]}
			}
		}
	}
	if depth == 0 {
		return nil
	}
	return []string{strings.TrimSpace(text) + strings.Repeat(")", depth)}
}

var unitWordAt = pattern.New(`[\pL°′″%]+`)

// nearUnits writes a value with the units that its own, which is not one, may be a
// slip of the finger for: 0.6 degg.
func (m *Marker) nearUnits(text string) []string {
	front, v, ok := valueOf(text)
	if !ok || v.tail == "" || v.unitOK() {
		return nil
	}
	var all []string
	for _, at := range unitWordAt().FindAllStringIndex(v.tail, -1) {
		word := v.tail[at[0]:at[1]]
		if len(unitSpellings(word, unit.Dimension{})) > 0 {
			continue
		}
		near := check.Nearest(strings.ToLower(word), unitNames)
		if len(near) == 0 {
			near = unit.Nearest(word, 3)
		}
		for _, name := range near {
			if u, err := unit.Parse(name); err == nil && u.Dim.IsNumber() && !m.Key.Dim.IsNumber() {
				continue
			}
			all = append(all, front+" "+v.tail[:at[0]]+name+v.tail[at[1]:])
		}
	}
	return all
}

// unitNames are names of units in which a letter is easily lost or put in.
var unitNames = strings.Fields(`grad degree degrees radian radians millimetre millimetres millimeter millimeters
	centimetre centimetres centimeter centimeters metre metres meter meters inches newton newtons kilonewton kilonewtons
	newtonmetre newtonmetres newtonmeter newtonmeters pascal pascals megapascal megapascals gigapascal gigapascals
	pounds watt watts kilowatt kilowatts joule joules second seconds minute minutes hour hours kilogram kilograms percent`)

// joinedUnit writes a value with a unit without its blanks: radian s.
func (m *Marker) joinedUnit(text string) []string {
	front, v, ok := valueOf(text)
	if !ok || !strings.Contains(v.tail, " ") {
		return nil
	}
	return []string{front + " " + withoutBlanks(v.tail)}
}

// valueOf takes an answer of one value apart: the number, and what is behind it.
func valueOf(text string) (front string, v value, ok bool) {
	a := splitAnswer(text)
	if len(a.values) != 1 {
		return "", v, false
	}
	v, ok = cutValue(a.values[0].text)
	return v.sign + v.number + v.power, v, ok
}

// nearNames writes a text with the given names that others in it may be meant for.
func (m *Marker) nearNames(text string) []string {
	x, list := notation.ParseExpr(source.NewText("answer", text))
	if list.HasErrors() {
		return nil
	}
	var givens []string
	for _, g := range m.Numbers.Givens() {
		givens = append(givens, g.Name)
	}
	names := notation.FreeNames(x)
	slices.SortFunc(names, func(a, b *notation.Name) int { return b.Span().Start - a.Span().Start })
	for _, name := range names {
		at := name.Span()
		if pieces, ok := m.pieces(at.Content()); mayUse(m.Numbers, name.Ident) || ok && len(pieces) > 1 {
			continue // πG comes apart where it is read
		}
		near := check.Nearest(name.Ident, givens)
		if name.Ident == "w" && slices.Contains(givens, "ω") {
			near = []string{"ω"}
		}
		if pieces, ok := m.piecesOf(at.Content(), true); ok && len(pieces) > 1 {
			near = []string{strings.Join(pieces, "")}
		}
		if len(near) != 1 || losesLetter(name.Ident, near[0]) {
			return nil
		}
		text = text[:at.Start] + near[0] + text[at.End:]
	}
	return []string{text}
}

// losesLetter reports whether a name has more letters and digits than the one that it
// is taken for, not counting a letter that is pressed twice: what is lost may be a factor,
// as the x of xG.
func losesLetter(name, near string) bool {
	count := func(s string) (n int) {
		before := rune(0)
		for _, r := range s {
			if r != '_' && r != before {
				n++
			}
			before = r
		}
		return n
	}
	return count(name) > count(near)
}

// endOf returns the value of a text with words behind it, and perhaps in front.
func endOf(text string) []string {
	if at := wordsAt().FindStringSubmatch(text); at != nil && changingWord(wordsOf(at[1])) == "" {
		text = at[2]
	}
	if value, ok := wordsBehind(text); ok {
		return []string{value}
	}
	return nil
}

var unitBehindAt = pattern.New(`^(.*[)\pL\d⁰¹²³⁴⁵⁶⁷⁸⁹])\s+([^\s()]+)$`)

// unitBehind reads a unit behind a formula, T/r N, as T/r in N.
func unitBehind(text string) []string {
	at := unitBehindAt().FindStringSubmatch(strings.TrimSpace(text))
	if at == nil || len(unitSpellings(at[2], unit.Dimension{})) == 0 {
		return nil
	}
	return []string{at[1] + " in " + at[2]}
}

const mostMends = 4 // repairs of the notation that an answer may need

// mended carries out the repairs that the notation knows.
func mended(text string) []string {
	for range mostMends {
		_, list := notation.ParseExpr(source.NewText("answer", text))
		d := list.FirstError()
		if d == nil {
			return []string{text}
		}
		if d.Fix == nil || d.Code == notation.MissingMultiply || d.Fix.Span.End > len(text) {
			return nil
		}
		text = text[:d.Fix.Span.Start] + d.Fix.Text + text[d.Fix.Span.End:]
	}
	return nil
}
