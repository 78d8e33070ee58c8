package unit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits on a compound unit, far above any use: they keep exact arithmetic on
// hostile text small.
const (
	maxText     = 200
	maxParts    = 16
	maxExponent = 30
)

// A ParseError reports what in a unit cannot be read. Offset and Length are the
// place in bytes of the text that was given to Parse.
type ParseError struct {
	Offset, Length int
	Message        string // a sentence without its full stop
	Instead        string // what to write for that piece; may be empty
}

func (e *ParseError) Error() string {
	if e.Instead == "" {
		return e.Message
	}
	return e.Message + ": write " + e.Instead
}

// Parse reads a unit: symbols joined by · (or *, ⋅), each with a whole or
// rational exponent (mm⁴, mm^4, m^-1, m^(1/2)), divided at most once, by one
// symbol or by a product in brackets: "N·m/m", "kg/m^3", "W/(m·K)", "1/s".
// Spaces may be written around the operators. The text "" is the unit one.
//
// The error is a *ParseError. A unit whose factor is out of the range of
// float64 is refused.
func Parse(text string) (Unit, error) {
	if s := find(text); s != nil {
		return s.unit, nil
	}
	p, err := parseProduct(text)
	if err != nil {
		return Unit{}, err
	}
	u, ok := p.unit()
	if !ok {
		return Unit{}, &ParseError{Length: len(text), Message: "the factor or an exponent of this unit is out of range"}
	}
	return u, nil
}

// A part is one symbol of a compound with its exponent.
type part struct {
	symbol   *symbol
	exponent Rational
}

// A product is a compound unit: above/below.
type product struct{ above, below []part }

type parser struct {
	text string
	at   int
	n    int // parts so far
}

func parseProduct(text string) (product, error) {
	p := &parser{text: text}
	if len(text) > maxText {
		return product{}, p.fail(0, len(text), "this unit is too long", "")
	}
	var result product
	var err *ParseError
	p.space()
	switch {
	case p.at == len(text):
		return result, nil
	case p.take("1"):
	default:
		if result.above, err = p.factors(); err != nil {
			return result, err
		}
	}
	p.space()
	if p.take("/") || p.take("÷") {
		p.space()
		if result.below, err = p.denominator(); err != nil {
			return result, err
		}
	}
	p.space()
	if p.at < len(text) {
		return result, p.trailing(result)
	}
	return result, nil
}

// denominator reads what is below the line: one symbol, or a product in
// brackets.
func (p *parser) denominator() ([]part, *ParseError) {
	open := p.at
	if p.take("(") {
		p.space()
		parts, err := p.factors()
		if err != nil {
			return nil, err
		}
		p.space()
		if !p.take(")") {
			return nil, p.fail(open, 1, "this bracket is not closed", "")
		}
		return parts, nil
	}
	one, err := p.part()
	return []part{one}, err
}

// trailing explains why a unit goes on after its end.
func (p *parser) trailing(read product) *ParseError {
	start := p.at
	r, size := utf8.DecodeRuneInString(p.text[start:])
	if len(read.below) > 0 && (r == '/' || isTimes(r)) {
		p.at += size
		p.space()
		if next, err := p.part(); err == nil {
			below := product{below: append(read.below, next)}
			below.above = read.above
			return p.fail(start, size, "only one symbol can follow the / of a unit, unless there are brackets", below.text())
		}
	}
	return p.fail(start, max(size, 1), fmt.Sprintf("a unit cannot go on with %q", string(r)), "")
}

func (p *parser) factors() ([]part, *ParseError) {
	var parts []part
	for {
		one, err := p.part()
		if err != nil {
			return nil, err
		}
		parts = append(parts, one)
		end := p.at
		p.space()
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		if !isTimes(r) {
			p.at = end
			return parts, nil
		}
		p.at += size
		p.space()
	}
}

func isTimes(r rune) bool { return r == '·' || r == '*' || r == '⋅' || r == '×' }

func (p *parser) part() (part, *ParseError) {
	start := p.at
	p.at += TurnRate(p.text[start:])
	for p.at < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		if !IsSymbolRune(r) {
			break
		}
		p.at += size
	}
	name := p.text[start:p.at]
	if name == "" {
		return part{}, p.fail(start, 0, "a unit symbol is missing here", "")
	}
	if p.n++; p.n > maxParts {
		return part{}, p.fail(start, len(name), fmt.Sprintf("a unit can have at most %d symbols", maxParts), "")
	}
	s := find(name)
	if s == nil {
		reason := Refuse(name)
		if reason == "" {
			reason = fmt.Sprintf("%s is not a unit known here", name)
		}
		instead, _ := Spelling(name)
		return part{}, p.fail(start, len(name), reason, instead)
	}
	exponent, err := p.exponent()
	return part{s, exponent}, err
}

// IsSymbolRune reports whether r may occur in the symbol of a unit: a letter,
// or one of ° ′ ″ %.
func IsSymbolRune(r rune) bool {
	return unicode.IsLetter(r) || r == '°' || r == '′' || r == '″' || r == '%'
}

func (p *parser) exponent() (Rational, *ParseError) {
	start := p.at
	if raised := p.superscript(); raised != "" {
		return p.whole(start, raised)
	}
	if !p.take("^") {
		return Whole(1), nil
	}
	if !p.take("(") {
		return p.whole(start, p.digits())
	}
	num, err := p.whole(start, p.digits())
	if err != nil {
		return num, err
	}
	den := Whole(1)
	if p.take("/") {
		if den, err = p.whole(start, p.digits()); err != nil {
			return den, err
		}
	}
	if !p.take(")") {
		return num, p.fail(start, p.at-start, "this exponent is not closed with )", "")
	}
	r, ok := NewRational(num.Num(), den.Num())
	if !ok {
		return num, p.fail(start, p.at-start, "an exponent cannot have a denominator of 0", "")
	}
	return r, nil
}

func (p *parser) whole(start int, digits string) (Rational, *ParseError) {
	n, err := strconv.Atoi(digits)
	if err != nil || n > maxExponent || n < -maxExponent {
		return Whole(1), p.fail(start, max(p.at-start, 1), fmt.Sprintf("an exponent is a whole number of at most ±%d, or a fraction in brackets", maxExponent), "")
	}
	return Whole(n), nil
}

// digits returns an optional sign and the digits after it.
func (p *parser) digits() string {
	sign := ""
	if p.take("-") || p.take("−") {
		sign = "-"
	}
	start := p.at
	for p.at < len(p.text) && '0' <= p.text[p.at] && p.text[p.at] <= '9' {
		p.at++
	}
	return sign + p.text[start:p.at]
}

var raisedDigits = map[rune]byte{'⁻': '-', '⁰': '0', '¹': '1', '²': '2', '³': '3', '⁴': '4',
	'⁵': '5', '⁶': '6', '⁷': '7', '⁸': '8', '⁹': '9'}

func (p *parser) superscript() string {
	var b strings.Builder
	for p.at < len(p.text) {
		r, size := utf8.DecodeRuneInString(p.text[p.at:])
		digit, ok := raisedDigits[r]
		if !ok {
			break
		}
		b.WriteByte(digit)
		p.at += size
	}
	return b.String()
}

func (p *parser) take(s string) bool {
	if !strings.HasPrefix(p.text[p.at:], s) {
		return false
	}
	p.at += len(s)
	return true
}

func (p *parser) space() {
	for p.at < len(p.text) && p.text[p.at] == ' ' {
		p.at++
	}
}

func (p *parser) fail(offset, length int, message, instead string) *ParseError {
	return &ParseError{Offset: offset, Length: length, Message: message, Instead: instead}
}
