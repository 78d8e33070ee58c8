package notation

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

const maxLiteral = 64 // characters in a number literal

// pointStartsNumber reports whether the point at the current place belongs to
// a number (.5) and not to a field (S.twist).
func (s *scanner) pointStartsNumber() bool {
	if s.pos+1 >= len(s.src) || !isDigit(s.src[s.pos+1]) {
		return false
	}
	return s.space || s.last().kind != tName
}

// number reads a number literal and the unit after it.
func (s *scanner) number() {
	start := s.pos
	var edits []edit
	code := LeadingPoint
	if s.src[start] == '.' {
		edits = append(edits, edit{start, start, "0"})
	}
	// In an exponent the 2 of d^2·10^3 is all there is.
	inExponent := s.afterPower()
	s.pos = digitsEnd(s.src, start)
	if marks := s.groupMarks(start); len(marks) > 0 {
		edits, code = append(edits, marks...), DigitGroups
	}
	if s.raisedPoint(start) {
		return
	}
	trailing, ok := s.fraction(start)
	if !ok {
		return
	}
	if trailing > 0 {
		edits, code = append(edits, edit{trailing - 1, trailing, ""}), TrailingPoint
	}
	hasExponent := s.exponent()
	if !inExponent && !hasExponent {
		if s.hyphenPower(start) {
			return
		}
		if letter := s.powerOfTen(); letter >= 0 {
			edits, code = append(edits, edit{letter, letter + 1, "×"}), ForeignOperator
		}
	}
	if s.mode != deriveMode {
		s.notePointOfThousands(start)
	}
	if len(edits) > 0 {
		s.reads = append(s.reads, reading{code: code, start: start, end: s.pos, edits: edits})
	}
	ofName := inExponent && s.powerOfName() // of d^2 L the L is a factor
	if s.literal(start, edits) && !ofName {
		s.unitAfterNumber()
	}
}

// afterPower reports whether the number here is the exponent after ^, perhaps
// with a sign between.
func (s *scanner) afterPower() bool {
	n := len(s.toks)
	if n > 1 && (s.toks[n-1].isOp(OpSub) || s.toks[n-1].isOp(OpAdd)) {
		n--
	}
	return n > 0 && s.toks[n-1].isOp(OpPow)
}

// notePointOfThousands notes 79.000 N/mm^2, which is 79 here and 79 thousand where the
// point groups digits. Inches are often written to three places.
func (s *scanner) notePointOfThousands(start int) {
	text := s.src[start:s.pos]
	whole, isThousands := strings.CutSuffix(text, ".000")
	if !isThousands || !hasOnlyDigits(whole) || len(whole) < 2 || len(whole) > 3 {
		return
	}
	next := blanksEnd(s.src, s.pos)
	symbol := s.src[next:symbolEnd(s.src, next)]
	if _, isUnit := unit.Lookup(symbol); !isUnit || symbol == "in" {
		return
	}
	d := &source.Diagnostic{Code: DigitGroups, Severity: source.Note, Span: s.span(start, s.pos),
		Message: "the point is the decimal mark, so " + text + " is " + whole, Repair: "perhaps " + whole + "000 is meant"}
	d.Choose(d.Span, whole+"000")
	s.reads = append(s.reads, reading{code: d.Code, start: start, end: s.pos, note: d})
}

// powerOfName reports whether the number here is the exponent of a name.
func (s *scanner) powerOfName() bool {
	n := len(s.toks)
	if !s.toks[n-1].isOp(OpPow) {
		n--
	}
	return n > 1 && s.toks[n-2].kind == tName
}

// fraction reads the decimal point and the digits after it. trailing is the end of
// a point with no digit after it, else 0.
func (s *scanner) fraction(start int) (trailing int, ok bool) {
	if s.pos >= len(s.src) || s.src[s.pos] != '.' {
		return 0, true
	}
	point := s.pos
	s.pos = digitsEnd(s.src, point+1)
	if s.pos == point+1 {
		if r, _ := utf8.DecodeRuneInString(s.src[s.pos:]); s.pos < len(s.src) && (isNameStart(r) || r == '.') {
			d := s.bad(start, TrailingPoint, "a digit is missing after the decimal point")
			d.Repair = "write " + s.src[start:point]
			if r != '.' {
				d.Fix = &source.Fix{Span: s.span(point, point+1), Text: ""}
			}
			return 0, false
		}
		return s.pos, true
	}
	if s.pos < len(s.src) && s.src[s.pos] == '.' && s.pos+1 < len(s.src) && isDigit(s.src[s.pos+1]) {
		for s.pos < len(s.src) && (s.src[s.pos] == '.' || isDigit(s.src[s.pos]) || s.src[s.pos] == ',' && digitsEnd(s.src, s.pos+1) > s.pos+1) {
			s.pos++
		}
		d := s.bad(start, DigitGroups, "a number has one decimal point")
		d.Repair = "write it without marks between groups of digits"
		if plain := Grouped(d.Span.Content()); len(plain) == 1 {
			d.Repair = "write " + plain[0]
			d.Fix = &source.Fix{Span: d.Span, Text: plain[0]}
		}
		return 0, false
	}
	return 0, true
}

// exponent reads e-5 if digits follow the e.
func (s *scanner) exponent() bool {
	if s.pos >= len(s.src) || s.src[s.pos] != 'e' && s.src[s.pos] != 'E' {
		return false
	}
	i := s.pos + 1 + signLength(s.src[s.pos+1:])
	end := digitsEnd(s.src, i)
	if end == i {
		return false
	}
	s.pos = end
	return true
}

// groupMarks are what separates thousands elsewhere: in other notations, and
// on pages that are pasted from.
var groupMarks = [...]string{" ", "_", "\u00a0", "\u2009", "\u202f", "'", "’"}

func groupMarkLength(text string) int {
	for _, mark := range groupMarks {
		if strings.HasPrefix(text, mark) {
			return len(mark)
		}
	}
	return 0
}

// groupMarks moves past the further digits of 1_000, 1 000 and 1'000, a thousand,
// and returns the edits that drop the marks. In 5'106" the mark is the foot.
func (s *scanner) groupMarks(start int) []edit {
	if n := s.pos - start; n == 0 || n > 3 {
		return nil
	}
	var marks []edit
	for {
		n := groupMarkLength(s.src[s.pos:])
		if n == 0 || digitsEnd(s.src, s.pos+n) != s.pos+n+3 || strings.ContainsAny(s.src[s.pos:s.pos+n], "'’") && isInchMark(s.src[s.pos+n+3:]) {
			return marks
		}
		marks = append(marks, edit{s.pos, s.pos + n, ""})
		s.pos += n + 3
	}
}

// isInchMark reports whether text begins with a mark that stands for the inch.
func isInchMark(text string) bool {
	for _, mark := range [...]string{"\"", "”", "''", "″"} {
		if strings.HasPrefix(text, mark) {
			return true
		}
	}
	return false
}

// raisedPoint asks about 0·3 m and 1·2 m, where the dot is a raised decimal point
// sooner than a sign of multiplication. The digits after it begin at start.
func (s *scanner) raisedPoint(start int) bool {
	n := len(s.toks)
	if n < 2 || s.space || s.pos < len(s.src) && (strings.IndexByte(".^eE", s.src[s.pos]) >= 0 || timesLength(s.src[s.pos:]) > 0) {
		return false
	}
	whole, dot := s.toks[n-2], s.toks[n-1]
	if whole.kind != tNumber || whole.text != "0" && whole.text != "1" || !dot.isOp(OpMul) || dot.space || strings.ContainsAny(dot.text, "*×∗⨯") {
		return false
	}
	if n > 2 && (s.toks[n-3].isOp(OpMul) || s.toks[n-3].isOp(OpDiv) || s.toks[n-3].isOp(OpPow)) {
		return false
	}
	next := blanksEnd(s.src, s.pos)
	if !s.symbolAt(next) && (whole.text == "1" || s.mode == deriveMode) {
		return false
	}
	digits := s.src[start:s.pos]
	d := s.bad(start, TwoReadings, "the dot between these digits multiplies; a decimal point is written as a full stop")
	d.Span.Start = int(whole.start)
	point, product := whole.text+"."+digits, whole.text+" · "+digits
	d.Repair = "write " + point + ", or " + product + " for the product"
	d.Choose(d.Span, point).Choose(d.Span, product)
	return true
}

// hyphenPower asks about 1.2×10-3, which may be 1.2×10^-3. The number begins at start.
func (s *scanner) hyphenPower(start int) bool {
	i := s.afterTen()
	if i < 0 {
		return false
	}
	n := signLength(s.src[i:])
	if n == 0 || s.src[i] == '+' || digitsEnd(s.src, i+n) == i+n {
		return false
	}
	mantissa := s.src[start:s.pos]
	s.pos = digitsEnd(s.src, i+n)
	if s.pos < len(s.src) && s.src[s.pos] == '.' {
		s.pos = i - len("10")
		return false
	}
	digits := s.src[i+n : s.pos]
	d := s.bad(start, TwoReadings, "this may be a power of ten, or a difference")
	power, difference := mantissa+"×10^-"+digits, mantissa+"×10 − "+digits
	d.Repair = "write " + power + " or " + difference + ", whichever is meant"
	d.Choose(d.Span, power).Choose(d.Span, difference)
	return true
}

// afterTen returns where the 10 of ×10 after a mantissa ends, -1 if there is none.
func (s *scanner) afterTen() int {
	i := blanksEnd(s.src, s.pos)
	n := timesLength(s.src[i:])
	if n == 0 && i < len(s.src) && (s.src[i] == 'x' || s.src[i] == 'X') {
		n = 1
	}
	if n == 0 {
		return -1
	}
	if i = blanksEnd(s.src, i+n); !strings.HasPrefix(s.src[i:], "10") {
		return -1
	}
	return i + len("10")
}

// powerOfTen reads ×10^-5 or ·10⁻⁵ after a mantissa. A further ^ shows that a
// power was meant after all. The letter x is read as the sign; its place is
// returned, else -1.
func (s *scanner) powerOfTen() (letter int) {
	letter = -1
	i := s.afterTen()
	if i < 0 {
		return letter
	}
	end := i
	if i < len(s.src) && s.src[i] == '^' {
		digits := i + 1 + signLength(s.src[i+1:])
		if end = digitsEnd(s.src, digits); end == digits {
			return letter
		}
	} else if end = superscriptEnd(s.src, i); end == i || !hasDigit(superscriptText(s.src[i:end])) {
		return letter
	}
	if next := blanksEnd(s.src, end); next < len(s.src) && (s.src[next] == '^' || s.src[next] == '.') {
		return letter
	}
	if superscriptEnd(s.src, end) > end {
		return letter
	}
	if at := blanksEnd(s.src, s.pos); s.src[at] == 'x' || s.src[at] == 'X' {
		letter = at
	}
	s.pos = end
	return letter
}

// literal emits the number from start to the current place, or an error if it
// is too long, too large or too small to be held. The edits give its usual
// spelling, which its token has.
func (s *scanner) literal(start int, edits []edit) bool {
	text := s.src[start:s.pos]
	if len(edits) > 0 {
		text = applyEdits(text, start, edits)
	}
	if len(text) > maxLiteral {
		s.bad(start, LiteralTooLong, "this number has more than %d characters", maxLiteral).Repair = "round it; 17 digits are all that can be kept"
		return false
	}
	value, err := strconv.ParseFloat(Decimal(text), 64)
	if err != nil && !errors.Is(err, strconv.ErrRange) {
		s.bad(start, StrayCharacter, "this number cannot be read")
		return false
	}
	if math.IsInf(value, 0) {
		s.bad(start, NumberTooLarge, "this number is too large to calculate with; the largest is about 1.8×10^308")
		return false
	}
	if value == 0 && hasNonZeroDigit(text) {
		s.bad(start, NumberTooSmall, "this number is too small to calculate with and would count as 0; the smallest is about 4.9×10^-324")
		return false
	}
	t := s.emit(tNumber, start)
	t.aux, t.text = int32(len(s.numbers)), text
	s.numbers = append(s.numbers, value)
	return true
}

// Decimal returns a number literal in plain decimal spelling with e:
// 3.2×10⁻⁵ becomes 3.2e-5.
func Decimal(literal string) string {
	mantissa, power, ok := cutTimes(literal)
	if !ok {
		return replaced(plainMinus, literal)
	}
	power = strings.TrimPrefix(strings.TrimLeftFunc(power, unicode.IsSpace), "10")
	if rest, ok := strings.CutPrefix(power, "^"); ok {
		power = plainMinus.Replace(rest)
	} else {
		power = superscriptText(power)
	}
	return strings.TrimRightFunc(mantissa, unicode.IsSpace) + "e" + power
}

// replaced is r.Replace for signs outside ASCII, without a copy of a text that has none.
func replaced(r *strings.Replacer, text string) string {
	if isASCII(text) {
		return text
	}
	return r.Replace(text)
}

// plainMinus writes the signs of a number in ASCII.
var plainMinus = strings.NewReplacer("−", "-", "–", "-", "‐", "-", "‑", "-", "—", "-", "‒", "-", "－", "-")

// cutTimes splits a literal at its multiplication sign.
func cutTimes(literal string) (before, after string, ok bool) {
	for i := range len(literal) {
		if n := timesLength(literal[i:]); n > 0 {
			return literal[:i], literal[i+n:], true
		}
	}
	return literal, "", false
}

// hasNonZeroDigit reports whether the mantissa of a literal is not zero.
func hasNonZeroDigit(literal string) bool {
	mantissa, _, _ := cutTimes(literal)
	if i := strings.IndexAny(mantissa, "eE"); i >= 0 {
		mantissa = mantissa[:i]
	}
	return strings.ContainsAny(mantissa, "123456789")
}

func hasDigit(text string) bool { return strings.ContainsAny(text, "0123456789") }

// timesLength returns the length of the multiplication sign at the start of
// text, 0 if there is none.
func timesLength(text string) int {
	for _, sign := range [...]string{"·", "×", "*", "⋅", "∙", "•", "∗", "‧", "⨯"} {
		if strings.HasPrefix(text, sign) {
			return len(sign)
		}
	}
	return 0
}

// signLength returns the length of the sign at the start of text, 0 if there
// is none.
func signLength(text string) int {
	for _, sign := range [...]string{"-", "+", "−", "–", "‐", "‑", "—", "‒", "－"} {
		if strings.HasPrefix(text, sign) {
			return len(sign)
		}
	}
	return 0
}

func digitsEnd(src string, i int) int {
	for i < len(src) && isDigit(src[i]) {
		i++
	}
	return i
}

// blanksEnd skips the white space that may occur within a line, of any width.
func blanksEnd(src string, i int) int {
	for i < len(src) && src[i] != '\n' {
		r, size := utf8.DecodeRuneInString(src[i:])
		if !unicode.IsSpace(r) {
			break
		}
		i += size
	}
	return i
}

// Grouped returns what a number with commas, points or spaces between its digits
// may mean, each in the notation's spelling: 0,3 is 0.3, 1.000,5 and 1 000,5 are
// 1000.5, 1,000.5 too, and 1,000 may be 1.000 or 1000. It returns none where the
// marks do not make a number.
func Grouped(text string) []string {
	hasSpaces := false
	for _, mark := range groupMarks {
		hasSpaces = hasSpaces || strings.Contains(text, mark)
		text = strings.ReplaceAll(text, mark, "\x00")
	}
	comma, point := strings.Count(text, ","), strings.Count(text, ".")
	last := strings.LastIndexAny(text, ",.")
	switch {
	case comma+point == 0:
		return wholeGroups(text, "\x00", "")
	case comma == 1 && point == 0:
		whole, rest := text[:last], text[last+1:]
		sure := wholeGroups(whole, "\x00", "."+rest)
		if hasSpaces || len(rest) != 3 || len(whole) > 3 || strings.HasPrefix(whole, "0") || !hasOnlyDigits(rest) {
			return sure
		}
		return append(sure, whole+rest)
	case comma > 0 && point > 1 || comma > 1 && point > 0 && text[last] == ',':
		if comma != 1 || text[last] != ',' {
			return nil
		}
		return wholeGroups(text[:last], ".", "."+text[last+1:])
	case comma == 1 && point == 1 && text[last] == ',':
		return wholeGroups(text[:last], ".", "."+text[last+1:])
	case comma > 0 && point == 1:
		return wholeGroups(text[:last], ",", "."+text[last+1:])
	case comma > 1:
		return wholeGroups(text, ",", "")
	case point > 1:
		return wholeGroups(text, ".", "")
	}
	return wholeGroups(text[:last], "\x00", "."+text[last+1:])
}

// wholeGroups joins the groups of a whole number, each but the first of three
// digits, and puts a fraction behind.
func wholeGroups(text, mark, fraction string) []string {
	groups := strings.Split(text, mark)
	for i, g := range groups {
		if !hasOnlyDigits(g) || i > 0 && len(g) != 3 || i == 0 && len(groups) > 1 && len(g) > 3 {
			return nil
		}
	}
	if fraction != "" && !hasOnlyDigits(fraction[1:]) {
		return nil
	}
	return []string{strings.Join(groups, "") + fraction}
}

func hasOnlyDigits(text string) bool { return text != "" && digitsEnd(text, 0) == len(text) }
