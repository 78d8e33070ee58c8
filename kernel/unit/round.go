package unit

import (
	"math"
	"strconv"
	"strings"
)

// onTie is how far below a tie a number may lie, in units in the last place,
// and still be taken as on it: 2.675 as typed, and 36.45 mm as the quotient of
// two float64, lie that near to the decimal that the reader sees.
const onTie = 2

// tieFigures is up to how many significant figures ties are met with that
// tolerance. A decimal of one figure more is at least twenty units in the last
// place wide, so the tolerance decides nothing but ties.
const tieFigures = 13

// leastNormal is below any number that a calculation gives, and far above where
// units in the last place begin to be a large part of a float64.
const leastNormal = 1e-290

// RoundText writes v rounded to nearest, halves away from zero, in the form of
// strconv.FormatFloat: with form 'e' one digit before the point and digits
// after it, with form 'f' so many digits after the point. What is rounded is
// the decimal that v was meant as: 2.5 becomes 3, and 2.675 to two places 2.68,
// although the float64 nearest to 2.675 lies below it.
func RoundText(v float64, form byte, digits int) string {
	text := strconv.FormatFloat(v, form, digits, 64)
	if !finite(v) || v == 0 {
		return text
	}
	if figuresOf(text) <= tieFigures && math.Abs(v) > leastNormal {
		for range onTie {
			v = math.Nextafter(v, math.Copysign(math.Inf(1), v))
		}
		if away := strconv.FormatFloat(v, form, digits, 64); finite(v) {
			return away
		}
		return text
	}
	// Only a decimal that a float64 holds exactly can be a tie here.
	next := math.Nextafter(v, math.Copysign(math.Inf(1), v))
	if away := strconv.FormatFloat(next, form, digits, 64); away != text && isTie(v, form, digits) {
		return away
	}
	return text
}

// isTie reports whether v lies exactly half-way between two decimals.
func isTie(v float64, form byte, digits int) bool {
	const more = 40 // further digits that are looked at
	text := strconv.FormatFloat(math.Abs(v), form, digits+more, 64)
	mantissa, _, _ := strings.Cut(text, "e")
	rest := mantissa[len(mantissa)-more:]
	return rest[0] == '5' && strings.Trim(rest[1:], "0") == ""
}

var digitsOnly = strings.NewReplacer("-", "", ".", "")

// figuresOf counts the significant figures of a formatted number.
func figuresOf(text string) int {
	mantissa, _, _ := strings.Cut(text, "e")
	return len(strings.TrimLeft(digitsOnly.Replace(mantissa), "0"))
}
