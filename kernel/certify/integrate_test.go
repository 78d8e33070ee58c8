package certify

import (
	"math"
	"testing"

	"shaftbook/kernel/interval"
)

// function builds a function of x by hand.
func function(body func(b *Builder, x Expr) Expr) *Function {
	b := NewBuilder()
	x := b.Variable()
	f, _ := b.Function(x, body(b, x))
	return f
}

func TestIntegrateByHand(t *testing.T) {
	inf := math.Inf(1)
	num := func(b *Builder, v float64) Expr { return b.Number(v) }
	cases := []struct {
		name  string
		a, b  float64
		exact float64
		f     func(b *Builder, x Expr) Expr
	}{
		{"taper 1.5", 0, 1, (1 - math.Pow(1.5, -3)) / 1.5, func(b *Builder, x Expr) Expr {
			return b.Div(num(b, 1), b.PowInt(b.Add(num(b, 1), b.Mul(num(b, 0.5), x)), 4))
		}},
		{"taper 5", 0, 1, (1 - math.Pow(5, -3)) / 12, func(b *Builder, x Expr) Expr {
			return b.Div(num(b, 1), b.PowInt(b.Add(num(b, 1), b.Mul(num(b, 4), x)), 4))
		}},
		{"taper 50", 0, 1, (1 - math.Pow(50, -3)) / 147, func(b *Builder, x Expr) Expr {
			return b.Div(num(b, 1), b.PowInt(b.Add(num(b, 1), b.Mul(num(b, 49), x)), 4))
		}},
		{"sine", 0, 1, 1 - math.Cos(1), func(b *Builder, x Expr) Expr { return b.Sin(x) }},
		{"odd", -1, 1, 0, func(b *Builder, x Expr) Expr { return b.Sin(x) }},
		{"exp to 1e6", 0, 1e6, 1, func(b *Builder, x Expr) Expr { return b.Exp(b.Neg(x)) }},
		{"exp to infinity", 0, inf, 1, func(b *Builder, x Expr) Expr { return b.Exp(b.Neg(x)) }},
		{"gauss", -inf, inf, math.Sqrt(math.Pi), func(b *Builder, x Expr) Expr { return b.Exp(b.Neg(b.PowInt(x, 2))) }},
		{"cauchy", -inf, inf, math.Pi, func(b *Builder, x Expr) Expr { return b.Div(num(b, 1), b.Add(num(b, 1), b.PowInt(x, 2))) }},
		{"x^-2 from 1", 1, inf, 1, func(b *Builder, x Expr) Expr { return b.PowInt(x, -2) }},
		{"kink", 0, 1, 0.29*0.29/2 + 0.71*0.71/2, func(b *Builder, x Expr) Expr { return b.Abs(b.Sub(x, num(b, 0.29))) }},
		{"step", 0, 1, 0.3 + 2*0.7, func(b *Builder, x Expr) Expr { return b.If(b.Less(x, num(b, 0.3)), num(b, 1), num(b, 2)) }},
		{"floor", 0, 5.5, 10 + 2.5, func(b *Builder, x Expr) Expr { return b.Floor(x) }},
		{"sqrt", 0, 1, 2.0 / 3, func(b *Builder, x Expr) Expr { return b.Sqrt(x) }},
		{"invsqrt", 0, 1, 2, func(b *Builder, x Expr) Expr { return b.Div(num(b, 1), b.Sqrt(x)) }},
		{"invsqrt right", 0, 1, 2, func(b *Builder, x Expr) Expr { return b.Div(num(b, 1), b.Sqrt(b.Sub(num(b, 1), x))) }},
		{"arcsin", -1, 1, math.Pi, func(b *Builder, x Expr) Expr {
			return b.Div(num(b, 1), b.Sqrt(b.Sub(num(b, 1), b.PowInt(x, 2))))
		}},
		{"x^-0.99", 0, 1, 100, func(b *Builder, x Expr) Expr { return b.Pow(x, num(b, -0.99)) }},
		{"ln", 0, 1, -1, func(b *Builder, x Expr) Expr { return b.Ln(x) }},
		{"ln both", 0, 1, 2 - math.Pi*math.Pi/6, func(b *Builder, x Expr) Expr { return b.Mul(b.Ln(x), b.Ln(b.Sub(num(b, 1), x))) }},
		{"sinc", 0, math.Pi, 1.851937051982466170361, func(b *Builder, x Expr) Expr { return b.Div(b.Sin(x), x) }},
		{"narrow", 0, 1, 1e-3 * math.Sqrt(math.Pi), func(b *Builder, x Expr) Expr {
			return b.Exp(b.Neg(b.PowInt(b.Div(b.Sub(x, num(b, 0.371)), num(b, 1e-3)), 2)))
		}},
		{"oscillating", 0, 1, math.Pow(math.Sin(500), 2) / 500, func(b *Builder, x Expr) Expr { return b.Sin(b.Mul(num(b, 1000), x)) }},
		{"floor of 1000x", 0, 1, 499.5, func(b *Builder, x Expr) Expr { return b.Floor(b.Mul(num(b, 1000), x)) }},
		{"max", 0, 2, 2.0 + (2-math.Sqrt2)*0 + (8-2*math.Sqrt2)/3 - 2*(2-math.Sqrt2) + 2, func(b *Builder, x Expr) Expr {
			return b.Max(num(b, 2), b.PowInt(x, 2))
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e, err := Integrate(function(c.f), nil, point(c.a), point(c.b), Options{})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%.17g ± %.2g, exact %.17g, %d points, work %d, %v at %g", e.Value, (e.High-e.Low)/2, c.exact, e.Evaluations, e.Work, e.Reason, e.Where)
			if !e.Certain {
				t.Fatal(e.Reason)
			}
			if slack := 4 * ulp * math.Abs(c.exact); c.exact < e.Low-slack || c.exact > e.High+slack {
				t.Errorf("%v misses %v", e.Interval(), c.exact)
			}
			if w := e.High - e.Low; w > 1e-12*math.Max(math.Abs(c.exact), 1) {
				t.Errorf("width %g", w)
			}
		})
	}
	_ = interval.Pi
}
