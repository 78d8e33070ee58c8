package figure

import (
	"math"
	"strconv"
	"strings"

	"shaftbook/kernel/elementary"
	"shaftbook/kernel/unit"
)

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

// PowerOfTen writes 10ⁿ.
func PowerOfTen(n int) string { return "10" + superscripts.Replace(strconv.Itoa(n)) }

// FormatNumber writes a number with a true minus sign, to at most the given number
// of significant figures, as m×10ⁿ where the plain form would be long.
func FormatNumber(v float64, figures int) string {
	if v == 0 {
		return "0"
	}
	a := math.Abs(v)
	if a < 1e-3 || a >= 1e6 {
		s := unit.RoundText(v, 'e', figures-1)
		mantissa, exponent, _ := strings.Cut(s, "e")
		n, _ := strconv.Atoi(exponent)
		return MinusSign(trimZeros(mantissa)) + "×" + PowerOfTen(n)
	}
	decimals := figures - 1 - int(math.Floor(elementary.Log10(a)))
	if decimals < 0 {
		decimals = 0
	}
	return MinusSign(GroupDigits(trimZeros(unit.RoundText(v, 'f', decimals))))
}

// thinSpace is narrow and keeps a number on one line.
const thinSpace = "\u202f"

// GroupDigits parts the digits before the decimal point into groups of three
// where there are five or more, as ISO 80000-1 advises: 164 900.
func GroupDigits(s string) string {
	whole, rest, found := strings.Cut(s, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	if len(whole) < 5 {
		return s
	}
	first := len(whole) % 3
	parts := make([]string, 0, 4)
	if first > 0 {
		parts = append(parts, whole[:first])
	}
	for i := first; i < len(whole); i += 3 {
		parts = append(parts, whole[i:i+3])
	}
	s = sign + strings.Join(parts, thinSpace)
	if found {
		s += "." + rest
	}
	return s
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// MinusSign writes a true minus sign for each hyphen.
func MinusSign(s string) string { return strings.Replace(s, "-", "−", 1) }

// NumberWithUnit puts a space between a number and the symbol of its unit, but
// none before the sign of a degree. Beside a power of ten that sign would look
// like a digit of the exponent.
func NumberWithUnit(number, symbol string) string {
	if !strings.Contains(number, "×10") {
		symbol = UnitSymbol(symbol)
	}
	if symbol == "" || strings.HasPrefix(symbol, "°") {
		return number + symbol
	}
	return number + " " + symbol
}
