package interval

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// anyFloat draws finite numbers of every size, often ones that cancel.
var anyFloat = rapid.Custom(func(t *rapid.T) float64 {
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return float64(rapid.IntRange(-8, 8).Draw(t, "small"))
	case 1:
		return rapid.Float64Range(-2, 2).Draw(t, "unit")
	}
	bits := rapid.Uint64().Draw(t, "bits")
	if v := math.Float64frombits(bits); finite(v) {
		return v
	}
	return math.Float64frombits(bits &^ (1 << 62))
})

var anyBracket = rapid.Custom(func(t *rapid.T) Interval {
	a, b := anyFloat.Draw(t, "a"), anyFloat.Draw(t, "b")
	if rapid.IntRange(0, 3).Draw(t, "point") == 0 {
		b = a
	}
	return Interval{min(a, b), max(a, b)}
})

func rat(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

// tightest reports whether lo and hi are the float64 next to the exact ends.
func tightest(b Interval, lo, hi *big.Rat) bool {
	return tightDown(b.Lo, lo) && tightDown(-b.Hi, new(big.Rat).Neg(hi))
}

func tightDown(v float64, exact *big.Rat) bool {
	if rat(v).Cmp(exact) > 0 {
		return false
	}
	next := above(v)
	return math.IsInf(next, 0) || rat(next).Cmp(exact) > 0 || math.Abs(v) < tiny
}

// small reports whether an end of x is so small that a quotient's remainder may
// underflow, where Div only promises to be one unit from the tightest.
func small(x Interval) bool {
	return x.Lo != 0 && math.Abs(x.Lo) < tiny || x.Hi != 0 && math.Abs(x.Hi) < tiny
}

// extremes returns the least and greatest of f over the corners of x and y.
func extremes(x, y Interval, f func(z, a, b *big.Rat) *big.Rat) (lo, hi *big.Rat) {
	for _, a := range [...]float64{x.Lo, x.Hi} {
		for _, b := range [...]float64{y.Lo, y.Hi} {
			v := f(new(big.Rat), rat(a), rat(b))
			if lo == nil || v.Cmp(lo) < 0 {
				lo = v
			}
			if hi == nil || v.Cmp(hi) > 0 {
				hi = v
			}
		}
	}
	return lo, hi
}

// TestArithmeticExact compares +, −, ·, / and √ with exact rationals: the
// bracket is the tightest there is.
func TestArithmeticExact(t *testing.T) {
	ops := map[string]struct {
		f     func(x, y Interval) (Interval, error)
		exact func(z, a, b *big.Rat) *big.Rat
	}{
		"add": {Add, (*big.Rat).Add},
		"sub": {Sub, (*big.Rat).Sub},
		"mul": {Mul, (*big.Rat).Mul},
		"div": {Div, (*big.Rat).Quo},
	}
	for name, op := range ops {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				x, y := anyBracket.Draw(t, "x"), anyBracket.Draw(t, "y")
				got, err := op.f(x, y)
				if name == "div" && y.Contains(0) {
					if !errors.Is(err, ErrDivideByZero) {
						t.Fatalf("%v / %v: %v, %v", x, y, got, err)
					}
					return
				}
				lo, hi := extremes(x, y, op.exact)
				if err != nil {
					largest := rat(math.MaxFloat64)
					if !errors.Is(err, ErrOverflow) || new(big.Rat).Abs(lo).Cmp(largest) <= 0 && new(big.Rat).Abs(hi).Cmp(largest) <= 0 {
						t.Fatalf("%s %v %v: %v", name, x, y, err)
					}
					return
				}
				if !tightest(got, lo, hi) && !(name == "div" && small(x)) {
					t.Fatalf("%s %v %v = %v", name, x, y, got)
				}
			})
		})
	}
}

func TestSqrtExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := Abs(anyBracket.Draw(t, "x"))
		got, err := Sqrt(x)
		if err != nil {
			t.Fatal(err)
		}
		square := func(v float64) *big.Rat { return new(big.Rat).Mul(rat(v), rat(v)) }
		if square(got.Lo).Cmp(rat(x.Lo)) > 0 || square(got.Hi).Cmp(rat(x.Hi)) < 0 {
			t.Fatalf("√%v = %v does not hold the root", x, got)
		}
		if x.Lo > tiny && (square(above(got.Lo)).Cmp(rat(x.Lo)) <= 0 || square(below(got.Hi)).Cmp(rat(x.Hi)) >= 0) {
			t.Fatalf("√%v = %v is not the tightest", x, got)
		}
	})
}

// TestPowIntExact compares whole powers with exact rationals.
func TestPowIntExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, n := anyBracket.Draw(t, "x"), rapid.IntRange(-12, 12).Draw(t, "n")
		got, err := PowInt(x, n)
		if n < 0 && x.Contains(0) {
			if !errors.Is(err, ErrDivideByZero) {
				t.Fatalf("%v^%d: %v, %v", x, n, got, err)
			}
			return
		}
		if errors.Is(err, ErrOverflow) {
			largest := max(math.Abs(x.Lo), math.Abs(x.Hi))
			if n < 0 {
				largest = 1 / min(math.Abs(x.Lo), math.Abs(x.Hi))
			}
			if math.Pow(largest, math.Abs(float64(n))) < 1e307 {
				t.Fatalf("%v^%d: %v", x, n, err)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{x.Lo, x.Hi, x.Mid()} {
			exact := rat(1)
			for range max(n, -n) {
				exact.Mul(exact, rat(v))
			}
			if n < 0 {
				exact.Inv(exact)
			}
			if rat(got.Lo).Cmp(exact) > 0 || rat(got.Hi).Cmp(exact) < 0 {
				t.Fatalf("%v^%d = %v does not hold the power of %v", x, n, got, v)
			}
		}
		if n%2 == 0 && got.Lo < 0 {
			t.Fatalf("%v^%d = %v reaches below 0", x, n, got)
		}
	})
}

// TestIsotonic checks that a bracket inside another gives a result inside the
// other's, and that a random point's value lies in both.
func TestIsotonic(t *testing.T) {
	ops := map[string]func(x, y Interval) (Interval, error){"add": Add, "sub": Sub, "mul": Mul, "div": Div}
	rapid.Check(t, func(t *rapid.T) {
		x, y := anyBracket.Draw(t, "x"), anyBracket.Draw(t, "y")
		inner := Interval{x.Mid(), x.Hi}
		for name, op := range ops {
			outer, err := op(x, y)
			if err != nil {
				continue
			}
			got, err := op(inner, y)
			if err != nil || !outer.Encloses(got) {
				t.Fatalf("%s: %v of %v is not in %v of %v (%v)", name, got, inner, outer, x, err)
			}
		}
		for name, f := range unary {
			outer, err := f(x)
			if err != nil {
				continue
			}
			got, err := f(whole(x.Mid()))
			if err != nil {
				t.Fatalf("%s of %v: %v", name, x.Mid(), err)
			}
			// Both hold the true value, so they meet.
			if _, ok := Intersect(outer, got); !ok {
				t.Fatalf("%s: %v of the middle is not in %v of %v", name, got, outer, x)
			}
			if !finite(outer.Lo) || !finite(outer.Hi) || outer.Lo > outer.Hi {
				t.Fatalf("%s of %v = %v", name, x, outer)
			}
		}
	})
}

// TestSum checks the compensated sum against exact rationals.
func TestSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 40).Draw(t, "values")
		var sum Sum
		exact := new(big.Rat)
		size := 0.0
		for _, v := range values {
			sum.Add(whole(v))
			exact.Add(exact, rat(v))
			size += math.Abs(v)
		}
		got, err := sum.Value()
		if err != nil {
			t.Fatal(err)
		}
		if rat(got.Lo).Cmp(exact) > 0 || rat(got.Hi).Cmp(exact) < 0 {
			t.Fatalf("sum = %v does not hold %v", got, exact)
		}
		// Two units in the last place of the result at most, and roundings of the roundings.
		if wide := got.Hi - got.Lo; wide > 4.5e-16*math.Abs(got.Lo)+1e-29*size {
			t.Fatalf("sum = %v is %g wide", got, wide)
		}
	})
}

func wantError(t *testing.T, got Interval, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Fatalf("got %v, %v; want %v", got, err, want)
	}
	var e *Error
	if !errors.As(err, &e) || e.Op == "" || e.Error() == "" {
		t.Fatalf("%v does not say what failed", err)
	}
	if got != (Interval{}) {
		t.Fatalf("an error came with the bracket %v", got)
	}
}

// TestMulCorners compares the products that Mul chooses by sign with all four.
func TestMulCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := anyBracket.Draw(t, "x"), anyBracket.Draw(t, "y")
		lo := min(mulDown(x.Lo, y.Lo), mulDown(x.Lo, y.Hi), mulDown(x.Hi, y.Lo), mulDown(x.Hi, y.Hi))
		hi := max(mulUp(x.Lo, y.Lo), mulUp(x.Lo, y.Hi), mulUp(x.Hi, y.Lo), mulUp(x.Hi, y.Hi))
		want, wantErr := checked("product", x, lo, hi)
		got, err := Mul(x, y)
		if (err != nil) != (wantErr != nil) || got != want {
			t.Fatalf("%v · %v = %v, %v; want %v, %v", x, y, got, err, want, wantErr)
		}
	})
}
