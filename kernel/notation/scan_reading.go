package notation

import (
	"slices"
	"strings"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Choice says how a statement is read where its text alone does not decide it.
// The zero Choice is how ParseCell reads.
type Choice struct {
	Names    map[string]bool // unit symbols that are names here, canonical
	Pairs    map[string]bool // those of Names in a cell that are two names: TL is T·L
	Force    bool            // lb and oz are forces
	Fraction bool            // 1/2 in is half an inch
	Exp      bool            // e^x is exp(x)
}

// An edit replaces a piece of the text.
type edit struct {
	start, end int
	text       string
}

// A reading is a piece of text that is not written as it usually is but has one
// meaning. What it is read as is the text with the edits.
type reading struct {
	code       source.Code
	start, end int
	edits      []edit
	reason     string
	note       *source.Diagnostic // instead of the above: what to say of a piece
}

// applyEdits returns a text that begins at offset from with the edits made.
func applyEdits(text string, from int, edits []edit) string {
	sorted := slices.Clone(edits)
	slices.SortStableFunc(sorted, func(a, b edit) int {
		if a.start != b.start {
			return a.start - b.start
		}
		if a.end == b.end {
			return strings.Count(b.text, ")") - strings.Count(a.text, ")") // a bracket closes before a sign
		}
		return a.end - b.end
	})
	var b strings.Builder
	at := 0
	for _, e := range sorted {
		if e.start-from < at || e.end-from > len(text) {
			continue // within another
		}
		b.WriteString(text[at : e.start-from])
		b.WriteString(e.text)
		at = e.end - from
	}
	b.WriteString(text[at:])
	return b.String()
}

// feetOrInches reads ' and " directly after a number: feet and inches, and after
// degrees minutes and seconds of arc.
func (s *scanner) feetOrInches() bool {
	rest := s.src[s.pos:]
	if rest == "" || rest[0] != '\'' && rest[0] != '"' && !strings.HasPrefix(rest, "’") && !strings.HasPrefix(rest, "”") {
		return false
	}
	n, symbol := len("’"), "ft"
	switch {
	case strings.HasPrefix(rest, "''"):
		n, symbol = 2, "in"
	case rest[0] == '"':
		n, symbol = 1, "in"
	case strings.HasPrefix(rest, "”"):
		symbol = "in"
	case rest[0] == '\'':
		n = 1
	}
	if t := len(s.toks) - 2; t >= 0 && s.toks[t].kind == tUnit && (s.toks[t].text == "°" || s.toks[t].text == "deg" || s.toks[t].text == "'") {
		if u := s.units[s.toks[t].aux].Text; u == "°" || u == "deg" || u == "′" {
			symbol = map[string]string{"ft": "′", "in": "″"}[symbol]
		}
	}
	start := s.pos
	s.pos += n
	u, _ := unit.Lookup(symbol)
	ref := &UnitRef{Place: Place{s.span(start, s.pos)}, Text: symbol, Unit: u}
	s.space = false
	s.emitUnit(ref, start)
	written := symbol
	if symbol == "ft" || symbol == "in" {
		written = " " + symbol
	}
	s.reads = append(s.reads, reading{code: UnitSpelling, start: start, end: s.pos, edits: []edit{{start, s.pos, written}}})
	return true
}

// perMinute asks what 1450 1/min and 1450/min count: turns, or something else.
func (s *scanner) perMinute() bool {
	i := blanksEnd(s.src, s.pos)
	rest := s.src[i:]
	if k := len(s.toks) - 2; k >= 0 && s.toks[k].isWord("in") {
		return false // in 1/min
	}
	if strings.HasPrefix(rest, "1/") && i > s.pos {
		i += len("1/")
	} else if strings.HasPrefix(rest, "/min") {
		i += len("/")
	} else if !strings.HasPrefix(rest, "min-1") && !strings.HasPrefix(rest, "s-1") {
		return false
	}
	end := symbolEnd(s.src, i)
	per := s.src[i:end]
	if per != "min" && per != "s" && per != "h" || end < len(s.src) && (s.src[end] == '(' || s.src[end] == '^') {
		return false
	}
	if strings.HasPrefix(s.src[end:], "-1") {
		end += len("-1")
		next := blanksEnd(s.src, end)
		word := s.src[next:symbolEnd(s.src, next)]
		if end < len(s.src) && (isDigit(s.src[end]) || s.src[end] == '.') || word != "" && !reserved[word] {
			return false
		}
	}
	n := s.last()
	start := s.pos
	s.pos = end
	d := s.bad(start, TwoReadings, "this may be a rotational speed, so many turns, or count something else; a turn is 2·π rad")
	d.Span.Start = int(n.start)
	d.Repair = "write " + n.text + " rev/" + per + " for turns, or " + n.text + " " + per + "^-1"
	d.Choose(d.Span, n.text+" rev/"+per).Choose(d.Span, n.text+" "+per+"^-1")
	return true
}

// temperature asks what 20 °C is: a temperature, or a difference of two.
func (s *scanner) temperature(start, end int) {
	symbol := s.src[start:end]
	n := s.last()
	number, value, from := n.text, s.numbers[n.aux], int(n.start)
	if k := len(s.toks) - 2; k >= 0 && s.toks[k].isOp(OpSub) && s.toks[k].end == n.start && (k == 0 || !s.toks[k-1].endsOperand()) {
		number, value, from = "−"+number, -value, int(s.toks[k].start)
	}
	kelvins, difference, ok := unit.Kelvins(symbol, value, number)
	if !ok {
		return
	}
	s.space = start > s.pos
	s.pos = end
	if k := len(s.toks) - 2; k >= 0 && (s.toks[k].isOp(OpDiv) || s.toks[k].isOp(OpPow)) {
		kelvins, difference = "("+kelvins+")", "("+difference+")"
	}
	d := s.bad(start, TwoReadings, "%s", unit.Refuse(symbol))
	d.Span.Start = from
	d.Repair = "write " + kelvins + " for the temperature, or " + difference + " for a difference of temperatures"
	d.Choose(d.Span, kelvins).Choose(d.Span, difference)
}

// functionDigits returns where the name of a function ends that starts at start
// and has a number with an angle directly after it, as in sin30°; 0 if that is not
// so. end is the end of the word.
func (s *scanner) functionDigits(start, end int) int {
	at := end
	for at > start && isDigit(s.src[at-1]) {
		at--
	}
	if at == end {
		return 0
	}
	if b, ok := builtins[s.src[start:at]]; !ok || b.MaxArgs != 1 {
		return 0
	}
	next := blanksEnd(s.src, end)
	switch s.src[next:symbolEnd(s.src, next)] {
	case "°", "deg", "rad":
		return at
	}
	return 0
}

// afterFraction holds the units that are read after ½ and the like; other symbols
// there are names sooner.
var afterFraction = makeSet("in ft mm cm deg ° %")

// unitAfterFraction reads the unit in ½ in.
func (s *scanner) unitAfterFraction() {
	if s.feetOrInches() {
		return
	}
	start := blanksEnd(s.src, s.pos)
	end := symbolEnd(s.src, start)
	symbol := s.src[start:end]
	if !afterFraction[symbol] || s.isName(symbol) || symbol == "in" && s.isSuffix(end) || symbol == "°" && s.mode == deriveMode {
		return
	}
	s.space = start > s.pos
	u, _ := unit.Lookup(symbol)
	s.pos = end
	s.emitUnit(&UnitRef{Place: Place{s.span(start, end)}, Text: symbol, Unit: u}, start)
}
