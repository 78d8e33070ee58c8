package marking

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/pattern"
	"shaftbook/kernel/unit"
)

// A value is a number as typed with what is behind it, perhaps its unit.
type value struct {
	sign, number, power string // "−", "1,21", "·10^-2"
	gap                 string // blanks before the tail
	tail                string // "newton metres", or empty
}

var (
	signAt  = pattern.New(`^[-+−–—‐‑]\s*`)
	powerAt = pattern.New(`^\s*([x×·*⋅∙•∗X])\s*10(\^\(?[-+−–—]?\d+\)?|[⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+|[-−–—]\d+)`)
	lostAt  = pattern.New(`10[-−–—]\d+$`)
)

// cutValue takes a number with what is behind it apart; ok is false for what does
// not begin with a number.
func cutValue(text string) (v value, ok bool) {
	v.sign = signAt().FindString(text)
	rest := text[len(v.sign):]
	list := numerals(rest, 1)
	if len(list) == 0 || list[0].at != 0 || len(list[0].ways) == 0 {
		return v, false
	}
	end := exponentEnd(rest, len(list[0].text))
	v.number = rest[:end]
	v.power = powerAt().FindString(rest[end:])
	behind := rest[end+len(v.power):]
	v.tail = unbracketed(strings.TrimSpace(behind))
	v.gap = behind[:len(behind)-len(strings.TrimLeftFunc(behind, unicode.IsSpace))]
	return v, true
}

// unbracketed takes the brackets off a unit: [N·m].
func unbracketed(tail string) string {
	for _, pair := range []string{"[]", "()"} {
		if inside, ok := strings.CutPrefix(tail, pair[:1]); ok && strings.HasSuffix(inside, pair[1:]) {
			inside = strings.TrimSpace(inside[:len(inside)-1])
			if len(unitSpellings(inside, unit.Dimension{})) > 0 && !strings.ContainsAny(inside, "()") {
				return inside
			}
		}
	}
	return tail
}

// unitOK reports whether the tail is a unit in some spelling, or empty.
func (v value) unitOK() bool {
	return v.tail == "" || len(unitSpellings(v.tail, unit.Dimension{})) > 0
}

// spellings returns the ways to write a part of an answer in the notation.
func (p typedPart) spellings(mark commaMark, asked unit.Dimension) []spelling {
	if all, ok := p.inUnit(mark, asked); ok {
		return all
	}
	if all, ok := p.raised(asked); ok {
		return all
	}
	if all, ok := p.feetAndInches(mark, asked); ok {
		return all
	}
	if all, ok := p.behind(mark, asked); ok {
		return all
	}
	if s, ok := inParts(p.text, mark, asked); ok {
		return []spelling{s}
	}
	if all, ok := fractions(p.text, mark, asked); ok {
		return all
	}
	v, ok := cutValue(p.text)
	if ok && (v.tail == "C" || v.tail == "F") && asked == (unit.Dimension{unit.Temperature: unit.Whole(1)}) {
		return typedPart{v.sign + v.number + v.power + " °" + v.tail}.spellings(mark, asked)
	}
	if ok && (v.tail == "grad" || v.tail == "Grad") {
		return v.grades(mark)
	}
	if !ok || !v.unitOK() {
		return []spelling{respell(p.text, mark)}
	}
	var all []spelling
	for _, number := range v.numbers(mark) {
		for _, u := range unitSpellings(v.tail, asked) {
			s := number
			s.why = append([]string(nil), number.why...)
			s.because(u.why)
			gap := v.gap
			if u.text != v.tail {
				gap = " "
				if r, _ := utf8.DecodeRuneInString(u.text); u.text == "" || !unicode.IsLetter(r) && r != '%' {
					gap = ""
				}
			}
			if s.text += gap + u.text; number.lost != "" && u.text != "" && gap == "" {
				s.text = number.text + " " + u.text
			}
			all = append(all, s.spelling())
		}
	}
	return all
}

var partsAt = pattern.New(`^([-+−–]?)\s*(?:(\d+)\s*(?:°|º|deg)\s*)?(?:(\d+)\s*['’′]\s*)?(?:(\d+(?:[.,]\d+)?)\s*(?:["”″]|''))?$`)

// inParts reads 0°41'36" as degrees, minutes and seconds of arc, and 5'3" as feet
// and inches where no angle is asked.
func inParts(text string, mark commaMark, asked unit.Dimension) (spelling, bool) {
	m := partsAt().FindStringSubmatch(text)
	if m == nil {
		return spelling{}, false
	}
	units := []string{"deg", "′", "″"}
	if m[2] == "" && !asked.IsNumber() {
		units = []string{"deg", " ft", " in"}
	}
	var sum []string
	for i, number := range m[2:] {
		if number != "" {
			gap := ""
			if i == 0 {
				gap = " "
			}
			sum = append(sum, respell(number, mark).text+gap+units[i])
		}
	}
	if len(sum) < 2 {
		return spelling{}, false
	}
	s := spelling{text: strings.Join(sum, " + "), why: []string{"a sum of parts"}}
	if m[1] != "" && m[1] != "+" {
		s.text = "−(" + s.text + ")"
	}
	return s, true
}

// grades returns the ways to read grad: the word is that of the degree in some
// languages, and of the gon in others.
func (v value) grades(mark commaMark) (all []spelling) {
	for _, number := range v.numbers(mark) {
		s := number.spelling()
		all = append(all, s.with(" deg", v.tail+" is the degree"), s.with("·(0.9 deg)", v.tail+" is the gon, a hundredth of a right angle"))
	}
	return all
}

// A numberSpelling is a number without its unit, written in the notation. One
// that lost the raised sign of its power of ten is 1.21×10-2.
type numberSpelling struct {
	text string
	why  []string
	lost string
}

func (s *numberSpelling) because(why string) {
	t := spelling{why: s.why}
	t.because(why)
	s.why = t.why
}

func (s numberSpelling) spelling() spelling { return spelling{text: s.text, why: s.why} }

// numbers returns the ways to write the number of a value.
func (v value) numbers(mark commaMark) []numberSpelling {
	plain := respell(v.sign+v.number, mark)
	s := numberSpelling{text: plain.text, why: plain.why}
	power := strings.ReplaceAll(v.power, "—", "−")
	if times := strings.TrimSpace(power); strings.HasPrefix(times, "x") || strings.HasPrefix(times, "X") {
		power = "×" + strings.TrimSpace(times[1:])
	}
	if !lostAt().MatchString(power) {
		s.text += power
		return []numberSpelling{s}
	}
	i := strings.Index(power, "10") + len("10")
	raised, difference := s, s
	raised.text += strings.TrimSpace(power[:i]) + "^" + power[i:]
	raised.why = append(append([]string(nil), s.why...), "a power of ten")
	_, size := utf8.DecodeRuneInString(power[i:])
	difference.text += strings.TrimSpace(power[:i]) + " " + power[i:i+size] + " " + power[i+size:]
	difference.why = append(append([]string(nil), s.why...), "a difference")
	return []numberSpelling{raised, difference}
}

// A unitSpelling is a unit in the notation, and why it is read so.
type unitSpelling struct {
	text string
	why  string
	unit unit.Unit
}

// longestUnit bounds the text behind a number that may be its unit, in bytes. Each number
// of a long answer has all that follows behind it.
const longestUnit = 100

// unitSpellings returns the units that a text behind a number can mean: one of
// the quantity that is asked if there is one, and several if they cannot be told
// apart. There is none for what is not a unit.
func unitSpellings(tail string, asked unit.Dimension) []unitSpelling {
	if tail == "" {
		return []unitSpelling{{}}
	}
	if len(tail) > longestUnit {
		return nil
	}
	var asTyped []unitSpelling
	if u, err := unit.Parse(tail); err == nil {
		asTyped = []unitSpelling{{text: tail, unit: u}}
		if u.Dim == asked {
			return asTyped
		}
	}
	t, ok := cutUnit(tail)
	if !ok {
		return asTyped
	}
	all := t.spellings()
	var fit []unitSpelling
	for _, s := range all {
		if s.unit.Dim == asked && !hasFactor(fit, s.unit.Factor) {
			fit = append(fit, s)
		}
	}
	switch {
	case len(fit) == 0 && len(asTyped) > 0:
		return asTyped
	case len(fit) == 0 && len(all) > 0:
		return all[:1]
	case len(fit) == 1 && t.formal && (t.pounds && len(t.above) != 2 || t.nano): // lb·ft is a torque in the notation too
		return append(fit, all[0]) // as the notation reads it
	}
	return fit
}

func hasFactor(list []unitSpelling, factor float64) bool {
	for _, s := range list {
		if s.unit.Factor == factor {
			return true
		}
	}
	return false
}

// A unitTail is a unit as typed, in symbols and words.
type unitTail struct {
	above, below []unitPiece
	formal       bool // joined as the notation does, or one symbol
	pounds       bool // has a pound or an ounce, which are masses
	nano         bool // is nm, which is a nanometre
}

// A unitPiece is one symbol or word with its power.
type unitPiece struct {
	symbols []unitSpelling // that it can mean; the first is the plain one
	power   string         // "^2"
}

var (
	phrases = strings.NewReplacer("pounds-force", "lbf", "pound-force", "lbf", "pounds force", "lbf", "pound force", "lbf",
		"per cent", "%", " per ", "/", "’", "'", "”", "\"", "''", "\"", "square ", "square", "sq. ", "square", "sq ", "square")
	pieceAt  = pattern.New(`^(?:°[A-Za-z]?|º|%|‰|['"′″]|square[\pL]+|[\pL]+)`)
	powerOf  = pattern.New(`^(?:\^\(?[-−]?\d+(?:/\d+)?\)?|[-−–]?\d+|[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)`)
	joinerAt = pattern.New(`^(?:\s*[·*⋅×∙•∗/÷]\s*|\s*[-–‐‑.]\s*|\s+)`)
)

// cutUnit takes a unit apart; ok is false for what is not made of symbols and
// words of units.
func cutUnit(tail string) (t unitTail, ok bool) {
	t.formal = true
	rest := strings.TrimSpace(phrases.Replace(tail))
	below, open := false, false
	for first := true; rest != ""; first = false {
		if !first {
			joiner := joinerAt().FindString(rest)
			if joiner == "" {
				return t, false
			}
			rest = rest[len(joiner):]
			switch strings.TrimSpace(joiner) {
			case "/", "÷":
				if below {
					return t, false
				}
				below = true
				if strings.HasPrefix(rest, "(") {
					rest, open = rest[1:], true
				}
			case "", "-", "–", "‐", "‑", ".":
				t.formal = false
			}
		}
		word := pieceAt().FindString(rest)
		if word == "" {
			return t, false
		}
		rest = rest[len(word):]
		p := unitPiece{power: powerOf().FindString(rest)}
		rest = rest[len(p.power):]
		if digits := strings.TrimLeft(p.power, "-−–"); digits != "" && isDigit(digits[0]) {
			if last, _ := utf8.DecodeLastRuneInString(word); len(digits) > 1 || !unicode.IsLetter(last) {
				return t, false // 1m23 and 1'3 are not powers
			}
			if digits != p.power {
				digits = "-" + digits
			}
			p.power = "^" + digits
		}
		if square, found := strings.CutPrefix(word, "square"); found && p.power == "" {
			word, p.power = square, "^2"
		}
		if open && strings.HasPrefix(rest, ")") {
			rest, open = rest[1:], false
		}
		if p.symbols = t.symbols(word); len(p.symbols) == 0 {
			return t, false
		}
		if below {
			t.below = append(t.below, p)
		} else {
			t.above = append(t.above, p)
		}
	}
	return t, !open && len(t.above) > 0
}

// symbols returns what a symbol or a word of a unit can mean.
func (t *unitTail) symbols(word string) []unitSpelling {
	switch word {
	case "'", "′":
		return []unitSpelling{{text: "ft"}, {text: "′"}}
	case "\"", "″":
		return []unitSpelling{{text: "in"}, {text: "″"}}
	case "k":
		return []unitSpelling{{text: "kip", why: "k is a kip, 1000 lbf"}}
	case "NM":
		return []unitSpelling{{text: "N·m"}}
	case "nm":
		t.nano = true
		return []unitSpelling{{text: "nm", why: "a nanometre, a length"}, {text: "N·m", why: "a newton metre"}}
	}
	var list []unitSpelling
	plain := word
	if _, ok := unit.Lookup(word); !ok {
		if _, _, isScale := unit.Kelvins(word, 0, ""); isScale {
			return nil // a temperature is not a number of kelvins
		}
		for _, meant := range unit.Meanings(word) {
			if !isDigit(meant[0]) { // a value, 735.49875 W for PS
				list = append(list, unitSpelling{text: meant})
			}
		}
		if rest, found := strings.CutPrefix(word, "K"); found && len(list) == 0 {
			return t.symbols("k" + rest)
		}
		if len(list) == 0 {
			list = runTogether(word)
		}
		if len(list) == 0 {
			return nil
		}
		plain = list[0].text
	} else {
		list = []unitSpelling{{text: word}}
	}
	switch plain {
	case "lb", "oz":
		t.pounds = true
		list = []unitSpelling{{text: plain, why: plain + " is a mass"}, {text: plain + "f", why: plain + "f is a force"}}
	}
	return list
}

// runTogether reads two names of units that are written as one word: newtonmetre.
func runTogether(word string) []unitSpelling {
	for i := range word {
		first, ok := unit.Spelling(word[:i])
		if !ok || i < 3 || len(word)-i < 3 || strings.Contains(first, "·") {
			continue
		}
		if second, ok := unit.Spelling(word[i:]); ok && !strings.Contains(second, "·") {
			return []unitSpelling{{text: first + "·" + second}}
		}
	}
	return nil
}

// spellings returns all units that a tail can mean.
func (t unitTail) spellings() []unitSpelling {
	ways := []unitSpelling{{}}
	for _, p := range t.above {
		ways = joined(ways, p)
	}
	if len(t.below) > 0 {
		low := []unitSpelling{{}}
		for _, p := range t.below {
			low = joined(low, p)
		}
		var all []unitSpelling
		for _, a := range ways {
			for _, b := range low {
				text := b.text
				if strings.Contains(text, "·") {
					text = "(" + text + ")"
				}
				all = append(all, unitSpelling{text: a.text + "/" + text, why: firstOf(a.why, b.why)})
			}
		}
		ways = all
	}
	var known []unitSpelling
	for _, w := range ways {
		if u, err := unit.Parse(w.text); err == nil {
			w.unit = u
			known = append(known, w)
		}
	}
	return known
}

func joined(ways []unitSpelling, p unitPiece) []unitSpelling {
	var all []unitSpelling
	for _, w := range ways {
		for _, s := range p.symbols {
			next := unitSpelling{text: s.text + p.power, why: firstOf(w.why, s.why)}
			if w.text != "" {
				next.text = w.text + "·" + next.text
			}
			all = append(all, next)
		}
	}
	return all[:min(len(all), 64)]
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
