package marking

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel"
	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Choice is one of several ways to read an answer, for the learner to choose
// from.
type Choice struct {
	Text   string `json:"text"`   // in the notation, "1.000 deg"; it has one reading
	Reason string `json:"reason"` // "the comma is a decimal mark"
}

// A typed is one way to read what a learner typed.
type typed struct {
	text  string   // in the notation, "0.3 deg"
	why   []string // what was taken for what
	notes []string // sentences for the learner beside the verdict

	choices []Choice // what may be meant instead, since this is another quantity

	expr    notation.Expr
	got     kernel.Evaluated // of a number part
	offered bool             // by the notation, as one of several readings
	bare    bool             // the unit was not written
	plain   bool             // whether the number counts per cent is settled
	rare    bool             // a rare unit is meant as it is written
	kept    bool             // the text of an answer that was kept, and not a reading of what was typed
}

// maxChoices bounds the ways to read an answer that are asked about, and mostWays
// those that are tried; an answer with more is too unclear to be read.
const (
	maxChoices = 4
	mostWays   = 16
)

// readings returns the ways to read an answer, all of it, as understand does.
func (m *Marker) readings(ctx context.Context, answer string) ([]typed, *Verdict) {
	a := splitAnswer(answer)
	for i := 0; i < len(a.values); i++ {
		if first, second, ok := a.values[i].atStroke(m.Key.Dim); ok {
			a.values = slices.Replace(a.values, i, i+1, first, second)
		}
	}
	if refused := a.refuseGap(); refused != nil {
		return nil, refused
	}
	signed := false
	for i, v := range a.values {
		v = m.ofNames(v)
		var is bool
		a.values[i], is = v.withoutSign(m.Key.Dim)
		signed = signed || is
	}
	if bad := a.badNumber(); bad != "" {
		return nil, notANumber(bad)
	}
	if refused := m.checkHead(a); refused != nil {
		return nil, refused
	}
	if refused := m.refuseAround(a); refused != nil {
		return nil, refused
	}
	if refused := a.refuseForm(m.Scheme.Sign != ""); refused != nil {
		return nil, refused
	}
	if refused := m.refuseUnit(a); refused != nil {
		return nil, refused
	}
	var found []typed
	var refused *unread
	var unclear *Verdict
	ways := m.turning(a.spellings(m.Key.Dim))
	for n := 0; n < len(ways); n++ {
		if n == mostWays {
			return nil, tooUnclear(unclear)
		}
		one, problem := m.chain(ctx, ways[n])
		switch {
		case problem == nil:
			one.offered = slices.ContainsFunc(ways[n], func(s spelling) bool { return s.offered })
			found = append(found, one)
		case len(problem.ways) > 0:
			ways = append(ways, problem.ways...)
			if unclear == nil {
				unclear = &problem.Verdict
			}
		case refused == nil || problem.fits && !refused.fits:
			refused = problem
		}
	}
	if len(found) == 0 {
		return nil, &refused.Verdict
	}
	if fits := func(t typed) bool { return m.fits(ctx, &t) }; slices.ContainsFunc(found, fits) {
		found = slices.DeleteFunc(found, func(t typed) bool { return t.offered && !fits(t) })
	}
	for i := range found {
		if signed {
			found[i].why = append(slices.Clone(found[i].why), "Ø is the sign of a diameter")
		}
	}
	if found = m.distinct(found); len(found) > maxChoices {
		return nil, tooUnclear(unclear)
	}
	return found, nil
}

// distinct leaves out a reading that means the same as one before it.
func (m *Marker) distinct(readings []typed) []typed {
	var list []typed
	for _, r := range readings {
		if !slices.ContainsFunc(list, func(t typed) bool { return m.sameReading(&t, &r) }) {
			list = append(list, r)
		}
	}
	return list
}

func (m *Marker) sameReading(a, b *typed) bool {
	if m.Scheme.Kind != Number {
		return notation.Print(a.expr) == notation.Print(b.expr)
	}
	return a.text == b.text || a.got.Value.Dim == b.got.Value.Dim && a.got.Value.Number == b.got.Value.Number
}

// tooUnclear returns the verdict on an answer with more readings than can be asked
// about. The first of them that the notation asks about, if there is one, is named.
func tooUnclear(first *Verdict) *Verdict {
	v := &Verdict{Kind: Unreadable, Message: "Too many pieces of this can be read in two ways. Write brackets around what belongs together, and each unit after its own number."}
	if first != nil && first.Message != "" {
		v.At, v.Message = first.At, v.Message+" The first: "+first.Message
	}
	return v
}

func notANumber(text string) *Verdict {
	return &Verdict{Kind: Unreadable, Message: fmt.Sprintf(
		"“%s” is not a number: a number has one decimal mark, and groups of three digits before it. Write 0.3, 0,3 or 1234.5.", text)}
}

// ask returns the verdict that asks which of several readings is meant.
func ask(answer string, readings []typed) Verdict {
	v := Verdict{Kind: Ambiguous}
	var ways []string
	for _, r := range readings {
		own := slices.DeleteFunc(slices.Clone(r.why), func(why string) bool {
			return !slices.ContainsFunc(readings, func(o typed) bool { return !slices.Contains(o.why, why) })
		})
		c := Choice{Text: r.text, Reason: strings.Join(own, ", ")}
		v.Choices = append(v.Choices, c)
		if c.Reason != "" {
			ways = append(ways, c.Text+" ("+c.Reason+")")
			continue
		}
		ways = append(ways, c.Text)
	}
	v.Message = fmt.Sprintf("“%s” can be read as %s. Choose the one you mean; asking uses no try.", answer, strings.Join(ways, " or as "))
	if !slices.ContainsFunc(readings, func(t typed) bool { return !t.bare }) {
		v.Kind = UnitMissing
		v.Message = fmt.Sprintf("“%s” has no unit, so it can be %s. Choose the one you mean; asking uses no try.", answer, strings.Join(ways, " or "))
	}
	return v
}

// said is what is added to the message of a verdict about how an answer was read.
func (t *typed) said(answer string) string {
	var list []string
	if len(t.why) > 0 || !holds(withoutBlanks(answer), withoutBlanks(t.text)) {
		text := "Read as " + t.text
		if len(t.why) > 0 {
			text += ": " + strings.Join(t.why, ", ")
		}
		list = append(list, text+".")
	}
	return strings.Join(append(list, t.notes...), " ")
}

// holds reports whether a text has a piece that does not go on in letters.
func holds(text, piece string) bool {
	i := strings.Index(text, piece)
	if i < 0 {
		return false
	}
	next, _ := utf8.DecodeRuneInString(text[i+len(piece):])
	return !unicode.IsLetter(next) && !unicode.IsDigit(next)
}

func withoutBlanks(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s)
}

// chain reads the values of an answer that are said to be equal, such as 0.669
// deg = 0.01168 rad, and returns the one that counts: of written values the first
// with the most figures, else the last.
func (m *Marker) chain(ctx context.Context, spelled []spelling) (typed, *unread) {
	var all []typed
	var unchecked []string
	for i, s := range spelled {
		one, refused := m.readChoosing(ctx, s)
		switch {
		case refused == nil:
			all = append(all, one)
		case len(refused.readings) > 0:
			for _, r := range refused.readings {
				way := slices.Clone(spelled)
				way[i] = r
				refused.ways = append(refused.ways, way)
			}
			return one, refused
		case refused.foreign && i < len(spelled)-1:
			unchecked = append(unchecked, s.text)
		default:
			return one, refused
		}
	}
	best := m.reported(all)
	for i := range all {
		if i == best {
			continue
		}
		if problem := m.differ(ctx, &all[min(i, best)], &all[max(i, best)]); problem != nil {
			return all[best], &unread{Verdict: *problem, fits: m.fits(ctx, &all[best]) && m.fits(ctx, &all[i])}
		}
	}
	result := all[best]
	for _, text := range unchecked {
		result.notes = append(result.notes, fmt.Sprintf("“%s” in front of it was not checked, since it has names that are not given.", text))
	}
	return result, nil
}

// reported returns which of equal values is marked.
func (m *Marker) reported(all []typed) int {
	best, most := len(all)-1, 0
	for i := range all {
		if m.Scheme.Kind == Formula {
			if len(notation.FreeNames(all[i].expr)) > 0 {
				best = i
			}
			continue
		}
		g := numericAnswer{value: all[i].got.Value.Number}
		if g.readLiteral(all[i].expr); !g.literal {
			continue
		}
		if g.figures > most {
			best, most = i, g.figures
		}
	}
	return best
}

// differ returns the verdict on two values that are said to be equal and are not
// as far as they are written, or nil.
func (m *Marker) differ(ctx context.Context, x, y *typed) *Verdict {
	a, b := x.got, y.got
	if m.Scheme.Kind == Formula {
		var refused *Verdict
		if a, refused = evaluate(ctx, m.Numbers, x.expr); refused != nil {
			return refused
		}
		if b, refused = evaluate(ctx, m.Numbers, y.expr); refused != nil {
			return refused
		}
	}
	ga, gb := numericAnswer{value: a.Value.Number}, numericAnswer{value: b.Value.Number, factor: 1}
	ga.readLiteral(x.expr)
	gb.readLiteral(y.expr)
	if a.Value.Dim == b.Value.Dim && ga.agrees(gb) {
		return nil
	}
	v := &Verdict{Kind: Unreadable, Message: fmt.Sprintf("These are two different values: %s and %s.", x.text, y.text)}
	if q, ok := notation.Unparen(y.expr).(*notation.Quantity); ok && ga.factor != gb.factor && a.Value.Dim == b.Value.Dim {
		v.Message = fmt.Sprintf("These are two different values: %s is %s, not %s.", x.text,
			unit.Format(ga.value, q.Unit.Unit, unit.Rounding{Figures: max(4, gb.figures)}), y.text)
	}
	v.Message += " Submit the one you mean."
	v.offers = []string{x.text, y.text}
	return v
}

// agrees reports whether two values are the same as far as the coarser is written:
// rounded, or, of three figures, with the digits behind cut off. Only 0 is the same as 0.
func (g numericAnswer) agrees(h numericAnswer) bool {
	apart, slight := math.Abs(g.value-h.value), 1e-9*math.Abs(g.value)
	if g.value == 0 || h.value == 0 {
		return g.value == h.value
	}
	if apart <= slack*max(g.half, h.half)+slight {
		return true
	}
	if g.literal && g.figures < 3 || h.literal && h.figures < 3 {
		return false
	}
	shorter := g.half
	if math.Abs(h.value) < math.Abs(g.value) {
		shorter = h.half
	}
	return g.value*h.value > 0 && apart < 2*shorter
}

// Same reports whether two answers in the notation are the same: the same value,
// formula or option.
func (m *Marker) Same(ctx context.Context, a, b string) bool {
	if m.Scheme.Kind == Pick {
		return m.Scheme.Said(a) == m.Scheme.Said(b)
	}
	if m.Scheme.Kind == Line {
		return strings.Join(strings.Fields(a), "") == strings.Join(strings.Fields(b), "")
	}
	x, refusedX := m.read(ctx, spelling{text: a})
	y, refusedY := m.read(ctx, spelling{text: b})
	switch {
	case refusedX != nil || refusedY != nil:
		return false
	case m.Scheme.Kind == Formula:
		return notation.Print(x.expr) == notation.Print(y.expr)
	}
	return x.got.Value.Dim == y.got.Value.Dim && sameValue(&x, &y)
}

// sameValue reports whether two values are the same; in different units, as far as
// the finer of the two is written.
func sameValue(x, y *typed) bool {
	a, b := numericAnswer{value: x.got.Value.Number, factor: 1}, numericAnswer{value: y.got.Value.Number, factor: 1}
	a.readLiteral(x.expr)
	b.readLiteral(y.expr)
	width := 1e-9 * math.Abs(a.value)
	if a.literal && b.literal && a.factor != b.factor {
		width = max(width, slack*min(a.half, b.half))
	}
	return math.Abs(a.value-b.value) <= width
}

// An unread is the verdict on a text that cannot be read. It is foreign if names
// that are not given are all that is wrong with it. A text with several readings
// has those.
type unread struct {
	Verdict
	foreign  bool
	fits     bool // both of two different values are of the quantity that is asked
	readings []spelling
	ways     [][]spelling // all values of an answer, with each of the readings
}

// read reads one value or formula.
func (m *Marker) read(ctx context.Context, s spelling) (typed, *unread) {
	one := typed{text: s.text, why: s.why, notes: s.notes, bare: s.bare, plain: s.plain, rare: s.rare}
	x, refused := readExpr(m.Numbers, s.text)
	if refused != nil {
		return one, refused
	}
	one.expr = x
	if m.Scheme.Kind != Number {
		return one, nil
	}
	if m.Key.Angle {
		if refused := refuseAngle(x); refused != nil {
			return one, &unread{Verdict: *refused}
		}
	}
	if refused := m.mixedSum(x, s.text); refused != nil {
		return one, &unread{Verdict: *refused}
	}
	if refused := m.refuseTurning(x); refused != nil {
		return one, &unread{Verdict: *refused}
	}
	got, problem := evaluate(ctx, m.Numbers, x)
	if problem != nil {
		return one, &unread{Verdict: *problem}
	}
	one.got = got
	if m.Key.Dim == torqueDim && m.inJoules(x) {
		one.notes = append(one.notes, "N·m is the unit of a torque; J is that of an energy.")
	}
	return one, nil
}

// inJoules reports whether an answer gives a torque in joules where the author
// does not.
func (m *Marker) inJoules(x notation.Expr) bool {
	if m.Scheme.Unit != nil && strings.HasSuffix(m.Scheme.Unit.Text, "J") {
		return false
	}
	found := false
	notation.Inspect(x, func(n notation.Node) bool {
		q, ok := n.(*notation.Quantity)
		found = found || ok && q.Unit.Unit.Dim == torqueDim && strings.HasSuffix(q.Unit.Text, "J")
		return !found
	})
	return found
}

// ofCells are the codes of messages whose repair is about a cell or a derivation.
var ofCells = map[source.Code]bool{
	notation.Unexpected: true, notation.GapPlace: true, notation.MissingMultiply: true, notation.ReservedName: true,
	notation.StrayCharacter: true, notation.UnexpectedEqual: true,
}

// readExpr reads an expression in the names that a learner may use.
func readExpr(n Numbers, text string) (notation.Expr, *unread) {
	x, list := notation.ParseExpr(source.NewText("answer", text))
	if d := list.FirstError(); d != nil {
		refused := &unread{Verdict: *Refuse(list, "")}
		bare := *d
		bare.Repair = ""
		refused.short = Refuse(source.List{bare}, "").Message
		if d.Code == notation.MissingMultiply {
			refused.short = fmt.Sprintf("In “%s” a sign is missing between two pieces: write ·, +, − or /.", text)
		}
		refused.isUnproved = d.Fix != nil || ofCells[d.Code]
		for _, fix := range d.Choices {
			refused.readings = append(refused.readings, spelling{text: text[:fix.Span.Start] + fix.Text + text[fix.Span.End:]})
		}
		return nil, refused
	}
	for _, name := range notation.FreeNames(x) {
		if !mayUse(n, name.Ident) {
			refused := &unread{Verdict: Verdict{Kind: Unreadable, At: name.Span().Position()}, foreign: true}
			word, rest := name.Span().Content(), unknownPart(n, name.Ident)
			refused.short = fmt.Sprintf("“%s” is not one of the given symbols (%s).", word, givenNames(n))
			if rest != name.Ident {
				refused.short = fmt.Sprintf("“%s” in “%s” is not one of the given symbols (%s).", rest, word, givenNames(n))
			}
			refused.Message = refused.short + " " + nameHelp(rest)
			if _, isUnit := unit.Lookup(word); isUnit && utf8.RuneCountInString(word) > 1 {
				refused.short = fmt.Sprintf("“%s” is a unit, and a unit belongs directly behind a number.", word)
				refused.Message = refused.short + fmt.Sprintf(" Write the number too, as in 1 %s.", word)
			}
			return nil, refused
		}
	}
	return x, nil
}

// checkHead refuses an answer that gives another quantity than the one that is
// asked: a given name, or a name of something else.
func (m *Marker) checkHead(a splitTyped) *Verdict {
	name, value := a.head, ""
	if n := len(a.values); n > 0 {
		value = " = " + a.values[n-1].spellings(a.commas()[0], m.Key.Dim)[0].text
	}
	if name == "" && len(a.values) == 1 {
		name, value = a.values[0].text, ""
		if !isName(name) {
			return nil
		}
	}
	if name == "" {
		return nil
	}
	ident := notation.Canonical(name)
	wanted := m.wanted()
	for i, g := range m.Numbers.Givens() {
		if g.Name != ident || value == "" && m.Scheme.Kind == Formula {
			continue
		}
		given := g.Head + " is given"
		if _, text, ok := m.Numbers.GivenValue(i); ok && value != " = "+text {
			given += " (" + text + ")"
		}
		return &Verdict{Kind: Unreadable, Message: fmt.Sprintf("This reads as %s, but %s. The question asks for %s: work it out from what is given.", ident+value, given, wanted)}
	}
	if value == "" {
		return nil
	}
	if m.isOther(ident) {
		return m.otherWay(ident + value)
	}
	if m.asksFor(ident) {
		return nil
	}
	if last := a.values[len(a.values)-1]; last.isOf(m.Key.Dim) {
		return &Verdict{Kind: Unreadable, offers: []string{last.text}, Message: fmt.Sprintf(
			"“%s” is not a usual symbol of what is asked, which is %s. If the value is that, submit it alone.", name, wanted)}
	}
	return &Verdict{Kind: Unreadable, Message: fmt.Sprintf("This reads as %s, but the question asks for %s. Write the value alone, or the symbol of what is asked before it.", ident+value, wanted)}
}

// letters are the usual letters of what is asked (common practice, no source).
var letters = map[unit.Dimension]string{
	lengthDim:            "L l x s a b c d D r R ø Ø δ Δ h t e",
	torqueDim:            "T M Q k K c C U W E",
	stressDim:            "τ σ p G E S",
	unit.Base(4, 0, 0):   "J I K",
	unit.Base(3, 0, 0):   "W Z S V",
	unit.Base(1, 1, -2):  "F P Q R V N W t m q T",
	unit.Base(2, 1, -3):  "P",
	unit.Base(0, 0, -1):  "n N ω Ω f",
	unit.Base(-1, 0, 0):  "θ φ ϕ κ α",
	unit.Base(-2, -1, 2): "f F θ φ C",
	unit.Base(2, 0, 0):   "A S",
	unit.Base(0, 1, 0):   "m M",
}

const angleLetters = "θ φ ϕ ϑ α β γ ψ δ"

// asksFor reports whether a name may be that of what is asked: the author's
// symbol for it, or a usual letter, or a word of the question.
func (m *Marker) asksFor(ident string) bool {
	if s := m.Scheme.Symbol; s != "" {
		return ident == s
	}
	isSeparator := func(r rune) bool { return r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) }
	for _, word := range strings.FieldsFunc(m.Scheme.Question, isSeparator) {
		if len(word) > 1 && strings.EqualFold(notation.Canonical(word), ident) {
			return true
		}
	}
	base, _, _ := strings.Cut(strings.TrimPrefix(ident, "Δ"), "_")
	if r, size := utf8.DecodeRuneInString(base); size < len(base) && (strings.Trim(base[size:], "0123456789′'") == "" || m.isIndex(ident, base[size:])) {
		base = string(r)
	}
	switch strings.ToLower(base) {
	case "answer", "ans", "result", "":
		return true
	}
	usual, known := letters[m.Key.Dim], true
	if m.Key.Dim.IsNumber() {
		usual, known = angleLetters, m.Key.Angle
	} else if usual == "" {
		known = false
	}
	if word, ok := unit.Word(base); ok && word == m.Key.Dim {
		return true
	}
	for _, letter := range strings.Fields(usual) {
		if base == letter {
			return true
		}
	}
	return !known
}

// isIndex reports whether letters behind the first of a name may be its index, as in TA
// and τmax, and not a factor or a word.
func (m *Marker) isIndex(ident, rest string) bool {
	if _, isWord := unit.Word(ident); isWord || utf8.RuneCountInString(rest) > 3 || strings.ContainsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) }) {
		return false
	}
	pieces, ok := m.pieces(ident)
	return ok && len(pieces) == 1
}

// wanted returns what is asked, in words.
func (m *Marker) wanted() string {
	k := m.Key
	if k.Dim == unit.Base(1, 1, -2) && !strings.Contains(k.Unit(m.Scheme).Text, "/") {
		return "a force" // and not a torque per length
	}
	if unit.SpeedOf(k.Unit(m.Scheme)) == unit.Cycling {
		return "a frequency"
	}
	return Describe(k.Dim, k.Angle)
}

// wrongDimension returns a verdict with what was given and what is asked.
func (m *Marker) wrongDimension(got kernel.Evaluated) Verdict {
	wanted := m.wanted()
	if got.Value.Dim.IsNumber() {
		return Verdict{Kind: UnitMissing, Read: got.Text, Message: fmt.Sprintf(
			"This reads as %s, a pure number, but the question asks for %s. Write the unit after the number, for example %s.", got.Text, wanted, m.Key.example(m.Scheme))}
	}
	if strings.HasSuffix(got.Text, " C") {
		return Verdict{Kind: WrongDimension, Read: got.Text, Message: fmt.Sprintf(
			"This reads as %s, coulombs, which is an electric charge, but the question asks for %s. A temperature is written in °C or K.", got.Text, wanted)}
	}
	is := Describe(got.Value.Dim, got.Type.Angle == check.IsAngle)
	if strings.HasSuffix(got.Text, "Hz") {
		is = "a frequency"
	}
	return Verdict{Kind: WrongDimension, Read: got.Text, Message: fmt.Sprintf(
		"This reads as %s, which is %s, but the question asks for %s. Write each factor with its unit and see what is left when they cancel.",
		got.Text, is, wanted)}
}
