package notation

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// errorf reports an error and leaves the statement: the parser moves to its
// end, so everything that is still being read finds nothing more and returns.
// Only the first error of a statement is reported.
func (p *parser) errorf(at source.Span, code source.Code, format string, args ...any) *source.Diagnostic {
	return p.report(source.Diagnostic{Span: at, Code: code, Message: fmt.Sprintf(format, args...)})
}

// report reports an error that is already made up; see errorf.
func (p *parser) report(d source.Diagnostic) *source.Diagnostic {
	if p.broken {
		return &source.Diagnostic{} // gathers repairs that nobody will read
	}
	p.broken = true
	p.errors++
	p.skipToEnd()
	p.list = append(p.list, d)
	return &p.list[len(p.list)-1]
}

// reportBad reports the diagnostic of a token that the scanner could not read.
func (p *parser) reportBad(t token) bool {
	if t.kind != tBad {
		return false
	}
	d := p.sc.errs[t.aux]
	if t.text == ";" && d.Fix == nil {
		offerSplit(&d, p.splitAt(p.pos))
	}
	p.report(d)
	return true
}

// gap returns the place between the last token read and the current one.
func (p *parser) gap() source.Span {
	end := int(p.before().end)
	if t := p.tok(); t.kind != tEnd {
		return p.span(end, int(t.start))
	}
	return p.span(end, end)
}

// noOperand reports that an operand was needed and something else is here.
func (p *parser) noOperand() {
	t, before := p.tok(), p.before()
	if p.reportBad(t) {
		return
	}
	switch t.kind {
	case tEnd:
		if before.kind == tEnd {
			p.errorf(p.tokenSpan(t), Unfinished, "something is missing here").Repair = "write an expression"
			return
		}
		p.errorf(p.span(int(before.end), int(before.end)), Unfinished, "something is missing after “%s”", before.text).
			Repair = "finish the line"
	case tWord:
		p.errorf(p.tokenSpan(t), ReservedName, "“%s” is a word of the notation; a value is needed here", t.text).Repair = "choose another name, or write what comes before it"
	case tClose:
		if before.kind == tOpen {
			p.errorf(p.tokenSpan(t), Unexpected, "there is nothing between these brackets").Repair = "write an expression in them"
			return
		}
		p.errorf(p.tokenSpan(t), Unexpected, "something is missing before “)”").Repair = "finish what comes before it"
	case tInfinity:
		p.errorf(p.tokenSpan(t), StrayInfinity, "∞ is not a number to calculate with").Repair = "use it only as an end of an integral, or in a limit: limit of f(n) as n → ∞"
	case tComma:
		p.comma(t)
	case tGap:
		p.errorf(p.tokenSpan(t), GapPlace, "“?” can only replace a whole step of a derivation").Repair = "write = ? on a line of its own"
	case tOp:
		if p.bullet(t) {
			return
		}
		if next := p.peek(); t.op == OpEqual && before.kind == tEnd && p.mode == calcMode && next.kind != tEnd {
			d := p.errorf(p.tokenSpan(t), UnexpectedEqual, "a line does not begin with “=”")
			d.Repair = "leave it out, or write a name before it"
			d.Fix = &source.Fix{Span: p.span(int(t.start), int(next.end)), Text: next.text}
			return
		}
		p.errorf(p.tokenSpan(t), Unexpected, "a value is missing before “%s”", t.text).Repair = "write what comes before it"
	default:
		p.unexpected(t)
	}
}

func (p *parser) unexpected(t token) {
	p.errorf(p.tokenSpan(t), Unexpected, "“%s” does not belong here", t.text)
}

// finish makes sure that the statement ends here; what names what was read.
func (p *parser) finish(what string) {
	t := p.tok()
	if t.kind == tEnd || p.broken || p.reportBad(t) {
		return
	}
	switch {
	case t.kind == tClose:
		p.errorf(p.tokenSpan(t), UnopenedBracket, "this closing bracket has no opening bracket").Repair = "delete it, or write an opening bracket before"
	case t.kind == tBar:
		p.errorf(p.tokenSpan(t), UnclosedBracket, "this bar has no second bar").Repair = "write |x| with both bars, and · before it for a product"
	case t.kind == tComma:
		p.comma(t)
	case t.kind == tWord && t.text == "and" && p.opensHere(p.pos+1):
		split := p.splitAt(p.pos)
		offerSplit(p.errorf(p.tokenSpan(t), Unexpected, "a second statement begins here"), split)
	case t.kind == tPlusMin && p.mode == shaftMode:
		p.noTolerance(t)
	case t.kind == tColon && p.mode == calcMode && p.before().kind == tName && (p.pos < 2 || p.toks[p.pos-2].kind == tEnd):
		p.namedWithColon(t)
	case t.isOp(OpEqual):
		p.errorf(p.tokenSpan(t), UnexpectedEqual, "a second “=” does not belong here").Repair = "write each definition on a line of its own"
	case t.isOp(OpApprox):
		p.errorf(p.tokenSpan(t), Unexpected, "“≈” is used only in a check").Repair = "write expect a ≈ b within 0.5 %"
	case t.startsOperand() && p.factor.End == int(p.before().end):
		p.missingTimes(t)
	case t.kind == tGap:
		p.noOperand()
	case t.kind == tDot && p.before().kind == tUnit && symbolAt(p.sc.src, int(t.end)):
		d := p.errorf(p.tokenSpan(t), Unexpected, "the symbols of a unit are joined by a dot at mid-height")
		d.Repair = "write ·"
		d.Fix = &source.Fix{Span: p.tokenSpan(t), Text: "·"}
	case t.kind == tDot:
		p.errorf(p.tokenSpan(t), Unexpected, "a point is used only inside a number and before a field of a shaft").Repair = "delete it"
	case t.isWord("of") && p.before().kind == tName && nearWord(p.before().text, formWords) != "":
		p.report(misspelt(p.tokenSpan(p.before()), nearWord(p.before().text, formWords)))
	case t.kind == tWord:
		p.errorf(p.tokenSpan(t), Unexpected, "“%s” does not belong here; %s ends before it", t.text, what).Repair = "write it on a line of its own, or put what belongs together in brackets"
	default:
		p.errorf(p.tokenSpan(t), Unexpected, "“%s” does not belong here; %s ends before it", t.text, what)
	}
}

// namedWithColon reports T: 420 N·m, and Given: T = 420 N·m.
func (p *parser) namedWithColon(colon token) {
	name := p.before()
	for i := p.pos; p.toks[i].kind != tEnd; i++ {
		if p.toks[i].isOp(OpEqual) {
			next := p.peek()
			d := p.errorf(p.span(int(name.start), int(colon.end)), Unexpected, "a line has no heading")
			d.Repair = "leave it out, or write it behind #"
			d.Fix = &source.Fix{Span: p.span(int(name.start), int(next.end)), Text: next.text}
			return
		}
	}
	d := p.errorf(p.tokenSpan(colon), Unexpected, "a name is defined with “=”")
	d.Repair = "write " + name.text + " ="
	d.Fix = &source.Fix{Span: p.span(int(name.start), int(colon.end)), Text: name.text + " ="}
}

// comma reports a comma that separates nothing, most often a decimal comma.
func (p *parser) comma(t token) {
	if p.isDecimalComma(t) {
		return
	}
	isLast := p.peek().kind == tEnd
	split := p.splitAt(p.pos)
	d := p.errorf(p.tokenSpan(t), Unexpected, "a comma separates the parts of a list, and there is no list here")
	d.Repair = "write each statement on a line of its own"
	if isLast {
		d.Repair = "delete it, or write what follows it"
		d.Fix = &source.Fix{Span: d.Span, Text: ""}
	}
	offerSplit(d, split)
}

// isDecimalComma reports a comma between digits, read or about to be read, if
// that is what it is.
func (p *parser) isDecimalComma(comma token) bool {
	i := p.pos
	for i > 0 && p.toks[i].start > comma.start {
		i--
	}
	if comma.kind != tComma || i == 0 || i+1 == len(p.toks) {
		return false
	}
	before, after := p.toks[i-1], p.toks[i+1]
	if before.kind != tNumber || after.kind != tNumber || before.end != comma.start || comma.end != after.start {
		return false
	}
	end := after.end
	for i+3 < len(p.toks) && p.toks[i+2].kind == tComma && p.toks[i+3].kind == tNumber && p.toks[i+2].start == end && p.toks[i+3].start == end+1 {
		i += 2
		end = p.toks[i+1].end
	}
	// Of 1,5·10^3 the digits are before the power of ten.
	power := ""
	if text := p.sc.src[comma.end:end]; strings.Count(p.sc.src[before.start:end], ",") == 1 {
		if i := strings.IndexFunc(text, func(r rune) bool { return r > 0x7f || !isDigit(byte(r)) && r != '.' }); i >= 0 {
			power = text[i:]
		}
	}
	at := p.span(int(before.start), int(end))
	readings := Grouped(strings.TrimSuffix(at.Content(), power))
	for i := range readings {
		readings[i] += power
	}
	switch {
	case len(readings) == 2:
		// 1,200 is a thousand to some readers and little more than one to others.
		d := p.errorf(at, DecimalComma, "a comma separates the parts of a list here; the decimal mark is a point, and nothing groups digits")
		d.Repair = fmt.Sprintf("write %s or %s, whichever is meant", readings[0], readings[1])
		for _, r := range readings {
			d.Choose(at, r)
		}
	case len(readings) == 1:
		code, message := DecimalComma, "a comma separates the parts of a list here, and the decimal mark is a point"
		if strings.LastIndexByte(at.Content(), ',') < strings.LastIndexByte(at.Content(), '.') || strings.Count(at.Content(), ",") > 1 {
			code, message = DigitGroups, "write a number without marks or spaces between its digits"
		}
		d := p.errorf(at, code, "%s", message)
		d.Repair = "write " + readings[0]
		d.Fix = &source.Fix{Span: at, Text: readings[0]}
	default:
		p.errorf(at, DecimalComma, "a comma separates the parts of a list here, and the decimal mark is a point").Repair = "write a number with a point and without marks between its digits"
	}
	return true
}

// missing reports that a word or a part of a form is not where it belongs.
func (p *parser) missing(what, form string) {
	t := p.tok()
	if p.reportBad(t) {
		return
	}
	if p.isDecimalComma(t) {
		return
	}
	if t.kind == tPlusMin && p.mode == shaftMode {
		p.noTolerance(t)
		return
	}
	if t.kind == tEnd {
		p.errorf(p.gap(), MissingWord, "%s is missing at the end", what).Repair = "the full form is: " + form
		return
	}
	if t.kind == tName && p.before().kind == tNumber && LooksLikeUnit(t.text) {
		p.missingTimes(t)
		return
	}
	p.errorf(p.tokenSpan(t), MissingWord, "%s is missing before “%s”", what, t.text).Repair = "the full form is: " + form
}

// noTolerance reports ± beside a value of a shaft that is exact.
func (p *parser) noTolerance(t token) {
	p.errorf(p.tokenSpan(t), Unexpected, "no tolerance is possible here").
		Repair = "diameters and bores of solid and hollow pieces, moduli and torques may have one; for other values write two shafts, one at each end of the tolerance"
}

// unclosed reports an opening bracket or bar that has no partner.
func (p *parser) unclosed(open token, what string) {
	t := p.tok()
	if p.broken || p.reportBad(t) {
		return
	}
	switch {
	case t.kind == tEnd:
		p.errorf(p.tokenSpan(open), UnclosedBracket, "%s is not closed", what).Repair = "close it where the group ends"
	case t.kind == tComma:
		p.comma(t)
	case t.startsOperand() && p.before().endsOperand():
		p.missingTimes(t)
	default:
		p.errorf(p.tokenSpan(t), UnclosedBracket, "%s is not closed before “%s”", what, t.text).Repair = "close it before that"
	}
}

// opening returns the first token of the current statement.
func (p *parser) opening() token {
	i := p.pos
	for i > 0 && p.toks[i-1].kind != tEnd {
		i--
	}
	return p.toks[i]
}

// missingTimes reports two operands side by side; t is the second.
func (p *parser) missingTimes(t token) {
	before := p.before()
	gap := p.gap()
	first := p.factor.Content()
	if first == "" || len(first) > 40 {
		first = before.text
	}
	switch {
	case p.opensSecond(t):
		split := p.splitAt(p.pos)
		d := p.errorf(p.tokenSpan(t), Unexpected, "a second statement begins here")
		d.Repair = "write it on a line of its own"
		offerSplit(d, split)
		return
	case before.kind == tClose && t.kind == tName && len(t.text) > 1 && symbolAt(t.text, 0):
		end, text := int(t.end), t.text
		if ref, at, err := p.sc.readUnit(int(t.start)); err == nil {
			end, text = at, ref.Text
		}
		isLast := p.isLastBefore(end)
		d := p.errorf(p.tokenSpan(t), UnitNeedsNumber, "a unit belongs directly after a number, not after a bracket")
		if isLast { // the unit that the value is to be shown in, perhaps
			d.Choose(p.span(gap.Start, end), " in "+text)
		}
		d.Repair = fmt.Sprintf("write %s·(1 %s)", first, text)
		if isLast {
			d.Repair += ", or in " + text + " to show the value so"
		}
		if from := p.factor.Start; from > 0 && p.factor.Content() == first && (p.sc.src[from-1] == '/' || p.sc.src[from-1] == '^') {
			product := fmt.Sprintf("%s·(1 %s)", first, text)
			d.Repair = fmt.Sprintf("write (%s) or %s, whichever is meant", product, product)
			d.Choose(p.span(from, end), "("+product+")").Choose(p.span(from, end), product)
			return
		}
		if isLast {
			d.Choose(p.span(gap.Start, end), "·(1 "+text+")")
			return
		}
		d.Fix = &source.Fix{Span: p.span(gap.Start, end), Text: "·(1 " + text + ")"}
		return
	case t.kind == tName && t.text[0] == 'd' && len(t.text) > 1 && p.peek().isWord("from"):
		p.errorf(p.tokenSpan(t), MissingWord, "“for” is missing before “%s”", t.text[1:]).Repair = "the full form is: " + bindExample(Integral, false)
		return
	case p.mode == shaftMode && before.kind == tUnit && t.kind == tNumber:
		d := p.errorf(gap, MissingWord, "something is missing between these two quantities")
		d.Repair = "the full form is: " + shaftForms[p.opening().text]
		return
	case before.kind == tUnit && t.kind == tNumber && p.minutesOfTime(before, t):
		minutes := t.text + "′"
		d := p.errorf(p.span(int(t.start), int(p.peek().end)), UnitAmbiguous, "min is the minute of time; the minute of arc is ′")
		d.Repair = "write " + minutes
		d.Fix = &source.Fix{Span: d.Span, Text: minutes}
		return
	case before.kind == tNumber && t.kind == tFraction:
		p.errorf(p.span(int(before.start), int(t.end)), TwoReadings, "“%s %s” may be a mixed number or a product", before.text, t.text).
			Repair = fmt.Sprintf("write %s + %s or %[1]s·%[2]s, whichever is meant", before.text, t.text)
		return
	case before.kind == tNumber && t.kind == tNumber:
		p.errorf(gap, MissingMultiply, "there are two numbers side by side").Repair = "write an operator between them; write the digits of one number together"
		return
	}
	if before.kind == tNumber && before.text == "1" {
		p.errorf(gap, MissingMultiply, "a sign is missing between these two").Repair = "write the sign, as in 1/" + p.operandText(t) + "; a factor 1 is left out"
		return
	}
	d := p.errorf(gap, MissingMultiply, "the multiplication sign is missing")
	d.Repair = fmt.Sprintf("write %s·%s", first, p.operandText(t))
	if before.kind == tUnit && t.kind == tOpen {
		d.Repair += "; a remark begins with #"
	}
	if t.kind != tNumber {
		d.Fix = &source.Fix{Span: gap, Text: "·"}
	}
}

// isLastBefore reports whether a calculation ends at a place.
func (p *parser) isLastBefore(end int) bool {
	if p.mode != calcMode {
		return false
	}
	for _, t := range p.toks[p.pos:] {
		if t.kind == tEnd {
			return true
		}
		if int(t.start) >= end {
			return false
		}
	}
	return true
}

// minutesOfTime reports whether t begins a number of minutes behind one of degrees.
func (p *parser) minutesOfTime(degrees, t token) bool {
	unit := p.peek()
	if unit.kind != tUnit || p.sc.units[unit.aux].Text != "min" {
		return false
	}
	text := p.sc.units[degrees.aux].Text
	return text == "deg" || text == "°"
}

// bareFunction reports a function without brackets after it.
func (p *parser) bareFunction(fun token) {
	p.errorf(p.tokenSpan(fun), FunctionBrackets, "the function %s needs brackets around what it is applied to", fun.text).
		Repair = fmt.Sprintf("write %s(x)", fun.text)
}

// operandText returns a short text for the operand that starts with t, for use
// in a repair.
func (p *parser) operandText(t token) string {
	switch t.kind {
	case tOpen:
		return "(…)"
	case tName, tNumber:
		return t.text
	}
	return t.text + " …"
}

// LooksLikeUnit reports whether a word after a number was more likely meant as
// a unit than as a factor: it is close to a unit, or too long for a symbol.
func LooksLikeUnit(word string) bool {
	if utf8.RuneCountInString(word) > 1 && unit.Refuse(word) != "" {
		return true
	}
	sameLetters := func(symbol string) bool { return strings.EqualFold(symbol, word) }
	if len(word) > 1 && slices.ContainsFunc(unit.Nearest(word, 5), sameLetters) {
		return true
	}
	return len([]rune(word)) > 3 && !strings.ContainsAny(word, "_0123456789")
}

// unknownUnit reports a word that should be a unit; number is the literal
// before it, "" after in.
func (p *parser) unknownUnit(at source.Span, word, number string) {
	p.report(NotAUnit(at, word, number))
}

// NotAUnit returns the error about a word that should be a unit, with what may be
// meant; number is the literal before it, "" if there is none.
func NotAUnit(at source.Span, word, number string) source.Diagnostic {
	d := source.Diagnostic{Span: at, Code: UnknownUnit, Message: unit.Refuse(word)}
	if d.Message == "" {
		d.Message = fmt.Sprintf("“%s” is not a unit known here", word)
	}
	var ways, texts []string
	for _, m := range unit.Meanings(word) {
		if isDigit(m[0]) {
			if number == "" {
				continue
			}
			m = "·(" + m + ")"
		}
		texts = append(texts, m)
	}
	switch {
	case len(texts) == 1:
		ways = append(ways, "write "+number+texts[0])
		d.Fix = &source.Fix{Span: spaceBefore(at, texts[0]), Text: texts[0]}
	case len(texts) > 1:
		d.Code = TwoReadings
		var named []string
		for _, text := range texts {
			d.Choose(spaceBefore(at, text), text)
			named = append(named, number+text)
		}
		ways = append(ways, "write "+strings.Join(named, " or ")+", whichever is meant")
	default:
		if near := unit.Nearest(word, 3); len(near) > 0 {
			ways = append(ways, "did you mean "+strings.Join(near, ", ")+"?")
			if len(near) == 1 && utf8.RuneCountInString(word) > 2 {
				d.Fix = &source.Fix{Span: at, Text: near[0]}
			}
		}
		if number != "" {
			ways = append(ways, fmt.Sprintf("for a product write %s·%s", number, word))
		}
	}
	d.Repair = strings.Join(ways, "; ")
	return d
}

// spaceBefore takes the blanks before a place in where a product replaces it.
func spaceBefore(at source.Span, text string) source.Span {
	for strings.HasPrefix(text, "·") && at.Start > 0 && at.Text.Content[at.Start-1] == ' ' {
		at.Start--
	}
	return at
}

// missingUnit reports that there is no unit after in or prefer.
func (p *parser) missingUnit(t token) {
	if p.reportBad(t) {
		return
	}
	const repair = "write a unit: mm, N·m, MPa, deg"
	if t.kind == tEnd {
		p.errorf(p.gap(), MissingUnit, "a unit is missing after “%s”", p.before().text).Repair = repair
		return
	}
	p.errorf(p.tokenSpan(t), MissingUnit, "“%s” is not a unit", t.text).Repair = repair
}

// checkBase refuses a power whose base is a quantity: 36 mm ^2 may mean
// square millimetres or the square of 36 mm.
func (p *parser) checkBase(x Expr, t token) {
	q, ok := x.(*Quantity)
	if !ok || p.broken {
		return
	}
	d := p.errorf(p.tokenSpan(t), UnitPower, "this power may belong to the unit or to the quantity")
	d.Repair = fmt.Sprintf("write (%s)%s… for the quantity, or %s^2 without spaces for the unit", q.At.Content(), t.text, q.Unit.Text)
}

// checkExponent refuses an exponent with a unit: 10^3 N.
func (p *parser) checkExponent(y Expr) {
	if u, ok := y.(*Unary); ok {
		y = u.X
	}
	q, ok := y.(*Quantity)
	if !ok || p.broken {
		return
	}
	d := p.errorf(q.At, UnitInExponent, "a unit binds to the number before it, so the exponent here is %s", q.At.Content())
	d.Repair = fmt.Sprintf("write a power of ten as 1e%s %s, or (…)·(1 %s)", q.Number.Text, q.Unit.Text, q.Unit.Text)
}

// checkArguments recognises a decimal comma in a function of one argument, and a
// thousand with a comma in it among several.
func (p *parser) checkArguments(fun token, args []Expr) {
	if p.broken || p.askThousand(args) || len(args) != 2 {
		return
	}
	b, ok := builtins[fun.text]
	if !ok || b.MaxArgs != 1 {
		return
	}
	for i := p.pos - 1; i > 0 && int(p.toks[i].start) >= args[0].Span().End; i-- {
		if p.isDecimalComma(p.toks[i]) {
			return
		}
	}
}

// askThousand asks whether 1,000 among arguments is one number or two, where its
// second half begins with a 0 or the other commas have a space behind them.
func (p *parser) askThousand(args []Expr) bool {
	for i := 1; i < len(args); i++ {
		x, isNumber := args[i-1].(*Number)
		if !isNumber || !hasOnlyDigits(x.Text) || len(x.Text) > 3 || x.Text[0] == '0' {
			continue
		}
		at, end := x.At.End+1, args[i].Span().Start
		src := p.sc.src
		if at != end || digitsEnd(src, at) != at+3 || at+3 < len(src) && src[at+3] == '.' {
			continue
		}
		isMixed := i+1 < len(args) && args[i+1].Span().Start > args[i].Span().End+1 || i > 1 && x.At.Start > args[i-2].Span().End+1
		if src[at] != '0' && !isMixed {
			continue
		}
		digits := src[at : at+3]
		d := p.errorf(p.span(x.At.Start, at+3), TwoReadings, "this may be one number with a comma in it, or two arguments")
		number, two := x.Text+digits, x.Text+", "+digits
		d.Repair = "write " + number + " or " + two + ", whichever is meant"
		d.Choose(d.Span, number).Choose(d.Span, two)
		return true
	}
	return false
}

// misreadDivisor reports whether what follows a stroke is easily taken
// for only the first factor below it: not a bare number, as in π/32·d^4, and
// not a bracket, which shows where it ends.
func misreadDivisor(y Expr) bool {
	switch y := y.(type) {
	case *Number, *Paren, *Abs, *Bad:
		return false
	case *Binary:
		_, number := y.X.(*Number)
		return !number
	}
	return true
}

// noteQuotient notes T·L/J·G: t, the · at index at, follows a stroke at index
// divided (-1 if none does). A · set off by spaces shows that the writer meant it.
func (p *parser) noteQuotient(x Expr, t token, y Expr, divided, at int) {
	if divided < 0 || t.op != OpMul || p.broken {
		return
	}
	if t.space && !p.toks[divided].space {
		return
	}
	divisor := x.(*Binary).Y.Span().Content()
	factor := y.Span().Content()
	d := p.list.Notef(p.span(int(p.toks[divided].start), y.Span().End), DivideThenMultiply,
		"this divides by %s only and multiplies by %s", divisor, factor)
	d.Repair = fmt.Sprintf("write /(%s·%s) to divide by both, or set the · off by spaces if this is meant", divisor, factor)
}

// notePowerOfTen notes a/2·10^3, where the divisor is 2000.
func (p *parser) notePowerOfTen(n *Number) {
	if p.broken || p.pos < 2 || !p.toks[p.pos-2].isOp(OpDiv) {
		return
	}
	if _, _, ok := cutTimes(n.Text); !ok {
		return
	}
	p.list.Notef(n.At, PowerOfTenDivides, "%s is read as one number, and all of it divides", n.Text).
		Repair = "put the quotient in brackets to multiply it by the power of ten"
}
