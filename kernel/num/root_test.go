package num

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// Values to 17 digits by mpmath's findroot unless a closed form is given.
func TestFindRoot(t *testing.T) {
	cases := []struct {
		name   string
		f      func(float64) float64
		a, b   float64
		want   float64
		others int
	}{
		{"cos x = x (Dottie number)", func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.73908513321516064, 0},
		{"x³ − 2x − 5 (Wallis 1685)", func(x float64) float64 { return x*x*x - 2*x - 5 }, 2, 3, 2.0945514815423266, 0},
		{"√2", func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2, 0},
		{"flat: (x−0.3)³", func(x float64) float64 { return math.Pow(x-0.3, 3) }, 0, 1, 0.3, 0},
		{"steep: cube root of x − 0.3", func(x float64) float64 { return math.Cbrt(x - 0.3) }, 0, 1, 0.3, 0},
		{"at the lower end", func(x float64) float64 { return x * (x + 3) }, 0, 1, 0, 0},
		{"at the upper end", func(x float64) float64 { return 1 - x }, 0, 1, 1, 0},
		{"at 0 inside", func(x float64) float64 { return math.Expm1(x) }, -1, 2, 0, 0},
		{"first of several", math.Sin, 1, 10, math.Pi, 2},
		{"walking backwards", math.Sin, 10, 1, 3 * math.Pi, 2},
		{"past a pole", func(x float64) float64 { return (x - 2) / (x - 0.7) }, 0, 3, 2, 0},
		{"tan: a root after its pole", math.Tan, 1, 4, math.Pi, 0},
		{"tiny scale", func(x float64) float64 { return x - 3e-200 }, 0, 1e-199, 3e-200, 0},
		{"diameter of a shaft for a stress, T = 420 N·m, τ = 40 MPa", func(d float64) float64 {
			return 16*420/(math.Pi*d*d*d) - 40e6
		}, 0.01, 0.1, math.Cbrt(16 * 420 / (math.Pi * 40e6)), 0},
		{"no value before 1", func(x float64) float64 { return math.Sqrt(x-1) - 0.5 }, 0, 2, 1.25, 0},
		{"two roots close together", func(x float64) float64 { return (x - 0.5001) * (x - 0.5002) }, 0, 1, 0.5001, 1},
	}
	for _, c := range cases {
		got, err := FindRoot(blocks(c.f), c.a, c.b, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if math.Abs(got.X-c.want) > 4*ulp*math.Abs(c.want) && c.name != "flat: (x−0.3)³" || math.Abs(got.X-c.want) > 1e-5 {
			t.Errorf("%s: got %.17g, want %.17g", c.name, got.X, c.want)
		}
		if got.Low > got.X || got.High < got.X || got.High-got.Low > 4*max(spacing(got.Low), spacing(got.High)) {
			t.Errorf("%s: bracket [%.17g, %.17g] around %.17g", c.name, got.Low, got.High, got.X)
		}
		if got.Low < got.High && (c.f(got.Low) > 0) == (c.f(got.High) > 0) {
			t.Errorf("%s: no change of sign in the bracket", c.name)
		}
		if got.Others != c.others {
			t.Errorf("%s: %d other roots, want %d", c.name, got.Others, c.others)
		}
		if got.Evaluations > scanPoints+120 {
			t.Errorf("%s: %d evaluations", c.name, got.Evaluations)
		}
	}
}

func TestFindRootTouching(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func(float64) float64
		want float64
	}{
		{"(x−0.3)²", func(x float64) float64 { return (x - 0.3) * (x - 0.3) }, 0.3},
		{"1 − sin x", func(x float64) float64 { return 1 - math.Sin(x) }, math.Pi / 2},
		{"|x−0.3|", func(x float64) float64 { return math.Abs(x - 0.3) }, 0.3},
	} {
		got, err := FindRoot(blocks(c.f), 0, 3, Options{})
		if err != nil || !got.Touches && c.f(got.X) != 0 || math.Abs(got.X-c.want) > 1e-7 {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
}

func TestFindRootSaysWhyNot(t *testing.T) {
	cases := []struct {
		name string
		f    func(float64) float64
		a, b float64
		says string
	}{
		{"positive", func(x float64) float64 { return x*x + 1 }, -1, 2, "(2 at -1, 5 at 2)"},
		{"negative", func(x float64) float64 { return -1 - x }, 0, 1, "negative"},
		{"pole", func(x float64) float64 { return 1 / x }, -1, 2, "without bound"},
		{"pole on a point", func(x float64) float64 { return 1 / x }, -1, 1, "without bound"},
		{"jump", func(x float64) float64 { return math.Copysign(1, x-0.3) }, -1, 1, "0.3"},
		{"near miss", func(x float64) float64 { return (x-0.3)*(x-0.3) + 1e-9 }, 0, 1, "at 0.3"},
	}
	for _, c := range cases {
		got, err := FindRoot(blocks(c.f), c.a, c.b, Options{})
		var none *NoRootError
		if !errors.As(err, &none) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %+v, %v; want %q", c.name, got, err, c.says)
		}
	}
	var undefined *UndefinedError
	if _, err := FindRoot(blocks(math.Sqrt), -2, -1, Options{}); !errors.As(err, &undefined) {
		t.Errorf("nowhere defined: %v", err)
	}
	var ends *RangeError
	if _, err := FindRoot(blocks(math.Sin), 0, math.NaN(), Options{}); !errors.As(err, &ends) {
		t.Errorf("no range: %v", err)
	}
	var budget *BudgetError
	if _, err := FindRoot(blocks(math.Sin), 1, 4, Options{MaxEvaluations: 131}); !errors.As(err, &budget) {
		t.Errorf("budget: %v", err)
	}
}

func ExampleFindRoot() {
	r, err := FindRoot(func(dst, x []float64) error {
		for i := range x {
			dst[i] = x[i]*x[i] - 2
		}
		return nil
	}, 0, 2, Options{})
	fmt.Printf("%.12f, error: %v\n", r.X, err)
	// Output: 1.414213562373, error: <nil>
}
