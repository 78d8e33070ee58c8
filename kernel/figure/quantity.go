package figure

import "strings"

// A Quantity is what a curve or an arrow shows. Each has one colour in all
// figures.
type Quantity uint8

// The quantities that have a colour of their own.
const (
	OtherQuantity Quantity = iota
	Torque
	Twist
	Stress
)

// UnitSymbol is how a unit is written in a figure: ° for deg.
func UnitSymbol(unit string) string {
	if unit == "deg" || strings.HasPrefix(unit, "deg/") || strings.HasPrefix(unit, "deg·") {
		return "°" + strings.TrimPrefix(unit, "deg")
	}
	return unit
}

// DivideByUnit writes the head of an axis or a column, “quantity / unit” as in
// ISO 80000-1: what is written are the numbers that the quantity divided by the
// unit gives. A unit that is a product or a quotient stands in brackets, so
// does a quantity that is a sum or a quotient.
func DivideByUnit(quantity, unit string) string {
	head, symbol := SplitHead(quantity, unit)
	return head + symbol
}

// SplitHead returns what DivideByUnit writes in two parts: up to the unit, and
// the unit.
func SplitHead(quantity, unit string) (head, symbol string) {
	unit = UnitSymbol(unit)
	if unit == "" || quantity == "" {
		return quantity, unit
	}
	if needsBrackets(quantity) {
		quantity = "(" + quantity + ")"
	}
	if strings.ContainsAny(unit, "/·*") {
		unit = "(" + unit + ")"
	}
	return quantity + " / ", unit
}

// needsBrackets reports whether a quantity is a sum, a difference or a quotient
// at its outermost level.
func needsBrackets(s string) bool {
	depth, bars := 0, 0
	for _, r := range s {
		switch r {
		case '(', '[':
			depth++
		case ')', ']':
			depth--
		case '|':
			bars++
		case '/', '+', '−', '÷':
			if depth == 0 && bars%2 == 0 {
				return true
			}
		}
	}
	return false
}
