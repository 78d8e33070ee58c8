package num

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// A problem is one row of testdata/integrals.csv with its integrand.
type problem struct {
	name   string
	f      func(float64) float64
	a, b   float64
	exact  float64
	source string
}

func lorentz(alpha float64) func(float64) float64 {
	return func(x float64) float64 {
		return math.Pow(4, -alpha) / ((x-math.Pi/4)*(x-math.Pi/4) + math.Pow(16, -alpha))
	}
}

func taper(beta float64) func(float64) float64 {
	return func(x float64) float64 {
		d := 1 + (beta-1)*x
		return 1 / (d * d * d * d)
	}
}

func sech(x float64) float64 { return 1 / math.Cosh(x) }

// integrands gives the functions of the battery, as its column integrand
// writes them.
var integrands = map[string]func(float64) float64{
	"quadpack-1":    func(x float64) float64 { return math.Pow(x, 2.6) * math.Log(1/x) },
	"quadpack-2-2":  lorentz(2),
	"quadpack-2-5":  lorentz(5),
	"quadpack-2-8":  lorentz(8),
	"quadpack-2-12": lorentz(12),
	"quadpack-3":    func(x float64) float64 { return math.Cos(math.Pow(2, 1.3) * math.Sin(x)) },
	"quadpack-7":    func(x float64) float64 { return math.Pow(math.Abs(x-1.0/3), 2.6) },
	"quadpack-10":   func(x float64) float64 { return math.Sin(x) * math.Sin(x) },
	"quadpack-12":   func(x float64) float64 { return math.Exp(20*(x-1)) * math.Sin(4*x) },
	"quadpack-15c":  func(x float64) float64 { return math.Log(x) / (1 + 100*x*x) },
	"quadpack-ln": func(x float64) float64 {
		l := math.Log(x)
		return l / ((1 + l*l) * (1 + l*l))
	},
	"quadpack-454":  func(x float64) float64 { return x * x * x * math.Log(math.Abs((x*x-1)*(x*x-2))) },
	"quadpack-dqag": func(x float64) float64 { return math.Cos(100 * math.Sin(x)) },
	"taper-1.5":     taper(1.5),
	"taper-5":       taper(5),
	"taper-50":      taper(50),
	"exp":           math.Exp,
	"step-0.3": func(x float64) float64 {
		if x < 0.3 {
			return 0
		}
		return 1
	},
	"sqrt":       math.Sqrt,
	"cosh-cos":   func(x float64) float64 { return 23.0/25*math.Cosh(x) - math.Cos(x) },
	"runge-like": func(x float64) float64 { return 1 / (x*x*x*x + x*x + 0.9) },
	"x^1.5":      func(x float64) float64 { return x * math.Sqrt(x) },
	"invsqrt":    func(x float64) float64 { return 1 / math.Sqrt(x) },
	"1/(1+x^4)":  func(x float64) float64 { return 1 / (1 + x*x*x*x) },
	"10pi":       func(x float64) float64 { return 2 / (2 + math.Sin(10*math.Pi*x)) },
	"1/(1+x)":    func(x float64) float64 { return 1 / (1 + x) },
	"1/(1+e^x)":  func(x float64) float64 { return 1 / (1 + math.Exp(x)) },
	"x/(e^x-1)":  func(x float64) float64 { return x / math.Expm1(x) },
	"sinc-100":   func(x float64) float64 { return math.Sin(100*math.Pi*x) / (math.Pi * x) },
	"gauss-50":   func(x float64) float64 { return math.Sqrt(50) * math.Exp(-50*math.Pi*x*x) },
	"25exp":      func(x float64) float64 { return 25 * math.Exp(-25*x) },
	"lorentz-50": func(x float64) float64 { return 50 / (math.Pi * (2500*x*x + 1)) },
	"sinc2-50":   func(x float64) float64 { u := 50 * math.Pi * x; return 50 * math.Pow(math.Sin(u)/u, 2) },
	"cos-nested": func(x float64) float64 {
		return math.Cos(math.Cos(x) + 3*math.Sin(x) + 2*math.Cos(2*x) + 3*math.Cos(3*x))
	},
	"ln":         math.Log,
	"bump-0.005": func(x float64) float64 { return 1 / (x*x + 0.005) },
	"sech3": func(x float64) float64 {
		return math.Pow(sech(10*(x-0.2)), 2) + math.Pow(sech(100*(x-0.4)), 4) + math.Pow(sech(1000*(x-0.6)), 6)
	},
	"x^-0.9":        func(x float64) float64 { return math.Pow(x, -0.9) },
	"(-x)^-0.9":     func(x float64) float64 { return math.Pow(-x, -0.9) },
	"x^-0.5-inside": func(x float64) float64 { return 1 / math.Sqrt(math.Abs(x)) },
	"kink-1/3":      func(x float64) float64 { return math.Abs(x - 1.0/3) },
	"pole-root-1/3": func(x float64) float64 { return 1 / math.Sqrt(math.Abs(x-1.0/3)) },
	"arcsin":        func(x float64) float64 { return 1 / math.Sqrt(1-x*x) },
	"arcsin-both":   func(x float64) float64 { return 1 / math.Sqrt(1-x*x) },
	"circle":        func(x float64) float64 { return math.Sqrt(1 - x*x) },
	"beta":          func(x float64) float64 { return 1 / math.Sqrt(x*(1-x)) },
	"ln-both":       func(x float64) float64 { return math.Log(x) * math.Log(1-x) },
	"ln-1-x":        func(x float64) float64 { return math.Log(1 - x) },
	"1+sqrt":        func(x float64) float64 { return 1 + math.Sqrt(x) },
	"sin/x":         func(x float64) float64 { return math.Sin(x) / x },
	"sine-period":   math.Sin,
	"constant":      func(float64) float64 { return 2 },
	"peak-on-flat":  func(x float64) float64 { return 1 + math.Exp(-math.Pow((x-0.4)/0.01, 2)) },
	"floor":         math.Floor,
	"twist-cosine":  func(x float64) float64 { return math.Pow(1+0.15*math.Sin(math.Pi*x), -4) },
}

func battery(t testing.TB) []problem {
	t.Helper()
	file, err := os.Open("testdata/integrals.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var problems []problem
	for _, row := range rows[1:] {
		f, ok := integrands[row[0]]
		if !ok {
			t.Fatalf("no integrand for %q", row[0])
		}
		problems = append(problems, problem{row[0], f, number(t, row[2]), number(t, row[3]), number(t, row[4]), row[5]})
	}
	return problems
}

// number reads a decimal number, a multiple or a fraction of pi: 2pi, pi/2.
func number(t testing.TB, text string) float64 {
	t.Helper()
	if text == "" {
		t.Fatal("empty number")
	}
	factor, divisor, isPi := strings.Cut(text, "pi")
	if isPi {
		value := math.Pi
		if factor != "" {
			value *= number(t, factor)
		}
		if divisor != "" {
			value /= number(t, strings.TrimPrefix(divisor, "/"))
		}
		return value
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// blocks makes a Func of a scalar function.
func blocks(f func(float64) float64) Func {
	return func(dst, x []float64) error {
		for i := range x {
			dst[i] = f(x[i])
		}
		return nil
	}
}
