package program

import (
	"math"

	"shaftbook/kernel/notation"
)

// siValue returns a quantity in SI base units. Where the factor is one over a
// whole number, 0.001 for mm, the value is divided by that number, which is
// exact: 36 mm is the float64 nearest to 0.036.
func siValue(q *notation.Quantity) float64 {
	factor := q.Unit.Unit.Factor
	if n, ok := wholeReciprocal(factor); ok {
		return q.Number.Value / n
	}
	return q.Number.Value * factor
}

// wholeReciprocal returns n if a factor is the float64 nearest to 1/n for a
// whole number n.
func wholeReciprocal(factor float64) (n float64, ok bool) {
	n = math.Round(1 / factor)
	return n, factor > 0 && factor < 1 && n < 1<<53 && 1/n == factor
}
