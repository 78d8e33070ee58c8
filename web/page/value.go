package page

import (
	"html"
	"strings"
	"unicode"

	"shaftbook/kernel/pattern"
)

// degrees is the degree as the notation writes it behind a number or in a unit.
var degrees = pattern.New(`(\d) deg\b|\bdeg\b`)

// shown returns a value as pages show it: with the sign of the degree, as in marks.
func shown(text string) string { return degrees().ReplaceAllString(text, "${1}°") }

// long is a whole part of five digits or more; ISO 80000-1:2022, 7.3.1, sets the digits
// of such numbers in groups of three, counted from the decimal sign (from memory).
var long = pattern.New(`(^|[^\d.\pL_⁻·])(\d{5,})(\.|\b)`)

// valueHTML returns a value as HTML. The digits of long numbers stand in groups, by a
// space that is not copied along with them.
func valueHTML(text string) string {
	return inGroups(html.EscapeString(shown(text)), `<span class="thousand">`, `</span>`)
}

// plainValue returns a value as text that is only looked at, with narrow spaces between
// the groups of digits.
func plainValue(text string) string { return inGroups(shown(text), "", "\u202f") }

// inGroups puts marks around all groups of three digits of long numbers but the last.
func inGroups(text, before, behind string) string {
	return long().ReplaceAllStringFunc(text, func(found string) string {
		start := strings.IndexFunc(found, unicode.IsDigit)
		end := start + len(strings.TrimRightFunc(found[start:], func(r rune) bool { return !unicode.IsDigit(r) }))
		return found[:start] + grouped(found[start:end], before, behind) + found[end:]
	})
}

func grouped(digits, before, behind string) string {
	var b strings.Builder
	for len(digits) > 3 {
		n := (len(digits)-1)%3 + 1
		b.WriteString(before + digits[:n] + behind)
		digits = digits[n:]
	}
	b.WriteString(digits)
	return b.String()
}

// number splits a cell of a table at its decimal sign, if it is a number.
var number = pattern.New(`^(≈ )?[−-]?\d+(\.\d+)?([·×]10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?$`)

// fractionOf returns what stands behind the whole part of a number: its decimal sign,
// decimals and power of ten. ok is false for other texts.
func fractionOf(text string) (fraction string, ok bool) {
	if !number().MatchString(text) {
		return "", false
	}
	at := strings.IndexAny(text, ".·×")
	if at < 0 {
		return "", true
	}
	return text[at:], true
}
