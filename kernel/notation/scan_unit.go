package notation

import (
	"slices"
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

	above, below []unitFactor
	edits        []edit // what makes the usual spelling of it
	reason       string // of the first of these, if it needs one
}

// A unitFactor is one symbol of a unit.
type unitFactor struct {
	symbol     string // in its usual spelling
	start, end int    // place of the symbol, without its power
	power      string // as written, "" if none
	isMass     bool   // written lbm, which is never a force
}

// unitAfterNumber reads the unit that may follow the number just emitted.
func (s *scanner) unitAfterNumber() {
	if s.feetOrInches() || s.perMinute() {
		return
	}
	start := blanksEnd(s.src, s.pos)
	if s.unitInBrackets(start) {
		return
	}
	end := symbolEnd(s.src, start)
	symbol := s.src[start:end]
	if symbol == "" || symbol == "in" && s.isSuffix(end) || symbol != "in" && reserved[symbol] {
		return
	}
	isUnit := false
	if s.choice.Names != nil && s.last().text == "1" {
		// 1 J is a joule whatever J is, and so is what is in brackets with a 1.
		names := s.choice.Names
		s.choice.Names = nil
		isUnit = s.isUnit(start, end)
		if !s.opensUnit() {
			s.choice.Names = names
		}
		defer func() { s.choice.Names = names }()
	} else {
		isUnit = s.isUnit(start, end)
	}
	if !isUnit {
		s.temperature(start, end)
		return
	}
	if s.isIntegrated(start, end) {
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
	s.emitUnit(ref, start)
}

// unitInBrackets reads the unit in 420 [N·m], whose bracket is at start.
func (s *scanner) unitInBrackets(start int) bool {
	if start >= len(s.src) || s.src[start] != '[' || s.mode == deriveMode || !s.symbolAt(start+1) {
		return false
	}
	n := len(s.reads)
	ref, end, err := s.readUnit(start + 1)
	if err != nil || end >= len(s.src) || s.src[end] != ']' {
		s.reads = s.reads[:n]
		return false
	}
	s.space, s.pos = start > s.pos, end+1
	ref.At = s.span(start, end+1)
	s.emitUnit(ref, start)
	s.reads = append(s.reads[:n], reading{code: UnitSpelling, start: start, end: end + 1, edits: []edit{{start, end + 1, ref.Text}}})
	return true
}

// opensUnit reports whether a bracket was opened directly before the number just
// emitted, as in (1 mm/L).
func (s *scanner) opensUnit() bool {
	n := len(s.toks)
	return n > 1 && s.toks[n-2].kind == tOpen && (n < 3 || s.toks[n-3].kind != tName || s.toks[n-2].space)
}

func (s *scanner) emitUnit(ref *UnitRef, start int) {
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
	if word == "in" && strings.TrimSpace(s.src[wordEnd:s.lineEnd()]) == "" {
		return true // d/2 in in
	}
	if word == "" || reserved[word] {
		return false
	}
	if usual, _ := usualSymbol(word); usual != "" {
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
	r := &s.unit
	*r = unitReader{s: s, pos: start, above: r.above[:0], below: r.below[:0]}
	if strings.HasPrefix(s.src[start:], "1/") {
		r.pos++
	} else {
		r.factor(&r.above)
		r.product(&r.above)
	}
	r.quotient()
	if r.err != nil {
		return nil, r.pos, r.err
	}
	if r.pounds(); r.err != nil {
		return nil, r.pos, r.err
	}
	text := s.src[start:r.pos]
	if len(r.edits) > 0 {
		text = applyEdits(text, start, r.edits)
	}
	known, ok := s.read[text] // whose texts have no pasted signs
	if !ok {
		text = replaced(pastedSigns, text)
		known, ok = s.read[text]
	}
	if !ok {
		u, err := unit.Parse(text)
		if err != nil {
			return nil, r.pos, r.fail(start, UnitPower, err.Error())
		}
		known = knownUnit{u, r.rare()}
		if s.read == nil {
			s.read = map[string]knownUnit{}
		}
		s.read[text] = known
	}
	ref := &UnitRef{Place: Place{s.span(start, r.pos)}, Text: text, Unit: known.unit, Parts: r.parts}
	if len(r.edits) > 0 {
		s.reads = append(s.reads, reading{code: UnitSpelling, start: start, end: r.pos, edits: r.edits, reason: r.reason})
	}
	if d := s.scaleWithoutDegree(ref); d != nil {
		s.reads = append(s.reads, reading{code: d.Code, start: start, end: r.pos, note: d})
	}
	if known.rare != nil {
		d := *known.rare
		d.Span = ref.At
		d.Choices = nil
		if d.Repair != "" {
			d.Choose(ref.At, strings.TrimPrefix(d.Repair, "perhaps "))
			d.Repair += " is meant"
		}
		s.reads = append(s.reads, reading{code: d.Code, start: start, end: r.pos, note: &d})
	}
	return ref, r.pos, nil
}

// scaleWithoutDegree notes that C in 20 C is the coulomb and F the farad, and offers
// what the temperature would be.
func (s *scanner) scaleWithoutDegree(ref *UnitRef) *source.Diagnostic {
	name, ok := map[string]string{"C": "coulomb", "F": "farad"}[ref.Text]
	n := s.last()
	if !ok || n.kind != tNumber {
		return nil
	}
	d := &source.Diagnostic{Span: ref.At, Code: RareUnit, Severity: source.Note, Message: ref.Text + " is the " + name}
	kelvins, difference, _ := unit.Kelvins("°"+ref.Text, s.numbers[n.aux], n.text)
	at := s.span(int(n.start), ref.At.End)
	d.Repair = "for a temperature write " + kelvins + ", for a difference " + difference
	d.Choose(at, kelvins).Choose(at, difference)
	return d
}

// A knownUnit is a unit that was read before, with the note it draws, if any.
type knownUnit struct {
	unit unit.Unit
	rare *source.Diagnostic
}

// rare returns the note about a symbol that was perhaps meant for another.
func (r *unitReader) rare() *source.Diagnostic {
	for _, f := range slices.Concat(r.above, r.below) {
		if power := strings.TrimPrefix(f.power, "^"); f.symbol == "ms" && strings.ContainsAny(power, "-−⁻") {
			d := &source.Diagnostic{Code: RareUnit, Severity: source.Note, Message: "ms is the millisecond"}
			if len(r.above)+len(r.below) == 1 {
				d.Repair = "perhaps m·s" + f.power
				if !strings.Contains(f.power, "⁻") {
					d.Repair = "perhaps m·s^" + power
				}
			}
			return d
		}
		name, usual, ok := unit.Rare(f.symbol)
		if !ok {
			continue
		}
		d := &source.Diagnostic{Code: RareUnit, Severity: source.Note, Message: f.symbol + " is the " + name}
		if usual != "" && len(r.above)+len(r.below) == 1 && f.power == "" {
			d.Repair = "perhaps " + usual
		}
		return d
	}
	return nil
}

// product reads ·symbol as often as it is there. A force and a length may also be
// joined by a hyphen or by a space: lb-ft, N m.
func (r *unitReader) product(to *[]unitFactor) {
	for r.err == nil {
		n := timesLength(r.s.src[r.pos:])
		if n > 0 && r.s.symbolAt(r.pos+n) {
			r.pos += n
			r.factor(to)
			continue
		}
		if !r.joined(to) {
			return
		}
	}
}

// joined reads a second symbol after a hyphen or a space, if the two make a unit
// that people write so.
func (r *unitReader) joined(to *[]unitFactor) bool {
	src := r.s.src
	if r.inverse(to) {
		return true
	}
	if r.pos >= len(src) || len(*to) != 1 || (*to)[0].power != "" {
		return false
	}
	if c := src[r.pos]; c != '-' && c != ' ' && c < utf8.RuneSelf {
		return false
	}
	next := r.pos + hyphenLength(src[r.pos:])
	if next == r.pos {
		if next = blanksEnd(src, r.pos); next == r.pos || strings.HasPrefix(src[next:], "in") {
			return false
		}
	}
	if !r.s.symbolAt(next) {
		return false
	}
	symbol, _ := usualSymbol(src[next:symbolEnd(src, next)])
	if _, ok := unit.Joined((*to)[0].symbol, symbol); !ok {
		return false
	}
	r.edits = append(r.edits, edit{r.pos, next, "·"})
	r.pos = next
	r.factor(to)
	return true
}

// inverse reads a symbol with a negative power behind a blank, as in rad s^-1.
func (r *unitReader) inverse(to *[]unitFactor) bool {
	src := r.s.src
	next := blanksEnd(src, r.pos)
	if next == r.pos || !r.s.symbolAt(next) {
		return false
	}
	end := symbolEnd(src, next)
	if rest := src[end:]; !strings.HasPrefix(rest, "^-") && !strings.HasPrefix(rest, "^−") && !strings.HasPrefix(rest, "⁻") {
		return false
	}
	r.edits = append(r.edits, edit{r.pos, next, "·"})
	r.pos = next
	r.factor(to)
	return true
}

// hyphenLength returns the length of the hyphen or dash at the start of text.
func hyphenLength(text string) int {
	for _, sign := range [...]string{"-", "‐", "‑", "–", "−"} {
		if strings.HasPrefix(text, sign) {
			return len(sign)
		}
	}
	return 0
}

// pounds takes lb for the pound-force where a pound makes no mass: in ft·lb and
// lb/in², and everywhere if the reader of the tree says so.
func (r *unitReader) pounds() {
	isPound := func(f unitFactor) bool { return f.symbol == "lb" || f.symbol == "oz" }
	isMass := func(f unitFactor) bool { return f.isMass }
	if slices.ContainsFunc(r.above, isMass) && len(r.above)+len(r.below) > 1 {
		start := r.above[0].start
		force := strings.ReplaceAll(r.s.src[start:r.pos], "lbm", "lbf")
		d := r.fail(start, UnitAmbiguous, "lbm is the pound of mass; a torque and a stress are made with lbf, the pound of force")
		d.Repair = "write " + force
		d.Fix = &source.Fix{Span: d.Span, Text: force}
		return
	}
	switch {
	case r.s.choice.Force:
	case len(r.above) == 2 && r.above[0].power == "" && r.above[1].power == "":
		if _, ok := unit.Joined(r.above[0].symbol, r.above[1].symbol); !ok {
			return
		}
	case len(r.above) == 1 && len(r.below) == 1 && isPound(r.above[0]) && r.above[0].power == "":
		power := strings.TrimPrefix(r.below[0].power, "^")
		if b := r.below[0].symbol; b != "in" && b != "ft" || power != "2" && power != "²" {
			return
		}
	default:
		return
	}
	for _, f := range slices.Concat(r.above, r.below) {
		switch {
		case isPound(f):
			r.replace(f, f.symbol+"f", "")
			r.because(f.symbol + " is a mass, and " + f.symbol + "f its weight")
		case f.symbol == "k":
			r.replace(f, "kip", "")
		}
	}
}

// replace gives a factor its usual spelling.
func (r *unitReader) replace(f unitFactor, usual, reason string) {
	r.edits = slices.DeleteFunc(r.edits, func(e edit) bool { return e.start == f.start && e.end == f.end })
	r.edits = append(r.edits, edit{f.start, f.end, usual})
	r.because(reason)
}

func (r *unitReader) because(reason string) {
	if r.reason == "" {
		r.reason = reason
	}
}

// quotient reads /symbol or /(symbol·symbol), once.
func (r *unitReader) quotient() {
	if r.err != nil {
		return
	}
	if n := r.perLength(); n > 0 {
		r.edits = append(r.edits, edit{r.pos, r.pos + n, "/"})
		r.pos += n
		r.factor(&r.below)
		return
	}
	if !r.divides(r.pos) {
		return
	}
	r.pos++
	if r.s.src[r.pos] == '(' {
		r.bracket()
	} else {
		r.factor(&r.below)
	}
	if r.err != nil {
		return
	}
	at := r.pos
	if n := timesLength(r.s.src[at:]); n > 0 && r.s.symbolAt(at+n) {
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

// perLength returns the length of the per between two units, as in N per mm2, with
// the blanks around it; 0 if there is none.
func (r *unitReader) perLength() int {
	src := r.s.src
	from := blanksEnd(src, r.pos)
	if from == r.pos || !strings.HasPrefix(src[from:], "per") {
		return 0
	}
	next := blanksEnd(src, from+len("per"))
	if next == from+len("per") || !r.s.symbolAt(next) {
		return 0
	}
	return next - r.pos
}

// powerWords are the words for a power that people write before a unit.
var powerWords = map[string]string{"sq": "^2", "square": "^2", "cu": "^3", "cubic": "^3"}

// powerWord returns the power of a word like sq at i and where the symbol behind it
// begins, "" if there is none.
func (s *scanner) powerWord(i, end int) (power string, symbol int) {
	power = powerWords[s.src[i:end]]
	if power == "" {
		return "", 0
	}
	if end < len(s.src) && s.src[end] == '.' {
		end++
	}
	symbol = blanksEnd(s.src, end)
	word := s.src[symbol:symbolEnd(s.src, symbol)]
	if usual, digits := usualSymbol(word); usual == "" || digits > 0 || !isLength(usual) {
		return "", 0
	}
	return power, symbol
}

func isLength(symbol string) bool {
	u, ok := unit.Lookup(symbol)
	return ok && u.Dim == unit.Base(1, 0, 0)
}

// divides reports whether a stroke at i belongs to the unit: a symbol, or a
// bracket that holds a product of symbols and nothing else, follows tightly.
func (r *unitReader) divides(i int) bool {
	src := r.s.src
	if i >= len(src) || src[i] != '/' {
		return false
	}
	if i+1 >= len(src) || src[i+1] != '(' {
		return r.s.symbolAt(i + 1)
	}
	end := strings.IndexByte(src[i:], ')')
	if end < 0 {
		return false
	}
	pieces := strings.FieldsFunc(src[i+2:i+end], func(c rune) bool { return timesLength(string(c)) > 0 })
	for _, piece := range pieces {
		if !symbolAt(piece, 0) || r.s.isName(piece[:symbolEnd(piece, 0)]) {
			return false
		}
	}
	return len(pieces) > 1
}

// bracket reads (symbol·symbol) below the stroke.
func (r *unitReader) bracket() {
	open := r.pos
	r.pos++
	r.factor(&r.below)
	r.product(&r.below)
	if r.err != nil {
		return
	}
	if r.pos >= len(r.s.src) || r.s.src[r.pos] != ')' {
		r.fail(open, UnitPower, "the bracket in a unit holds symbols joined by · without spaces").Repair = "write N/(m·s)"
		return
	}
	r.pos++
}

// factor reads a symbol with its power: mm^4, s^-1, m^(1/2), mm⁴, mm4.
func (r *unitReader) factor(to *[]unitFactor) {
	src, start := r.s.src, r.pos
	r.pos = symbolEnd(src, start)
	word, symbol := r.s.powerWord(start, r.pos)
	if word != "" {
		r.edits = append(r.edits, edit{start, symbol, ""})
		start, r.pos = symbol, symbolEnd(src, symbol)
	}
	f := unitFactor{symbol: src[start:r.pos], start: start, end: r.pos}
	if r.s.usual != r.pos {
		if _, ok := unit.Lookup(f.symbol); !ok {
			r.unusual(&f)
		}
	}
	r.parts = append(r.parts, r.s.span(start, r.pos))
	r.point()
	from := r.pos
	if word != "" {
		r.edits = append(r.edits, edit{from, from, word})
		f.power = word
		*to = append(*to, f)
		return
	}
	r.power(start)
	if from < r.pos {
		f.power = src[from:r.pos]
	}
	if strings.ContainsAny(f.symbol, "·/") && (f.power != "" || to == &r.below) && r.err == nil {
		r.fail(start, UnitPower, "this unit is a product, and its place is before the stroke, without a power")
	}
	*to = append(*to, f)
}

// point reads past the point of an abbreviation, as in 5 in. and 12 rev./min.
func (r *unitReader) point() {
	rest := r.s.src[r.pos:]
	if rest == "" || rest[0] != '.' {
		return
	}
	if next, _ := utf8.DecodeRuneInString(rest[1:]); len(rest) > 1 && (isNameStart(next) || next == '.' || '0' <= next && next <= '9') {
		return
	}
	r.edits = append(r.edits, edit{r.pos, r.pos + 1, ""})
	r.pos++
}

// unusual reads a symbol that is not the usual spelling of its unit: mm2, lbs.
func (r *unitReader) unusual(f *unitFactor) {
	if f.symbol == "U" || f.symbol == "tr" {
		r.replace(*f, "rev", f.symbol+" is a turn")
		f.symbol = "rev"
		return
	}
	usual, digits := usualSymbol(f.symbol)
	if digits > 0 {
		at := f.end - digits
		f.symbol, f.power, f.end = usual, f.symbol[len(f.symbol)-digits:], at
		r.edits = append(r.edits, edit{at, at, "^"})
		return
	}
	if usual == f.symbol {
		return // k
	}
	f.isMass = strings.HasPrefix(f.symbol, "lbm")
	reason := unit.Refuse(f.symbol)
	if strings.HasSuffix(reason, "is not the symbol of a unit here") {
		reason = ""
	}
	r.replace(*f, usual, reason)
	f.symbol = usual
}

// power reads the power after the symbol at start, if there is one.
func (r *unitReader) power(start int) {
	src := r.s.src
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

// symbolAt reports whether there is a unit symbol at i that is not taken for a
// name. A name before a bracket is a function.
func (s *scanner) symbolAt(i int) bool {
	return s.isUnit(i, symbolEnd(s.src, i))
}

// isUnit is symbolAt for a symbol whose end is known.
func (s *scanner) isUnit(i, end int) bool {
	symbol := s.src[i:end]
	if end == i || s.choice.Names != nil && s.isName(symbol) || end < len(s.src) && s.src[end] == '(' {
		return false
	}
	if reserved[symbol] && symbol != "in" {
		return false
	}
	if _, ok := unit.Lookup(symbol); ok {
		s.usual = end
		return true
	}
	switch symbol {
	case "k":
		return s.isKip(end)
	case "sq", "square", "cu", "cubic":
		power, _ := s.powerWord(i, end)
		return power != ""
	case "U", "tr": // the German and the French turn
		return strings.HasPrefix(s.src[end:], "/min") || strings.HasPrefix(s.src[end:], "/s")
	}
	if follows[s.mode][symbol] {
		return false
	}
	usual, _ := usualSymbol(symbol)
	return usual != ""
}

// isKip reports whether a k that ends at i is the kip, as in k-ft.
func (s *scanner) isKip(i int) bool {
	next := i + hyphenLength(s.src[i:])
	symbol := s.src[next:symbolEnd(s.src, next)]
	return next > i && (symbol == "ft" || symbol == "in")
}

// isName reports whether a unit symbol is to be read as a name.
func (s *scanner) isName(symbol string) bool {
	return s.choice.Names != nil && s.choice.Names[Canonical(symbol)]
}

// symbolAt reports whether there is a unit symbol at i, in its usual spelling or in
// another that plainly stands for it.
func symbolAt(src string, i int) bool {
	symbol := src[i:symbolEnd(src, i)]
	if symbol == "" || reserved[symbol] && symbol != "in" {
		return false
	}
	if _, ok := unit.Lookup(symbol); ok {
		return true
	}
	usual, _ := usualSymbol(symbol)
	return usual != ""
}

// usualSymbol returns the unit that a word plainly stands for, "" if none, and how
// many digits at the end of the word are a power of it: mm2 is mm with one.
func usualSymbol(word string) (usual string, digits int) {
	if _, ok := unit.Lookup(word); ok || word == "k" {
		return word, 0
	}
	n := len(word) - 1
	if n > 0 && '2' <= word[n] && word[n] <= '6' && word[n] != '5' {
		symbol := word[:n]
		// d2 and T4 are names sooner than powers of the day and of the tesla.
		if _, ok := unit.Lookup(symbol); ok && (len(symbol) > 1 || symbol == "m" || symbol == "s") {
			return symbol, 1
		}
		return "", 0
	}
	usual, _ = unit.Spelling(word)
	return usual, 0
}

// symbolEnd returns the end of the unit symbol at start: a word, a percent or
// a degree sign, a degree sign with a letter, or r/min as a whole.
func symbolEnd(src string, start int) int {
	if n := unit.TurnRate(src[start:]); n > 0 {
		return start + n
	}
	if strings.HasPrefix(src[start:], "per cent") && nameEnd(src, start+len("per ")) == start+len("per cent") {
		return start + len("per cent")
	}
	r, size := utf8.DecodeRuneInString(src[start:])
	switch r {
	case '%', '‰', '′', '″':
		return start + size
	case '°', 'º', '˚':
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
