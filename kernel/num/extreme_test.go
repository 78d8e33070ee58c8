package num

import (
	"errors"
	"math"
	"testing"
)

func TestFindExtreme(t *testing.T) {
	cases := []struct {
		name    string
		f       func(float64) float64
		a, b    float64
		largest bool
		x, y    float64
		atEnd   bool
	}{
		{"sine hump", math.Sin, 0, 3, true, math.Pi / 2, 1, false},
		{"sine at its lower end", math.Sin, 0, 3, false, 0, 0, true},
		{"upper end", math.Exp, 0, 2, true, 2, math.Exp(2), true},
		{"reversed range", math.Exp, 2, 0, true, 2, math.Exp(2), true},
		{"x ln x", func(x float64) float64 { return x * math.Log(x) }, 0.1, 1, false, 1 / math.E, -1 / math.E, false},
		{"kink", func(x float64) float64 { return math.Abs(x - 1.0/3) }, 0, 1, false, 1.0 / 3, 0, false},
		{"best of many", func(x float64) float64 { return math.Sin(20*x) + x/10 }, 0, 3, true, (math.Pi/2 + 18*math.Pi + math.Asin(0.005)) / 20, math.Sqrt(1-0.005*0.005) + (math.Pi/2+18*math.Pi+math.Asin(0.005))/200, false},
		{"constant", func(float64) float64 { return 4 }, 0, 1, true, 0, 4, true},
		{"first step off the end", func(x float64) float64 { return math.Exp(-1000*x) - math.Exp(-3000*x) }, 0, 1, true, math.Log(3) / 2000, 2 / (3 * math.Sqrt(3)), false},
		{"single point", math.Exp, 1, 1, true, 1, math.E, true},
	}
	for _, c := range cases {
		got, err := FindExtreme(blocks(c.f), c.a, c.b, c.largest, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if math.Abs(got.Value-c.y) > 1e-15*max(1, math.Abs(c.y)) {
			t.Errorf("%s: value %.15g, want %.15g", c.name, got.Value, c.y)
		}
		if math.Abs(got.X-c.x) > 1e-7 {
			t.Errorf("%s: at %.15g, want %.15g", c.name, got.X, c.x)
		}
		if got.AtEnd != c.atEnd {
			t.Errorf("%s: at an end: %t", c.name, got.AtEnd)
		}
		if c.f(got.X) != got.Value {
			t.Errorf("%s: the value is not the value at X", c.name)
		}
	}
}

func TestFindExtremeRefuses(t *testing.T) {
	var unbounded *UnboundedError
	if got, err := FindExtreme(blocks(func(x float64) float64 { return 1 / math.Pow(x-0.37, 2) }), 0, 1, true, Options{}); !errors.As(err, &unbounded) || math.Abs(unbounded.Where-0.37) > 1e-6 {
		t.Errorf("pole: %v, %v", got, err)
	}
	var undefined *UndefinedError
	if got, err := FindExtreme(blocks(math.Log), 0, 1, false, Options{}); !errors.As(err, &undefined) || undefined.Where != 0 {
		t.Errorf("−∞ at an end: %v, %v", got, err)
	}
	var ends *RangeError
	if _, err := FindExtreme(blocks(math.Log), 0, math.Inf(1), false, Options{}); !errors.As(err, &ends) {
		t.Errorf("no range: %v", err)
	}
}

func TestDifferentiate(t *testing.T) {
	cases := []struct {
		name  string
		f     func(float64) float64
		x     float64
		scale float64
		want  float64
	}{
		{"exp", math.Exp, 1, 1, math.E},
		{"sin at 0", math.Sin, 0, 1, 1},
		{"cos at 0", math.Cos, 0, 1, 0},
		{"x⁴", func(x float64) float64 { return x * x * x * x }, 3, 3, 108},
		{"√x", math.Sqrt, 1e-6, 1e-6, 500},
		{"√x, scale beyond the end", math.Sqrt, 1, 20, 0.5},
		{"tan (Ridders' kind of trouble)", math.Tan, 1.5, 0.07, 1 / math.Pow(math.Cos(1.5), 2)},
		{"taper flexibility", taper(5), 0.25, 1, -16.0 / 32},
		{"constant", func(float64) float64 { return 7 }, 2, 1, 0},
	}
	for _, c := range cases {
		got, doubt, err := Differentiate(blocks(c.f), c.x, c.scale, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		miss := math.Abs(got - c.want)
		if miss > doubt+4*ulp*math.Abs(c.want) || doubt > 1e-8*max(1, math.Abs(c.want)) {
			t.Errorf("%s: got %.15g ± %.2g, want %.15g", c.name, got, doubt, c.want)
		}
	}
	var kink *NoDerivativeError
	if got, doubt, err := Differentiate(blocks(func(x float64) float64 { return math.Copysign(1, x) }), 0, 1, Options{}); !errors.As(err, &kink) {
		t.Errorf("jump: %g ± %g, %v", got, doubt, err)
	}
	var undefined *UndefinedError
	if _, _, err := Differentiate(blocks(math.Sqrt), -1, 1, Options{}); !errors.As(err, &undefined) {
		t.Errorf("undefined: %v", err)
	}
	var ends *RangeError
	if _, _, err := Differentiate(blocks(math.Sqrt), 1, 0, Options{}); !errors.As(err, &ends) {
		t.Errorf("no scale: %v", err)
	}
}
