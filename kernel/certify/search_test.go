package certify

import (
	"errors"
	"math"
	"testing"
)

func TestFindRoot(t *testing.T) {
	cases := []struct {
		name  string
		a, b  float64
		exact float64 // NaN: none
		sure  bool
		f     func(b *Builder, x Expr) Expr
	}{
		{"cos x = x", 0, 1, 0.73908513321516064166, true, func(b *Builder, x Expr) Expr { return b.Sub(b.Cos(x), x) }}, // mpmath
		{"first of two", 0, 3, 1, true, func(b *Builder, x Expr) Expr {
			return b.Mul(b.Sub(x, b.Number(1)), b.Sub(x, b.Number(2)))
		}},
		{"first from the right", 3, 0, 2, true, func(b *Builder, x Expr) Expr {
			return b.Mul(b.Sub(x, b.Number(1)), b.Sub(x, b.Number(2)))
		}},
		{"close pair", 0, 1, 0.3015, true, func(b *Builder, x Expr) Expr {
			return b.Mul(b.Sub(x, b.Number(0.3015)), b.Sub(x, b.Number(0.3016)))
		}},
		{"none", 0, 1, math.NaN(), true, func(b *Builder, x Expr) Expr { return b.Add(b.Number(1e-6), b.PowInt(b.Sub(x, b.Number(0.4)), 2)) }},
		{"double", 0, 1, 0.4, false, func(b *Builder, x Expr) Expr { return b.PowInt(b.Sub(x, b.Number(0.4)), 2) }},
		{"double, expanded", 0, 1, 0.4, false, func(b *Builder, x Expr) Expr {
			return b.Add(b.Sub(b.Mul(x, x), b.Mul(b.Number(0.8), x)), b.Number(0.16))
		}},
		{"narrow dip", 0, 1, 0.5 - 1e-4*math.Sqrt(math.Ln2), true, func(b *Builder, x Expr) Expr {
			u := b.Div(b.Sub(x, b.Number(0.5)), b.Number(1e-4))
			return b.Sub(b.Number(0.5), b.Exp(b.Neg(b.PowInt(u, 2))))
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e, err := FindRoot(function(c.f), nil, c.a, c.b, Options{})
			t.Logf("%.17g ± %.2g, work %d, %v at %g, %v", e.Value, (e.High-e.Low)/2, e.Work, e.Reason, e.Where, err)
			if math.IsNaN(c.exact) {
				if !errors.Is(err, ErrNoRoot) {
					t.Errorf("got %v, want none", e)
				}
				return
			}
			if err != nil || e.Certain != c.sure {
				t.Fatal(e, err)
			}
			if c.sure && (math.Abs(e.Value-c.exact) > 1e-12 || e.High-e.Low > 1e-12) {
				t.Errorf("got %v, want %v", e, c.exact)
			}
			if !c.sure && math.Abs(e.Where-c.exact) > 1e-6 {
				t.Errorf("in doubt at %v, want %v", e.Where, c.exact)
			}
		})
	}
}

func TestFindExtreme(t *testing.T) {
	cases := []struct {
		name    string
		a, b    float64
		largest bool
		exact   float64
		f       func(b *Builder, x Expr) Expr
	}{
		{"sine", 0, 3, true, 1, func(b *Builder, x Expr) Expr { return b.Sin(x) }},
		{"sine, least", 0, 3, false, 0, func(b *Builder, x Expr) Expr { return b.Sin(x) }},
		{"narrow peak", 0, 1, true, 2, func(b *Builder, x Expr) Expr {
			u := b.Div(b.Sub(x, b.Number(0.4)), b.Number(1e-4))
			return b.Add(b.Number(1), b.Exp(b.Neg(b.PowInt(u, 2))))
		}},
		{"slot", 0, 1, true, 5, func(b *Builder, x Expr) Expr {
			in := b.And(b.Less(b.Number(0.52), x), b.Less(x, b.Number(0.5201)))
			return b.If(in, b.Number(5), b.Number(2))
		}},
		{"kink", -1, 2, false, 0, func(b *Builder, x Expr) Expr { return b.Abs(b.Sub(x, b.Number(0.25))) }},
		{"polynomial", 0, 1, true, 4.0 / 27, func(b *Builder, x Expr) Expr {
			return b.Mul(x, b.PowInt(b.Sub(b.Number(1), x), 2))
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e, err := FindExtreme(function(c.f), nil, c.a, c.b, c.largest, Options{})
			t.Logf("%.17g ± %.2g at %g, work %d, %v at %g, %v", e.Value, (e.High-e.Low)/2, e.X, e.Work, e.Reason, e.Where, err)
			if err != nil || !e.Certain {
				t.Fatal(e, err)
			}
			if slack := 2 * ulp * c.exact; c.exact < e.Low-slack || c.exact > e.High+slack || e.High-e.Low > 1e-12 {
				t.Errorf("got %v, want %v", e, c.exact)
			}
		})
	}
}
