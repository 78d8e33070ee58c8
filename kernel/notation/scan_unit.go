package notation

import (
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A unitReader reads one unit: symbols joined tightly by · or *, divided once.
type unitReader struct {
	s     *scanner
	pos   int
	parts []source.Span
	err   *source.Diagnostic // why the unit cannot be read
}

// unitAfterNumber reads the unit that may follow the number just emitted.
func (s *scanner) unitAfterNumber() {
	start := blanksEnd(s.src, s.pos)
	end := symbolEnd(s.src, start)
	symbol := s.src[start:end]
	if symbol == "" || symbol == "in" && s.isSuffix(end) || symbol != "in" && reserved[symbol] {
		return
	}
	if _, ok := unit.Lookup(symbol); !ok {
		return
	}
	s.space = start > s.pos
	ref, end, err := s.readUnit(start)
	s.pos = end
	if err != nil {
		s.emit(tBad, start).aux = int32(len(s.errs))
		s.errs = append(s.errs, *err)
		return
	}
	s.emit(tUnit, start).aux = int32(len(s.units))
	s.units = append(s.units, ref)
}

// isSuffix decides what "in" after a number means; end is its end. It is the
// word before a unit or a count (0.5 in deg, 5 in 6 rows) if one follows, and
// the inch otherwise (12 in, 12 in to 3 figures).
func (s *scanner) isSuffix(end int) bool {
	next := blanksEnd(s.src, end)
	if next == end || next >= len(s.src) {
		return false
	}
	if c := s.src[next]; isDigit(c) || c == '(' || strings.HasPrefix(s.src[next:], "√") {
		return true
	}
	wordEnd := symbolEnd(s.src, next)
	word := s.src[next:wordEnd]
	if word == "" || reserved[word] {
		return false
	}
	if _, ok := unit.Lookup(word); ok {
		return true
	}
	if _, ok := builtins[word]; ok {
		return true
	}
	after := blanksEnd(s.src, wordEnd)
	switch s.src[after:nameEnd(s.src, after)] {
	case "rows", "points", "segments":
		return true
	}
	return false
}

// readUnit reads the unit at start, which must begin with a known symbol or
// with 1/. On an error the end is where the unit stops making sense.
func (s *scanner) readUnit(start int) (*UnitRef, int, *source.Diagnostic) {
	r := &unitReader{s: s, pos: start}
	if strings.HasPrefix(s.src[start:], "1/") {
		r.pos++
	} else {
		r.factor()
		r.product()
	}
	r.quotient()
	if r.err != nil {
		return nil, r.pos, r.err
	}
	text := pastedSigns.Replace(s.src[start:r.pos])
	u, ok := s.read[text]
	if !ok {
		var err error
		if u, err = unit.Parse(text); err != nil {
			return nil, r.pos, r.fail(start, UnitPower, err.Error())
		}
		if s.read == nil {
			s.read = map[string]unit.Unit{}
		}
		s.read[text] = u
	}
	return &UnitRef{Place: Place{s.span(start, r.pos)}, Text: text, Unit: u, Parts: r.parts}, r.pos, nil
}

// product reads ·symbol as often as it is there.
func (r *unitReader) product() {
	for r.err == nil {
		n := timesLength(r.s.src[r.pos:])
		if n == 0 || !symbolAt(r.s.src, r.pos+n) {
			return
		}
		r.pos += n
		r.factor()
	}
}

// quotient reads /symbol or /(symbol·symbol), once.
func (r *unitReader) quotient() {
	if r.err != nil || !r.divides(r.pos) {
		return
	}
	r.pos++
	if r.s.src[r.pos] == '(' {
		r.bracket()
	} else {
		r.factor()
	}
	if r.err != nil {
		return
	}
	at := r.pos
	if n := timesLength(r.s.src[at:]); n > 0 && symbolAt(r.s.src, at+n) {
		r.pos = symbolEnd(r.s.src, at+n)
		r.fail(at, UnitAmbiguous, "after the stroke of a unit another factor could be read in two ways").
			Repair = "put all that the unit is divided by in brackets, N/(m·s), or write the factor before the stroke"
		return
	}
	if r.divides(at) {
		r.pos = symbolEnd(r.s.src, at+1)
		r.fail(at, UnitDividesTwice, "a unit has only one /").Repair = "write N/(m·s), or with a power, m/s^2"
	}
}

// divides reports whether a stroke at i belongs to the unit: a symbol, or a
// bracket that holds a product of symbols and nothing else, follows tightly.
func (r *unitReader) divides(i int) bool {
	src := r.s.src
	if i >= len(src) || src[i] != '/' {
		return false
	}
	if i+1 >= len(src) || src[i+1] != '(' {
		return symbolAt(src, i+1)
	}
	end := strings.IndexByte(src[i:], ')')
	if end < 0 {
		return false
	}
	pieces := strings.FieldsFunc(src[i+2:i+end], func(c rune) bool { return timesLength(string(c)) > 0 })
	for _, piece := range pieces {
		if !symbolAt(piece, 0) {
			return false
		}
	}
	return len(pieces) > 1
}

// bracket reads (symbol·symbol) below the stroke.
func (r *unitReader) bracket() {
	open := r.pos
	r.pos++
	r.factor()
	r.product()
	if r.err != nil {
		return
	}
	if r.pos >= len(r.s.src) || r.s.src[r.pos] != ')' {
		r.fail(open, UnitPower, "the bracket in a unit holds symbols joined by · without spaces").Repair = "write N/(m·s)"
		return
	}
	r.pos++
}

// factor reads a symbol with its power: mm^4, s^-1, m^(1/2), mm⁴.
func (r *unitReader) factor() {
	src, start := r.s.src, r.pos
	r.pos = symbolEnd(src, start)
	r.parts = append(r.parts, r.s.span(start, r.pos))
	if end := superscriptEnd(src, r.pos); end > r.pos {
		r.pos = end
		return
	}
	if r.pos >= len(src) || src[r.pos] != '^' {
		return
	}
	end := exponentEnd(src, r.pos+1)
	if end < 0 {
		r.pos++
		r.fail(start, UnitPower, "the power of a unit is a whole number or a fraction in brackets, mm^4 or m^(1/2)").
			Repair = "for a power of the quantity put it in brackets, (36 mm)^n"
		return
	}
	r.pos = end
}

// exponentEnd returns the end of the exponent of a unit at i: 4, -1 or (1/2);
// -1 if there is none.
func exponentEnd(src string, i int) int {
	bracket := i < len(src) && src[i] == '('
	if bracket {
		i++
	}
	i += signLength(src[min(i, len(src)):])
	end := digitsEnd(src, i)
	if end == i {
		return -1
	}
	if !bracket {
		if end < len(src) && src[end] == '.' {
			return -1
		}
		return end
	}
	if end < len(src) && src[end] == '/' {
		from := end + 1
		if end = digitsEnd(src, from); end == from {
			return -1
		}
	}
	if end >= len(src) || src[end] != ')' {
		return -1
	}
	return end + 1
}

func (r *unitReader) fail(start int, code source.Code, message string) *source.Diagnostic {
	r.err = &source.Diagnostic{Span: r.s.span(start, r.pos), Code: code, Message: message}
	return r.err
}

// symbolAt reports whether there is a known unit symbol at i.
func symbolAt(src string, i int) bool {
	symbol := src[i:symbolEnd(src, i)]
	if symbol == "" || reserved[symbol] && symbol != "in" {
		return false
	}
	_, ok := unit.Lookup(symbol)
	return ok
}

// symbolEnd returns the end of the unit symbol at start: a word, a percent or
// a degree sign, a degree sign with a letter, or r/min as a whole.
func symbolEnd(src string, start int) int {
	if n := unit.TurnRate(src[start:]); n > 0 {
		return start + n
	}
	r, size := utf8.DecodeRuneInString(src[start:])
	switch r {
	case '%', '‰', '′', '″':
		return start + size
	case '°', 'º':
		if i := start + size; i < len(src) && isASCIILetter(src[i]) {
			return i + 1
		}
		return start + size
	}
	if !isNameStart(r) {
		return start
	}
	return nameEnd(src, start)
}
