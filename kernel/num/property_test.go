package num

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// smoothFunction draws a sum of waves, a taper's flexibility and a cubic: what
// a lesson integrates.
func smoothFunction(t *rapid.T, label string) func(float64) float64 {
	amplitude := rapid.Float64Range(-3, 3).Draw(t, label+" amplitude")
	frequency := rapid.Float64Range(0, 12).Draw(t, label+" frequency")
	slope := rapid.Float64Range(0, 4).Draw(t, label+" slope")
	cubic := rapid.Float64Range(-2, 2).Draw(t, label+" cubic")
	return func(x float64) float64 {
		d := 1 + slope*(x+3)
		return amplitude*math.Sin(frequency*x) + 1/(d*d*d*d) + cubic*x*x*x
	}
}

func mustIntegrate(t *rapid.T, f func(float64) float64, a, b float64) Integral {
	got, err := Integrate(blocks(f), a, b, Options{AbsTol: 1e-11, RelTol: 1e-11})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func agree(t *rapid.T, what string, got, want, doubt float64) {
	t.Helper()
	if math.Abs(got-want) > doubt+8*ulp*(math.Abs(got)+math.Abs(want)) {
		t.Fatalf("%s: %.17g and %.17g differ by more than %.2g", what, got, want, doubt)
	}
}

func TestIntegrateProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, g := smoothFunction(t, "f"), smoothFunction(t, "g")
		a, b := rapid.Float64Range(-3, 3).Draw(t, "a"), rapid.Float64Range(-3, 3).Draw(t, "b")
		c := rapid.Float64Range(-3, 3).Draw(t, "c")
		k := rapid.Float64Range(-5, 5).Draw(t, "k")

		whole := mustIntegrate(t, f, a, b)
		reversed := mustIntegrate(t, f, b, a)
		if reversed.Value != -whole.Value {
			t.Fatalf("reversed limits: %g and %g", reversed.Value, whole.Value)
		}
		first, second := mustIntegrate(t, f, a, c), mustIntegrate(t, f, c, b)
		agree(t, "split", first.Value+second.Value, whole.Value, first.ErrorEstimate+second.ErrorEstimate+whole.ErrorEstimate)

		other := mustIntegrate(t, g, a, b)
		both := mustIntegrate(t, func(x float64) float64 { return f(x) + k*g(x) }, a, b)
		agree(t, "linear", both.Value, whole.Value+k*other.Value,
			both.ErrorEstimate+whole.ErrorEstimate+math.Abs(k)*other.ErrorEstimate)

		stretch := rapid.Float64Range(0.1, 10).Draw(t, "stretch")
		substituted := mustIntegrate(t, func(u float64) float64 { return f(u*stretch) * stretch }, a/stretch, b/stretch)
		agree(t, "substitution", substituted.Value, whole.Value, substituted.ErrorEstimate+whole.ErrorEstimate+100*ulp*(math.Abs(a)+math.Abs(b))) // the ends are rounded
	})
}

// A kink or a cusp, but for the outermost 1/100 of the range, stays within the
// error estimate: ∫₀¹ |x−c|^p dx = (c^(p+1) + (1−c)^(p+1))/(p+1). No estimate
// from points is certain: of 30 000 such integrals at tolerances from 1e-3 to
// 1e-12, 0.4 % were off by more; QUADPACK's rule alone let 3.5 % through.
func TestIntegrateKinks(t *testing.T) {
	const count = 4000
	r := rand.New(rand.NewPCG(1, 2))
	beyond := 0
	for range count {
		c, p, background := 0.01+0.98*r.Float64(), 0.2+4.8*r.Float64(), 6*r.Float64()-3
		tolerance := math.Pow(10, -3-9*r.Float64())
		f := func(x float64) float64 { return math.Pow(math.Abs(x-c), p) + background*math.Cos(x) }
		exact := (math.Pow(c, p+1)+math.Pow(1-c, p+1))/(p+1) + background*math.Sin(1)
		got, err := Integrate(blocks(f), 0, 1, Options{AbsTol: tolerance})
		if err != nil {
			t.Fatalf("c = %g, p = %g: %v", c, p, err)
		}
		miss := math.Abs(got.Value - exact)
		if miss > got.ErrorEstimate {
			beyond++
		}
		if miss > 100*got.ErrorEstimate {
			t.Errorf("c = %g, p = %g, tolerance %.2g: off by %.2g, estimate %.2g", c, p, tolerance, miss, got.ErrorEstimate)
		}
	}
	if beyond > count/100 {
		t.Errorf("%d of %d are beyond their estimates", beyond, count)
	}
}

// ∫₀ᵇ x^p dx = b^(p+1)/(p+1) for every p > −1 that float64 can hold.
func TestIntegratePowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(-2, 4).Draw(t, "p")
		b := rapid.Float64Range(0.01, 100).Draw(t, "b")
		got, err := Integrate(blocks(func(x float64) float64 { return math.Pow(x, p) }), 0, b, Options{})
		exact := math.Pow(b, p+1) / (p + 1)
		var divergent *DivergentError
		var short *NotConvergedError
		switch {
		case errors.As(err, &divergent):
			if p > noIntegral {
				t.Fatalf("x^%g refused: %v", p, err)
			}
		case errors.As(err, &short):
			if p > -0.95 || p < -1 {
				t.Fatalf("x^%g: %v", p, err)
			}
		case err != nil:
			t.Fatal(err)
		case p <= -1:
			t.Fatalf("x^%g answered: %v", p, got)
		case math.Abs(got.Value-exact) > got.ErrorEstimate+16*ulp*exact:
			t.Fatalf("x^%g to %g: %g ± %g, exact %g", p, b, got.Value, got.ErrorEstimate, exact)
		}
	})
}

// The root of a monotone function is found wherever it lies.
func TestFindRootProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-10, 10).Draw(t, "at")
		steep := rapid.Float64Range(0.1, 5).Draw(t, "steep")
		f := func(x float64) float64 { u := steep * (x - at); return u + u*u*u }
		got, err := FindRoot(blocks(f), -10, 10, Options{})
		if err != nil || math.Abs(got.X-at) > 4*spacing(at) {
			t.Fatalf("got %v, %v, want %g", got, err, at)
		}
	})
}

// Whatever the function does, a method returns a finite value or an error.
func FuzzMethods(f *testing.F) {
	f.Add(0.0, 1.0, -1.0, 0.5, uint8(0))
	f.Add(-1.0, 1.0, 0.5, 0.0, uint8(3))
	f.Add(0.0, 1e300, 2.0, 1e-300, uint8(5))
	f.Add(1.0, 1.0000000000000002, 2.0, 1.0, uint8(2))
	f.Fuzz(func(t *testing.T, a, b, p, c float64, kind uint8) {
		g := func(x float64) float64 {
			switch kind % 6 {
			case 0:
				return math.Pow(math.Abs(x-c), p)
			case 1:
				return math.Log(x-c) * p
			case 2:
				return math.Sin(p / (x - c))
			case 3:
				return 1 / (math.Exp(p*(x-c)) - 1)
			case 4:
				return math.Copysign(p, math.Sin(1/(x-c)))
			}
			return math.Tan(p*x) + c
		}
		o := Options{MaxEvaluations: 20_000}
		if got, err := Integrate(blocks(g), a, b, o); err == nil && (!finite(got.Value) || !finite(got.ErrorEstimate)) {
			t.Errorf("integral %v", got)
		}
		if got, err := FindRoot(blocks(g), a, b, o); err == nil && !finite(got.X) {
			t.Errorf("root %v", got)
		}
		if got, err := FindExtreme(blocks(g), a, b, true, o); err == nil && !finite(got.Value) {
			t.Errorf("extreme %v", got)
		}
		if got, doubt, err := Differentiate(blocks(g), a, b, o); err == nil && (!finite(got) || !finite(doubt)) {
			t.Errorf("derivative %g ± %g", got, doubt)
		}
	})
}
