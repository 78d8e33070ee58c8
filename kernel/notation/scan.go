package notation

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A scanner cuts a text into tokens. It never fails: a piece that cannot be
// read becomes a tBad token whose diagnostic the parser reports if it gets
// there, so that one mistake draws one message.
type scanner struct {
	// immutable
	text *source.Text
	src  string
	mode mode
	step func() // called every stepTokens tokens; may be nil

	choice Choice

	// scanning state
	pos   int
	space bool // white space before pos on this line

	read  map[string]knownUnit // units that were read before
	unit  unitReader           // of the unit that is being read
	usual int                  // end of the last symbol that was found to be one in its usual spelling

	braces, squares int // brackets { and [ that are open

	// results
	toks    []token
	numbers []float64
	units   []*UnitRef
	errs    source.List
	reads   []reading // what is written in another way than usual, and is sure
}

// stepTokens are read in some tens of microseconds.
const stepTokens = 64

// scan reads the whole text.
func (s *scanner) scan() {
	s.toks = make([]token, 0, len(s.src)/2+8)
	for n := 1; ; n++ {
		if n%stepTokens == 0 && s.step != nil {
			s.step()
		}
		s.skipSpace()
		if s.pos >= len(s.src) {
			break
		}
		s.next()
	}
	s.pos = len(s.src)
	s.emit(tNewline, s.pos)
}

func (s *scanner) span(start, end int) source.Span {
	return source.Span{Text: s.text, Start: start, End: end}
}

// emit appends the token that reaches from start to the current place.
func (s *scanner) emit(k kind, start int) *token {
	s.toks = append(s.toks, token{
		kind: k, space: s.space, start: int32(start), end: int32(s.pos), text: s.src[start:s.pos],
	})
	s.space = false
	return &s.toks[len(s.toks)-1]
}

// bad appends a tBad token up to the current place and returns its diagnostic.
func (s *scanner) bad(start int, code source.Code, format string, args ...any) *source.Diagnostic {
	s.emit(tBad, start).aux = int32(len(s.errs))
	return s.errs.Addf(s.span(start, s.pos), code, format, args...)
}

// last returns the token before the current place, the zero token if there is none.
func (s *scanner) last() token {
	if len(s.toks) == 0 {
		return token{kind: tNewline}
	}
	return s.toks[len(s.toks)-1]
}

// skipSpace skips white space and comments, but not line ends.
func (s *scanner) skipSpace() {
	for s.pos < len(s.src) {
		switch c := s.src[s.pos]; {
		case c == ' ' || c == '\t' || c == '\r' || c == '\f' || c == '\v':
			s.pos++
		case c == '#':
			s.noteNumberSign()
			s.pos = s.lineEnd()
		case c >= utf8.RuneSelf:
			r, size := utf8.DecodeRuneInString(s.src[s.pos:])
			if !unicode.IsSpace(r) && r != '\uFEFF' {
				return
			}
			s.pos += size
		default:
			return
		}
		s.space = true
	}
}

// noteNumberSign notes 250 # and 250#/ft, where # stands for pounds in the United
// States and begins a remark here.
func (s *scanner) noteNumberSign() {
	n := s.last()
	rest := s.src[s.pos+1 : s.lineEnd()]
	isPound := strings.TrimSpace(rest) == "" || strings.HasPrefix(rest, "/") || strings.HasPrefix(rest, "-")
	if n.kind != tNumber || s.mode != calcMode || !isPound {
		return
	}
	d := &source.Diagnostic{Code: RareUnit, Severity: source.Note, Span: s.span(int(n.start), int(n.end)),
		Message: "# begins a remark, so " + n.text + " has no unit", Repair: "for pounds write " + n.text + " lb or " + n.text + " lbf"}
	d.Choose(d.Span, n.text+" lb").Choose(d.Span, n.text+" lbf")
	s.reads = append(s.reads, reading{code: d.Code, start: int(n.start), end: int(n.end), note: d})
}

func (s *scanner) lineEnd() int {
	if i := strings.IndexByte(s.src[s.pos:], '\n'); i >= 0 {
		return s.pos + i
	}
	return len(s.src)
}

// singles maps the characters that are a token by themselves.
var singles = map[rune]token{
	'(': {kind: tOpen}, ')': {kind: tClose}, '|': {kind: tBar},
	',': {kind: tComma}, ':': {kind: tColon}, '?': {kind: tGap},
	'→': {kind: tArrow}, '∞': {kind: tInfinity}, '√': {kind: tRoot}, '∛': {kind: tCubeRoot},
	'⇒': {kind: tTherefore}, '∴': {kind: tTherefore},
	'∑': {kind: tSumSign}, '∫': {kind: tIntSign}, '±': {kind: tPlusMin},
	'+': {kind: tOp, op: OpAdd}, '-': {kind: tOp, op: OpSub}, '−': {kind: tOp, op: OpSub},
	'·': {kind: tOp, op: OpMul}, '⋅': {kind: tOp, op: OpMul}, '*': {kind: tOp, op: OpMul}, '×': {kind: tOp, op: OpMul},
	// As pasted from documents: dashes, dots, stars and strokes.
	'–': {kind: tOp, op: OpSub}, '‐': {kind: tOp, op: OpSub}, '‑': {kind: tOp, op: OpSub},
	'—': {kind: tOp, op: OpSub}, '‒': {kind: tOp, op: OpSub}, '－': {kind: tOp, op: OpSub}, '＋': {kind: tOp, op: OpAdd},
	'∙': {kind: tOp, op: OpMul}, '•': {kind: tOp, op: OpMul}, '∗': {kind: tOp, op: OpMul},
	'‧': {kind: tOp, op: OpMul}, '⨯': {kind: tOp, op: OpMul}, '／': {kind: tOp, op: OpDiv},
	'∕': {kind: tOp, op: OpDiv}, '⁄': {kind: tOp, op: OpDiv},
	'/': {kind: tOp, op: OpDiv}, '÷': {kind: tOp, op: OpDiv}, '^': {kind: tOp, op: OpPow}, 'ˆ': {kind: tOp, op: OpPow}, '＾': {kind: tOp, op: OpPow},
	'<': {kind: tOp, op: OpLess}, '>': {kind: tOp, op: OpGreater}, '=': {kind: tOp, op: OpEqual},
	'≤': {kind: tOp, op: OpLessEq}, '≥': {kind: tOp, op: OpGreaterEq}, '≠': {kind: tOp, op: OpNotEqual},
	'≈': {kind: tOp, op: OpApprox}, '∝': {kind: tOp, op: OpPropTo},
}

// doubles lists the tokens of several ASCII characters, longest first.
var doubles = []struct {
	text string
	token
}{
	{"+/-", token{kind: tPlusMin}},
	{"->", token{kind: tArrow}},
	{"<=", token{kind: tOp, op: OpLessEq}},
	{">=", token{kind: tOp, op: OpGreaterEq}},
	{"<>", token{kind: tOp, op: OpNotEqual}},
	{"~=", token{kind: tOp, op: OpApprox}},
}

// foreign lists spellings of operators from elsewhere with ours.
var foreign = []struct{ text, ours string }{
	{"==", "="}, {":=", "="}, {"!=", "≠"}, {"=<", "<="}, {"=>", ">="},
	{"&&", " and "},
}

// slashRemark reports a remark behind //, as in programs.
func (s *scanner) slashRemark(rest string) bool {
	if !strings.HasPrefix(rest, "//") || !s.space || len(rest) < 3 || rest[2] != ' ' && !isASCIILetter(rest[2]) || s.mode == deriveMode {
		return false
	}
	start := s.pos
	s.pos += len("//")
	d := s.bad(start, ForeignOperator, "a remark begins with #")
	d.Repair = "write #"
	d.Fix = &source.Fix{Span: d.Span, Text: "#"}
	return true
}

// next reads one token at a place that is not white space.
func (s *scanner) next() {
	start := s.pos
	c := s.src[start]
	switch {
	case c == '\n':
		s.pos++
		s.emit(tNewline, start)
		s.space = true
		return
	case isASCIILetter(c):
		s.word()
		return
	case isDigit(c), c == '.' && s.pointStartsNumber():
		s.number()
		return
	case c == '.':
		s.pos++
		s.emit(tDot, start)
		return
	case c == '"':
		s.label()
		return
	}
	if c < utf8.RuneSelf && s.operator() {
		return
	}
	r, size := utf8.DecodeRuneInString(s.src[start:])
	if s.diameterSign(r, size) {
		return
	}
	if isNameStart(r) {
		s.word()
		return
	}
	if isSuperscript(r) {
		s.pos = superscriptEnd(s.src, start)
		s.emit(tSuper, start)
		return
	}
	s.pos += size
	if t, ok := singles[r]; ok {
		s.emit(t.kind, start).op = t.op
		return
	}
	if k, ok := s.blackboard(r); ok {
		s.emit(k, start)
		if k == tFraction {
			s.unitAfterFraction()
		}
		return
	}
	s.stray(start, r)
}

// operator reads a token of two or three ASCII characters, ours or foreign.
func (s *scanner) operator() bool {
	start, rest := s.pos, s.src[s.pos:]
	if s.mode == deriveMode && strings.HasPrefix(rest, "<<") {
		s.pos += 2
		s.emit(tMuchLess, start)
		return true
	}
	for _, d := range doubles {
		if strings.HasPrefix(rest, d.text) {
			s.pos += len(d.text)
			s.emit(d.kind, start).op = d.op
			return true
		}
	}
	if strings.HasPrefix(rest, "**") {
		s.pos += len("**")
		s.emit(tOp, start).op = OpPow
		s.reads = append(s.reads, reading{code: ForeignOperator, start: start, end: s.pos, edits: []edit{{start, s.pos, "^"}}})
		return true
	}
	if s.slashRemark(rest) {
		return true
	}
	for _, f := range foreign {
		if strings.HasPrefix(rest, f.text) {
			s.pos += len(f.text)
			ours := strings.TrimSpace(f.ours)
			d := s.bad(start, ForeignOperator, "“%s” is not a symbol of this notation", f.text)
			d.Repair = "write " + ours
			d.Fix = &source.Fix{Span: d.Span, Text: f.ours}
			return true
		}
	}
	return false
}

func (s *scanner) word() {
	start := s.pos
	s.pos = nameEnd(s.src, start)
	if k, ok := largeSigns[s.src[start:s.pos]]; ok && strings.HasPrefix(s.src[s.pos:], "{") {
		s.pos-- // the _ is a token of its own
		s.emit(k, start)
		return
	}
	if isDigit(s.src[s.pos-1]) {
		if end := s.functionDigits(start, s.pos); end > 0 {
			s.pos = end
		}
	}
	if s.letterTimes(start) {
		return
	}
	t := s.emit(tName, start)
	if ours, ok := otherNames[t.text]; ok {
		t.text = ours
	}
	if !reserved[t.text] {
		return
	}
	t.kind = tWord
	if s.mode == deriveMode && t.text == "because" {
		s.reason(start)
	}
}

// diameterSign reads past the ⌀ of a drawing before a number. Ø is a letter, and is
// taken for it in a shaft cell, and directly behind = where a unit follows the number.
func (s *scanner) diameterSign(r rune, size int) bool {
	next := blanksEnd(s.src, s.pos+size)
	if !strings.ContainsRune("⌀∅Øø", r) || next >= len(s.src) || !isDigit(s.src[next]) {
		return false
	}
	end := next
	for end < len(s.src) && (isDigit(s.src[end]) || s.src[end] == '.') {
		end++
	}
	if isLetter := r == 'Ø' || r == 'ø'; isLetter && s.mode != shaftMode && (!s.last().isOp(OpEqual) || !symbolAt(s.src, blanksEnd(s.src, end))) {
		return false
	}
	s.reads = append(s.reads, reading{code: ForeignOperator, start: s.pos, end: end, edits: []edit{{s.pos, next, ""}}, reason: "the sign of a diameter is left out"})
	s.pos += size
	return true
}

// letterTimes reads the letter x between two numbers, as in 3 x 2, as the sign of
// multiplication.
func (s *scanner) letterTimes(start int) bool {
	word, before := s.src[start:s.pos], s.last().kind
	if word != "x" && word != "X" || before != tNumber && before != tUnit || s.mode == shaftMode {
		return false
	}
	if next := blanksEnd(s.src, s.pos); next >= len(s.src) || !isDigit(s.src[next]) {
		return false
	}
	s.emit(tOp, start).op = OpMul
	s.reads = append(s.reads, reading{code: ForeignOperator, start: start, end: s.pos, edits: []edit{{start, s.pos, "×"}}})
	return true
}

// reason takes the free text after because, up to the line end or a comment.
func (s *scanner) reason(start int) {
	from := s.pos
	end := s.lineEnd()
	if i := strings.IndexByte(s.src[from:end], '#'); i >= 0 {
		end = from + i
	}
	t := &s.toks[len(s.toks)-1]
	t.kind = tReason
	t.text = strings.TrimSpace(strings.ToValidUTF8(s.src[from:end], "\uFFFD"))
	t.end = int32(from + len(strings.TrimRightFunc(s.src[from:end], unicode.IsSpace)))
	s.pos = end
}

// label reads a label in straight quotation marks.
func (s *scanner) label() {
	start := s.pos
	end := s.lineEnd()
	i := strings.IndexByte(s.src[start+1:end], '"')
	if i < 0 {
		s.pos = start + len(strings.TrimRightFunc(s.src[start:end], unicode.IsSpace))
		if s.last().kind == tNumber && s.pos == start+1 {
			d := s.bad(start, UnclosedLabel, "the mark of the inch stands directly after the number")
			d.Repair = "write in"
			d.Fix = &source.Fix{Span: d.Span, Text: "in"}
			return
		}
		s.bad(start, UnclosedLabel, "the quotation mark that opens the label is not closed on this line").Repair = `end the label with "`
		return
	}
	s.pos = start + 1 + i + 1
	s.emit(tText, start)
}

const smartQuotes = "“”„‟‘’‚‛″′«»"

// stray reports a character that has no meaning here.
func (s *scanner) stray(start int, r rune) {
	before := s.last()
	switch {
	case fullWidth(r) != 0:
		s.fullWidthNumber(start)
	case strings.ContainsRune("%°º˚", r) && before.endsOperand() && before.kind != tUnit:
		if r != '%' {
			r = '°'
		}
		d := s.bad(start, UnitNeedsNumber, "“%c” belongs directly after a number", r)
		d.Span.Start = int(before.end)
		text := "·(1 " + string(r) + ")"
		d.Repair = "write " + text + " behind it"
		if from := int(before.start); from == 0 || s.src[from-1] != '/' && s.src[from-1] != '^' {
			d.Fix = &source.Fix{Span: d.Span, Text: text}
		}
	case r == '‰' && before.endsOperand() && before.kind != tUnit:
		d := s.bad(start, UnknownUnit, "“‰” is not a unit here; 1 ‰ is 0.1 %%")
		d.Span.Start = int(before.end)
		d.Repair = "write ·(0.1 %) behind it"
		d.Fix = &source.Fix{Span: d.Span, Text: "·(0.1 %)"}
	case r == utf8.RuneError && s.pos-start == 1:
		s.bad(start, InvalidText, "this byte is not valid UTF-8 text").Repair = "retype the character"
	case strings.ContainsRune("'’′", r) && s.last().kind == tName && !s.space:
		name := s.last().text
		s.bad(start, StrayCharacter, "a name consists of letters, digits and “_”").Repair = "write another name, perhaps " + name + "_1"
	case strings.ContainsRune(smartQuotes, r):
		d := s.bad(start, SmartQuote, "“%c” is a typographic mark, not a symbol of the notation", r)
		d.Repair = `labels are written in straight quotation marks: "`
		d.Fix = &source.Fix{Span: d.Span, Text: `"`}
	case !unicode.IsPrint(r):
		d := s.bad(start, InvisibleCharacter, "there is an invisible character (U+%04X) here", r)
		d.Repair = "delete it"
		d.Fix = &source.Fix{Span: d.Span, Text: ""}
	case r == '[' || r == ']' || r == '{' || r == '}':
		d := s.bad(start, StrayCharacter, "“%c” has no meaning here; all brackets are round", r)
		ours := map[rune]string{'[': "(", '{': "(", ']': ")", '}': ")"}[r]
		d.Repair = "write " + ours
		d.Fix = &source.Fix{Span: d.Span, Text: ours}
		if end := strings.IndexByte(s.src[s.pos:s.lineEnd()], ']'); r == '[' && end >= 0 && strings.TrimSpace(s.src[s.pos+end+1:s.lineEnd()]) == "" && before.endsOperand() {
			if symbol := strings.TrimSpace(s.src[s.pos : s.pos+end]); s.isUnitText(symbol) {
				d.Repair = "to show the value in a unit write in " + symbol
				d.Fix = &source.Fix{Span: s.span(start, s.pos+end+1), Text: "in " + symbol}
				if !s.isAfterBlank(start) {
					d.Fix.Text = " " + d.Fix.Text
				}
				return
			}
		}
		closing := map[rune]string{'[': "]", '{': "}"}[r]
		if inside := s.src[s.pos:s.lineEnd()]; closing != "" {
			if end := strings.Index(inside, closing); end >= 0 && !strings.ContainsAny(inside[:end], "[]{}") {
				d.Fix = &source.Fix{Span: s.span(start, s.pos+end+1), Text: "(" + inside[:end] + ")"}
			}
		}
	case r == '!' && s.last().endsOperand() && !s.space:
		d := s.bad(start, StrayCharacter, "n! is read in derivations only")
		d.Repair = "write product of i for i from 1 to n"
		if before.kind == tNumber || before.kind == tName {
			product := "product of i for i from 1 to " + before.text
			d.Repair = "write " + product
			d.Fix = &source.Fix{Span: s.span(int(before.start), s.pos), Text: "(" + product + ")"}
		}
	case r == ';':
		d := s.bad(start, StrayCharacter, "“;” has no meaning in the notation")
		d.Repair = "write each statement on a line of its own"
		if strings.TrimSpace(s.src[s.pos:s.lineEnd()]) == "" {
			d.Repair = "delete it"
			d.Fix = &source.Fix{Span: d.Span, Text: ""}
		}
	default:
		s.bad(start, StrayCharacter, "“%c” has no meaning in the notation", r).Repair = "delete it"
		s.betweenDigits(start, r)
	}
}

// betweenDigits gives the last error about a character another repair where it stands
// at a number: without it the number would be another.
func (s *scanner) betweenDigits(start int, r rune) {
	d := &s.errs[len(s.errs)-1]
	before := s.last()
	if n := len(s.toks); n > 1 {
		before = s.toks[n-2]
	}
	isBehind := before.endsOperand() && int(before.end) == start && before.kind != tBad
	isBetween := isBehind && s.pos < len(s.src) && isDigit(s.src[s.pos])
	switch {
	case unicode.IsDigit(r):
		d.Message, d.Repair = "“"+string(r)+"” is a digit of another script", "write it with the digits 0 to 9"
	case strings.ContainsRune("⧸⁄\\", r) && before.endsOperand() && before.kind != tBad:
		d.Repair = "for a quotient write /"
		d.Fix = &source.Fix{Span: d.Span, Text: "/"}
	case strings.ContainsRune("，٫", r) && isBetween:
		d.Code, d.Message = DecimalComma, "the decimal mark is a point"
		d.Repair = "write a point"
		d.Choose(d.Span, ".")
	case r == '°' && strings.HasPrefix(s.src[s.pos:], "C") && before.isOp(OpDiv):
		d.Span.End = s.pos + 1
		d.Repair = "a difference of 1 °C is 1 K: write (1 K)"
		d.Choose(d.Span, "(1 K)")
	case isBehind || isBetween:
		d.Repair = "write what is meant in its place; without it the number may be another"
	}
}

func (s *scanner) isAfterBlank(i int) bool { return i > 0 && s.src[i-1] == ' ' }

func (s *scanner) isUnitText(text string) bool {
	_, err := unit.Parse(text)
	return text != "" && err == nil
}

// fullWidthNumber reports digits and points of full width, and offers usual ones.
func (s *scanner) fullWidthNumber(start int) {
	var b strings.Builder
	s.pos = start
	for s.pos < len(s.src) {
		r, size := utf8.DecodeRuneInString(s.src[s.pos:])
		usual := fullWidth(r)
		if usual == 0 && !isDigit(s.src[s.pos]) && s.src[s.pos] != '.' {
			break
		}
		if usual == 0 {
			usual = r
		}
		b.WriteRune(usual)
		s.pos += size
	}
	d := s.bad(start, StrayCharacter, "these digits are of full width")
	d.Repair = "write " + b.String()
	d.Fix = &source.Fix{Span: d.Span, Text: b.String()}
}

// fullWidth returns the usual digit or point for one of full width, 0 for others.
func fullWidth(r rune) rune {
	if '０' <= r && r <= '９' || r == '．' {
		return r - '０' + '0'
	}
	return 0
}

func isASCIILetter(c byte) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' }
func isDigit(c byte) bool       { return '0' <= c && c <= '9' }

// isNameStart reports whether a name can start with r. The increment sign ∆ is
// taken for the letter Δ; the ordinal sign º is a mistyped degree, not a letter.
func isNameStart(r rune) bool {
	return r == '∆' || r != 'º' && r != 'ª' && r != 'ˆ' && unicode.IsLetter(r)
}

// nameEnd returns the end of the name that starts at start.
func nameEnd(src string, start int) int {
	for i := start; i < len(src); {
		if c := src[i]; c < utf8.RuneSelf {
			if !isASCIILetter(c) && !isDigit(c) && c != '_' {
				return i
			}
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(src[i:])
		// A combining mark is part of its letter: x̄, ẋ.
		if !isNameStart(r) && !isSubscript(r) && !unicode.IsDigit(r) && !(i > start && unicode.Is(unicode.Mn, r)) {
			return i
		}
		i += size
	}
	return len(src)
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

func isSuperscript(r rune) bool {
	return r == '⁻' || r == '⁺' || strings.ContainsRune(superscripts, r)
}

// superscriptEnd returns the end of a superscript number: a sign at most once,
// in front.
func superscriptEnd(src string, start int) int {
	end := start
	for i, r := range src[start:] {
		if !isSuperscript(r) || i > 0 && (r == '⁻' || r == '⁺') {
			break
		}
		end = start + i + utf8.RuneLen(r)
	}
	return end
}

// superscriptText returns a superscript number in plain digits.
func superscriptText(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '⁻':
			b.WriteByte('-')
		case r == '⁺':
		default:
			b.WriteByte(superscriptDigit(r))
		}
	}
	return b.String()
}

func superscriptDigit(r rune) byte {
	switch r {
	case '¹':
		return '1'
	case '²':
		return '2'
	case '³':
		return '3'
	}
	return byte(r-'⁰') + '0'
}
