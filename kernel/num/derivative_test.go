package num

import (
	"errors"
	"math"
	"testing"
)

// Central differences alone would give each of these a slope.
func TestDifferentiateComparesItsSides(t *testing.T) {
	for _, c := range []struct {
		name   string
		f      func(x float64) float64
		smooth bool
	}{
		{"kink", math.Abs, false},
		{"a value of its own", func(x float64) float64 {
			if x == 0 {
				return 1
			}
			return x
		}, false},
		{"kink on a curve", func(x float64) float64 { return math.Sin(x) + math.Abs(x)/8 }, false},
		{"smooth", func(x float64) float64 { return math.Exp(x) + x*x*x }, true},
		{"smooth and even", math.Cos, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			points := func(dst, x []float64) error {
				for i := range x {
					dst[i] = c.f(x[i])
				}
				return nil
			}
			_, _, err := Differentiate(points, 0, 1, Options{})
			var none *NoDerivativeError
			if c.smooth && err != nil || !c.smooth && !errors.As(err, &none) {
				t.Errorf("%v", err)
			}
		})
	}
}
