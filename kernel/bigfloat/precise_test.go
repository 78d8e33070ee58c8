package bigfloat

import (
	"encoding/csv"
	"errors"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var byName = map[string]func(Value) (Value, error){
	"exp": Exp, "ln": Ln, "log10": Log10, "sqrt": Sqrt, "sin": Sin, "cos": Cos, "tan": Tan,
	"asin": Asin, "acos": Acos, "atan": Atan,
	"pi": func(Value) (Value, error) { return Pi(), nil },
	"integral 1/(1+x)^4": over(func(x Value) (Value, error) {
		y, _ := Add(Int(1), x)
		return PowInt(y, -4)
	}),
	"integral exp(-x^2)": over(func(x Value) (Value, error) {
		y, _ := Mul(x, x)
		return Exp(Neg(y))
	}),
	"integral 1/(1+x^2)": over(func(x Value) (Value, error) {
		y, _ := Mul(x, x)
		y, _ = Add(y, Int(1))
		return Div(Int(1), y)
	}),
	"integral 1/sqrt(x)": over(func(x Value) (Value, error) {
		y, err := Sqrt(x)
		if err != nil {
			return y, err
		}
		return Div(Int(1), y)
	}),
	"integral ln(x)": over(Ln),
	"integral sqrt(a^2-x^2)": func(a Value) (Value, error) {
		return Integrate(func(x Value) (Value, error) {
			p, _ := Add(a, x)
			q, _ := Sub(a, x)
			y, _ := Mul(p, q)
			return Sqrt(y)
		}, Int(0), a)
	},
	"root x^3+x-a": func(a Value) (Value, error) {
		return Root(func(x Value) (Value, error) {
			y, _ := PowInt(x, 3)
			y, _ = Add(y, x)
			return Sub(y, a)
		}, Int(-1), Int(10))
	},
	"limit (1+1/n)^n": func(Value) (Value, error) {
		h, _ := Rat(big.NewRat(1, 64))
		return Extrapolate(func(x Value) (Value, error) {
			n, _ := Div(Int(1), x)
			y, _ := Add(Int(1), x)
			return Pow(y, n)
		}, h)
	},
}

func over(f Func) func(Value) (Value, error) {
	return func(a Value) (Value, error) { return Integrate(f, Int(0), a) }
}

// Values by mpmath at 80 digits, see testdata/generate.py. Each must lie within
// the radius, and the radius must be small: 50 digits for functions, 25 for
// integrals, 20 for limits.
func TestAgainstMpmath(t *testing.T) {
	f, err := os.Open("testdata/functions.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		x, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		arg, err := Float(x)
		if err != nil {
			t.Fatal(err)
		}
		got, err := byName[row[0]](arg)
		if err != nil {
			t.Errorf("%s %s: %v", row[0], row[1], err)
			continue
		}
		want, _, err := big.ParseFloat(row[2], 10, 400, big.ToNearestEven)
		if err != nil {
			t.Fatal(err)
		}
		off, _ := new(big.Float).SetPrec(400).Sub(want, got.mid).Float64()
		size, _ := want.Float64()
		size = math.Abs(size)
		if math.Abs(off) > got.rad+size*1e-62 {
			t.Errorf("%s %s: off by %g, radius %g", row[0], row[1], off, got.rad)
		}
		digits := 1e-50
		switch {
		case strings.HasPrefix(row[0], "integral"):
			digits = 1e-25
		case strings.HasPrefix(row[0], "limit"):
			digits = 1e-20
		}
		if bare := !strings.Contains(row[0], " "); got.Estimated() == bare {
			t.Errorf("%s: the radius counts as an estimate: %v", row[0], got.Estimated())
		}
		if got.rad > digits*math.Max(size, 1) {
			t.Errorf("%s %s: radius %g is too large", row[0], row[1], got.rad)
		}
	}
}

// Arithmetic against exact fractions: the true value lies within the radius.
func TestArithmeticEncloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Custom(func(t *rapid.T) *big.Rat {
			return big.NewRat(rapid.Int64Range(-1e12, 1e12).Draw(t, "num"), rapid.Int64Range(1, 1e9).Draw(t, "den"))
		})
		a, b := number.Draw(t, "a"), number.Draw(t, "b")
		x, _ := Rat(a)
		y, _ := Rat(b)
		exact := new(big.Rat)
		for _, op := range []struct {
			name string
			f    func(x, y Value) (Value, error)
			want func() *big.Rat
		}{
			{"+", Add, func() *big.Rat { return exact.Add(a, b) }},
			{"−", Sub, func() *big.Rat { return exact.Sub(a, b) }},
			{"·", Mul, func() *big.Rat { return exact.Mul(a, b) }},
			{"/", Div, func() *big.Rat { return exact.Quo(a, b) }},
		} {
			if op.name == "/" && b.Sign() == 0 {
				continue
			}
			got, err := op.f(x, y)
			if err != nil {
				t.Fatalf("%v %s %v: %v", a, op.name, b, err)
			}
			off := new(big.Float).SetPrec(600).SetRat(op.want())
			distance, _ := off.Sub(off, got.mid).Float64()
			if math.Abs(distance) > got.rad {
				t.Fatalf("%v %s %v: off by %g, radius %g", a, op.name, b, distance, got.rad)
			}
		}
	})
}

func TestErrors(t *testing.T) {
	zero, third := Int(0), mustRat(t, 1, 3)
	nothing, _ := Sub(third, third)
	tests := []struct {
		name string
		err  error
		want error
	}{
		{"1/0", second(Div(Int(1), zero)), ErrDivide},
		{"1/(⅓−⅓)", second(Div(Int(1), nothing)), ErrDivide},
		{"√−1", second(Sqrt(Int(-1))), ErrDomain},
		{"ln 0", second(Ln(zero)), ErrDomain},
		{"asin 2", second(Asin(Int(2))), ErrDomain},
		{"exp 1000", second(Exp(Int(1000))), ErrRange},
		{"10^4000", second(PowInt(Int(10), 4000)), ErrRange},
		{"float NaN", second(Float(math.NaN())), ErrRange},
		{"decimal", second(Decimal("no number")), ErrRange},
		{"sin 1e9", second(Sin(Int(1e9))), ErrRange},
		{"∫1/x from 0", second(Integrate(func(x Value) (Value, error) { return Div(Int(1), x) }, zero, Int(1))), ErrConverge},
		{"root without a sign change", second(Root(func(x Value) (Value, error) { return Int(1), nil }, zero, Int(1))), ErrDomain},
		{"limit of 1/x", second(Extrapolate(func(x Value) (Value, error) { return Div(Int(1), x) }, Int(1))), ErrConverge},
	}
	for _, test := range tests {
		if !errors.Is(test.err, test.want) {
			t.Errorf("%s: got %v, want %v", test.name, test.err, test.want)
		}
	}
}

func mustRat(t *testing.T, a, b int64) Value {
	v, err := Rat(big.NewRat(a, b))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func second(_ Value, err error) error { return err }

func TestCompare(t *testing.T) {
	third := mustRat(t, 1, 3)
	near, _ := Decimal("0.33333333333333333333333333333333334") // 34 digits right
	apart, _ := Decimal("0.333333333333333333333333333334")     // 29 digits right
	square, _ := Mul(third, Int(3))
	if got := Compare(square, Int(1), 50, 0); got != Agrees {
		t.Errorf("3·⅓ and 1: %v", got)
	}
	if got := Compare(third, near, 30, 0); got != Apart && got != Agrees {
		t.Errorf("to 30 of 34 digits: %v", got)
	}
	if got := Compare(third, apart, 30, 0); got != Apart {
		t.Errorf("29 digits: %v", got)
	}
	loose := Value{mid: third.mid, rad: 1e-10}
	if got := Compare(loose, third, 30, 0); got != Unclear {
		t.Errorf("a loose value: %v", got)
	}
}

func BenchmarkMul(b *testing.B) {
	x, y := Pi(), mustFinish(constants().ln2)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Mul(x, y); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkIntegrate(b *testing.B) {
	f := byName["integral 1/(1+x)^4"]
	for b.Loop() {
		if _, err := f(Int(2)); err != nil {
			b.Fatal(err)
		}
	}
}

func TestBetweenCoversItsEnds(t *testing.T) {
	a, b := Int(-1), Int(3)
	v, err := Between(a, b)
	if err != nil || v.Float64()-v.Radius() > -1 || v.Float64()+v.Radius() < 3 || v.Sign() != 0 {
		t.Errorf("%v ± %v, %v", v.Float64(), v.Radius(), err)
	}
}
