package unit

import "math"

// SI returns a value of x units in SI base units. Where the factor is a decimal
// of few digits, p/q with q a power of ten (0.001 for mm, 0.0254 for in), the
// value is x·p/q: the product is exact for a number of ordinary length, so 36 mm
// is the float64 nearest to 0.036 and 1.5 in the one nearest to 0.0381.
func (u Unit) SI(x float64) float64 {
	if n, ok := u.Reciprocal(); ok {
		return x / n
	}
	q := 1.0
	for range 12 {
		if p := math.Round(u.Factor * q); p < 1<<32 && p/q == u.Factor {
			if product := x * p; !math.IsInf(product, 0) {
				return product / q
			}
			break
		}
		q *= 10
	}
	return x * u.Factor
}

// Reciprocal returns n if the factor is the float64 nearest to 1/n for a whole
// number n.
func (u Unit) Reciprocal() (n float64, ok bool) {
	n = math.Round(1 / u.Factor)
	return n, u.Factor > 0 && u.Factor < 1 && n < 1<<53 && 1/n == u.Factor
}
