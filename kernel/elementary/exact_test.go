package elementary

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestExact(t *testing.T) {
	type row struct {
		text      string
		got, want float64
	}
	inf, nan := math.Inf(1), math.NaN()
	rows := []row{
		{"exp 0", Exp(0), 1}, {"exp −0", Exp(math.Copysign(0, -1)), 1}, {"exp ∞", Exp(inf), inf}, {"exp −∞", Exp(-inf), 0},
		{"exp 710", Exp(710), inf}, {"exp −746", Exp(-746), 0}, {"exp NaN", Exp(nan), nan},
		{"expm1 0", Expm1(0), 0}, {"expm1 ∞", Expm1(inf), inf}, {"expm1 −∞", Expm1(-inf), -1},
		{"ln 1", Ln(1), 0}, {"ln 0", Ln(0), -inf}, {"ln −1", Ln(-1), nan}, {"ln ∞", Ln(inf), inf}, {"ln NaN", Ln(nan), nan},
		{"log10 0", Log10(0), -inf}, {"log10 −1", Log10(-1), nan}, {"log10 ∞", Log10(inf), inf},
		{"log1p 0", Log1p(0), 0}, {"log1p −1", Log1p(-1), -inf}, {"log1p −2", Log1p(-2), nan}, {"log1p ∞", Log1p(inf), inf},
		{"sin 0", Sin(0), 0}, {"cos 0", Cos(0), 1}, {"tan 0", Tan(0), 0}, {"sin ∞", Sin(inf), nan}, {"cos −∞", Cos(-inf), nan}, {"tan NaN", Tan(nan), nan},
		{"asin 0", Asin(0), 0}, {"asin 1", Asin(1), math.Pi / 2}, {"asin −1", Asin(-1), -math.Pi / 2}, {"asin 1.1", Asin(1.1), nan},
		{"acos 1", Acos(1), 0}, {"acos 0", Acos(0), math.Pi / 2}, {"acos −1", Acos(-1), math.Pi}, {"acos −1.1", Acos(-1.1), nan}, {"acos ½", Acos(0.5), math.Pi / 3},
		{"atan 0", Atan(0), 0}, {"atan 1", Atan(1), math.Pi / 4}, {"atan ∞", Atan(inf), math.Pi / 2}, {"atan −∞", Atan(-inf), -math.Pi / 2}, {"atan NaN", Atan(nan), nan},
		{"atan2 1 1", Atan2(1, 1), math.Pi / 4}, {"atan2 0 1", Atan2(0, 1), 0}, {"atan2 0 −1", Atan2(0, -1), math.Pi}, {"atan2 −0 −1", Atan2(math.Copysign(0, -1), -1), -math.Pi},
		{"atan2 1 0", Atan2(1, 0), math.Pi / 2}, {"atan2 −1 0", Atan2(-1, 0), -math.Pi / 2}, {"atan2 ∞ ∞", Atan2(inf, inf), math.Pi / 4}, {"atan2 ∞ −∞", Atan2(inf, -inf), 3 * math.Pi / 4},
		{"atan2 1 ∞", Atan2(1, inf), 0}, {"atan2 1 −∞", Atan2(1, -inf), math.Pi}, {"atan2 ∞ 1", Atan2(inf, 1), math.Pi / 2}, {"atan2 NaN 1", Atan2(nan, 1), nan},
		{"0^0", Pow(0, 0), 1}, {"NaN^0", Pow(nan, 0), 1}, {"1^NaN", Pow(1, nan), 1}, {"0^2.5", Pow(0, 2.5), 0}, {"0^−1", Pow(0, -1), inf}, {"(−0)^−3", Pow(math.Copysign(0, -1), -3), -inf},
		{"(−8)^(1/3)", Pow(-8, 1.0/3), nan}, {"(−2)^3", Pow(-2, 3), -8}, {"(−2)^−2", Pow(-2, -2), 0.25}, {"(−∞)^3", Pow(-inf, 3), -inf}, {"(−∞)^−3", Pow(-inf, -3), 0},
		{"2^1023", Pow(2, 1023), 0x1p1023}, {"2^1024", Pow(2, 1024), inf}, {"2^−1074", Pow(2, -1074), 0x1p-1074}, {"2^−1076", Pow(2, -1076), 0}, {"0.5^∞", Pow(0.5, inf), 0}, {"2^∞", Pow(2, inf), inf}, {"(−1)^∞", Pow(-1, inf), 1},
		{"4^1.5", Pow(4, 1.5), 8}, {"10^22", Pow(10, 22), 1e22}, {"1.5^20", Pow(1.5, 20), 3325.256730079651}, {"sinh 0", Sinh(0), 0}, {"cosh 0", Cosh(0), 1},
	}
	for _, r := range rows {
		if r.got != r.want && !(r.got != r.got && r.want != r.want) {
			t.Errorf("%s = %v, want %v", r.text, r.got, r.want)
		}
	}
	for n := range 23 {
		if got := Log10(math.Pow10(n)); got != float64(n) {
			t.Errorf("log10 of 10^%d = %v", n, got)
		}
	}
	for n := -1074; n <= 1023; n++ {
		if got := Log2(math.Ldexp(1, n)); got != float64(n) {
			t.Errorf("log2 of 2^%d = %v", n, got)
		}
	}
	// Powers that a float64 holds: exact integers below 2^53.
	for base := 2.0; base <= 200; base++ {
		for n, p := 1, base; p < 1<<53; n, p = n+1, p*base {
			if got := Pow(base, float64(n)); got != p {
				t.Errorf("%v^%d = %v, want %v", base, n, got, p)
			}
		}
	}
}

// TestSymmetry: odd and even functions are so to the last bit.
func TestSymmetry(t *testing.T) {
	g := &points{Rand: rand.New(rand.NewPCG(7, 7))}
	odd := map[string]func(float64) float64{"sin": Sin, "tan": Tan, "asin": Asin, "atan": Atan, "sinh": Sinh}
	even := map[string]func(float64) float64{"cos": Cos, "cosh": Cosh}
	for range 20_000 {
		for _, x := range []float64{g.bits(), g.sized(-20, 10), g.sized(-40, 0)} {
			for name, f := range odd {
				if a, b := f(x), -f(-x); math.Float64bits(a) != math.Float64bits(b) && a == a {
					t.Fatalf("%s(%x) = %x but −%s(−x) = %x", name, x, a, name, b)
				}
			}
			for name, f := range even {
				if a, b := f(x), f(-x); a != b && a == a {
					t.Fatalf("%s(%x) = %x but %x at −x", name, x, a, b)
				}
			}
			y := g.sized(-20, 20)
			if a, b := Atan2(y, x), -Atan2(-y, x); a != b {
				t.Fatalf("atan2(%x, %x) = %x but %x for −y", y, x, a, b)
			}
		}
	}
}

// TestMonotone: where a function grows, its values never fall from one float64
// to the next, also over the edges of the entries of the tables.
func TestMonotone(t *testing.T) {
	run := func(name string, f func(float64) float64, from float64, sign float64) {
		x, last := from, math.Inf(-1)
		for range 60 {
			if y := sign * f(x); y < last {
				t.Fatalf("%s falls at %x: %x after %x", name, x, y, last)
			} else {
				last = y
			}
			x = math.Nextafter(x, math.Inf(1))
		}
	}
	back := func(x float64) float64 { return math.Float64frombits(math.Float64bits(x) - 30) }
	for j := range 4000 {
		n := float64(j) + 0.5
		run("exp", Exp, back(n*(math.Ln2/128)), 1)
		run("exp", Exp, -n*(math.Ln2/128), 1)
		run("ln", Ln, back(n/128), 1)
		run("log10", Log10, back(n/128), 1)
		run("atan", Atan, back(n/64), 1)
		run("atan", Atan, back(64/n), 1)
		if n < 127 {
			run("asin", Asin, back(n/128), 1)
			run("acos", Acos, back(n/128), -1)
		}
		if n < 32 {
			run("sin", Sin, back(n*(math.Pi/64)), 1)
			run("tan", Tan, back(n*(math.Pi/64)), 1)
			run("cos", Cos, back(n*(math.Pi/64)), -1)
		}
	}
	for _, x := range []float64{0.5, 1, 0x1p-27, 0x1p-54, 708, 40, 18} {
		for name, f := range map[string]func(float64) float64{"exp": Exp, "expm1": Expm1, "atan": Atan, "log1p": Log1p, "ln": Ln} {
			run(name, f, back(x), 1)
		}
	}
}

// TestBlocks: the block forms give the bits of the functions, also in place.
func TestBlocks(t *testing.T) {
	g := &points{Rand: rand.New(rand.NewPCG(3, 3))}
	blocks := map[string]func(dst, x []float64){"exp": ExpBlock, "ln": LnBlock, "log10": Log10Block, "sin": SinBlock, "cos": CosBlock,
		"tan": TanBlock, "asin": AsinBlock, "acos": AcosBlock, "atan": AtanBlock}
	for _, f := range functions {
		block, ok := blocks[f.name]
		if !ok {
			continue
		}
		x := make([]float64, 1003)
		for i := range x {
			x[i] = []float64{g.bits(), g.sized(-10, 3), math.NaN(), 0, g.sized(-3, 0), math.Inf(-1)}[g.IntN(6)]
		}
		dst := append([]float64(nil), x...)
		block(dst, dst)
		for i := range x {
			if want := f.one(x[i]); math.Float64bits(dst[i]) != math.Float64bits(want) && want == want {
				t.Errorf("block of %s(%x) = %x, want %x", f.name, x[i], dst[i], want)
			}
		}
	}
}
