package unit

import "math"

// SI returns a value of x units in SI base units. Where the factor is one over a
// whole number, 0.001 for mm, the value is divided by that number, which is
// exact: 36 mm is the float64 nearest to 0.036.
func (u Unit) SI(x float64) float64 {
	if n, ok := u.Reciprocal(); ok {
		return x / n
	}
	return x * u.Factor
}

// Reciprocal returns n if the factor is the float64 nearest to 1/n for a whole
// number n.
func (u Unit) Reciprocal() (n float64, ok bool) {
	n = math.Round(1 / u.Factor)
	return n, u.Factor > 0 && u.Factor < 1 && n < 1<<53 && 1/n == u.Factor
}
