package unit

import (
	"math"
	"strconv"
	"strings"
)

// A Rounding is how a number is rounded for display. The zero Rounding is
// the default: a number that is equal to a decimal of at most four figures
// (to within 1e-12 of itself) is shown as that decimal, any other with four
// figures, trailing zeros kept. Whole numbers are shown whole, pure ones below
// 10¹⁵, others below 10⁶.
type Rounding struct {
	Figures   int // significant figures, 1 to 17; 0 if none were asked for
	Places    int // decimal places, meaningful if HasPlaces
	HasPlaces bool
}

const (
	defaultFigures = 4
	maxFigures     = 17 // enough to tell any two float64 apart
	maxPlaces      = 30
	wholePure      = 1e15
	wholeQuantity  = 1e6
	sameAs         = 1e-12
)

// NotFinite is shown in place of a NaN or an infinity. The kernel reports such
// values as errors before anything is shown; the marker makes a mistake in that
// visible without ever looking like a number.
const NotFinite = "no finite value"

// FormatNumber writes a pure number for people: "36", "0.9700", "3.200×10⁻⁵",
// "−1.25". A number of 10⁶ or more, or below 10⁻⁴, is written with a power of
// ten, unless it is whole or places were asked for. The minus sign is U+2212;
// the notation reads it back. Rounding is to nearest, halves away from zero, as
// RoundText does and as round(…) of the notation.
func FormatNumber(v float64, r Rounding) string { return formatNumber(v, r, wholePure) }

// Format writes a value, given in SI base units, in the unit u: "0.9706 deg",
// "36 mm", "4 %", "30°". A space separates number and unit except before
// °, ′ and ″ (SI Brochure, 9th ed., 5.4.3).
//
// The number that is rounded is the float64 quotient si/u.Factor. It lies
// within 2⁻⁵² of itself (relative) of the exact quotient, which RoundText allows
// for: 36.45 mm to three figures is 36.5 mm.
func Format(si float64, u Unit, r Rounding) string {
	v := si / u.Factor
	if !finite(v) {
		return NotFinite
	}
	limit := float64(wholeQuantity)
	if u.Text == "" {
		limit = wholePure
	}
	return attach(formatNumber(v, r, limit), u)
}

// Shortest returns the shortest decimal that restores v exactly, in the form
// that a program reads: "0.1", "1e+21", "-3".
func Shortest(v float64) string {
	if !finite(v) {
		return NotFinite
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// attach puts the unit after a number.
func attach(number string, u Unit) string {
	text := u.Text
	if strings.ContainsAny(text, "*^×⋅") {
		if p, err := parseProduct(text); err == nil {
			text = p.text()
		}
	}
	switch text {
	case "":
		return number
	case "°", "′", "″":
		return number + text
	}
	return number + " " + text
}

func formatNumber(v float64, r Rounding, wholeBelow float64) string {
	if !finite(v) {
		return NotFinite
	}
	switch {
	case r.HasPlaces && math.Abs(v) < 1e15:
		return readDecimal(RoundText(v, 'f', places(r))).plain()
	case v == 0:
		return "0"
	case r.HasPlaces: // too large for places to say anything
		return readDecimal(strconv.FormatFloat(v, 'e', -1, 64)).text()
	case r.Figures > 0:
		return rounded(v, min(r.Figures, maxFigures)).text()
	}
	if w := math.Round(v); w != 0 && math.Abs(w) < wholeBelow && near(w, v, sameAs) {
		return readDecimal(strconv.FormatFloat(w, 'f', 0, 64)).plain()
	}
	for figures := 1; figures < defaultFigures; figures++ {
		if d := rounded(v, figures); near(d.float(), v, sameAs) {
			return d.text()
		}
	}
	return rounded(v, defaultFigures).text()
}

func places(r Rounding) int { return min(max(r.Places, 0), maxPlaces) }

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance*math.Abs(b) }

// A decimal is ±digits·10^exponent; digits has no leading zero unless it is
// all zeros.
type decimal struct {
	negative bool
	digits   string
	exponent int
}

// rounded returns v rounded to a number of significant figures.
func rounded(v float64, figures int) decimal {
	return readDecimal(RoundText(v, 'e', figures-1))
}

// readDecimal takes the output of strconv.FormatFloat apart.
func readDecimal(text string) decimal {
	var d decimal
	if rest, found := strings.CutPrefix(text, "-"); found {
		d.negative, text = true, rest
	}
	mantissa, power, _ := strings.Cut(text, "e")
	if power != "" {
		d.exponent, _ = strconv.Atoi(power)
	}
	before, after, _ := strings.Cut(mantissa, ".")
	d.exponent -= len(after)
	d.digits = strings.TrimLeft(before+after, "0")
	if d.digits == "" {
		d.digits, d.negative = "0", false
	}
	return d
}

func (d decimal) float() float64 {
	v, _ := strconv.ParseFloat(d.digits+"e"+strconv.Itoa(d.exponent), 64)
	if d.negative {
		return -v
	}
	return v
}

func (d decimal) sign() string {
	if d.negative {
		return "−"
	}
	return ""
}

// text writes the decimal plainly, or with a power of ten if it is large or
// small.
func (d decimal) text() string {
	lead := len(d.digits) - 1 + d.exponent
	if -4 <= lead && lead < 6 {
		return d.plain()
	}
	mantissa := d.digits[:1]
	if len(d.digits) > 1 {
		mantissa += "." + d.digits[1:]
	}
	return d.sign() + mantissa + "×10" + superscript(Whole(lead))
}

// plain writes the decimal without a power of ten.
func (d decimal) plain() string {
	digits := d.digits
	if d.exponent >= 0 {
		return d.sign() + digits + strings.Repeat("0", d.exponent)
	}
	if missing := 1 - d.exponent - len(digits); missing > 0 {
		digits = strings.Repeat("0", missing) + digits
	}
	point := len(digits) + d.exponent
	return d.sign() + digits[:point] + "." + digits[point:]
}
