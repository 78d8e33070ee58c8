package interval

import (
	"encoding/csv"
	"math"
	"math/big"
	"os"
	"strconv"
	"strings"
	"testing"
)

// unary holds the functions of one bracket by the names of the testdata.
var unary = map[string]func(Interval) (Interval, error){
	"exp": Exp, "ln": Ln, "log10": Log10, "tan": Tan, "asin": Asin, "acos": Acos, "sqrt": Sqrt, "sqr": Sqr,
	"sin":  func(x Interval) (Interval, error) { return Sin(x), nil },
	"cos":  func(x Interval) (Interval, error) { return Cos(x), nil },
	"atan": func(x Interval) (Interval, error) { return Atan(x), nil },
}

// widest is the allowed width of the result at a point, in units in the last
// place of the end nearer to 0: two neighbours, one of which may be a unit of
// half the size.
const widest = 4

// TestFunctions compares with 50-digit values from mpmath.
func TestFunctions(t *testing.T) {
	worst := map[string]float64{}
	for _, r := range readFunctions(t) {
		if base, isRange := strings.CutSuffix(r.name, "-range"); isRange {
			checkRange(t, r, unary[base])
			continue
		}
		got, err := r.apply()
		if err != nil {
			t.Errorf("%s(%v): %v", r.name, r.args, err)
			continue
		}
		if !holdsExact(got, r.values[0]) {
			t.Errorf("%s(%v) = %v does not hold %.25g", r.name, r.args, got, r.values[0])
		}
		width := ulps(got)
		worst[r.name] = max(worst[r.name], width)
		if width > widest && math.Abs(got.Lo) > 1e-300 {
			t.Errorf("%s(%v) = %v is %g units wide", r.name, r.args, got, width)
		}
	}
	t.Logf("widest, in units in the last place: %v", worst)
}

// checkRange checks the result over a bracket: it holds the exact range, and is
// at most a few units wider.
func checkRange(t *testing.T, r functionRow, f func(Interval) (Interval, error)) {
	t.Helper()
	got, err := f(Interval{r.args[0], r.args[1]})
	if err != nil {
		t.Errorf("%s%v: %v", r.name, r.args, err)
		return
	}
	lo, _ := r.values[0].Float64()
	hi, _ := r.values[1].Float64()
	if !holdsExact(got, r.values[0]) || !holdsExact(got, r.values[1]) {
		t.Errorf("%s%v = %v does not hold %v to %v", r.name, r.args, got, lo, hi)
	}
	if lo-got.Lo > 1e-15 || got.Hi-hi > 1e-15 {
		t.Errorf("%s%v = %v is wider than %v to %v", r.name, r.args, got, lo, hi)
	}
}

type functionRow struct {
	name   string
	args   []float64
	values []*big.Float
}

func (r functionRow) apply() (Interval, error) {
	x := whole(r.args[0])
	switch r.name {
	case "atan2":
		return Atan2(x, whole(r.args[1]))
	case "pow":
		return Pow(x, whole(r.args[1]))
	}
	return unary[r.name](x)
}

func readFunctions(t *testing.T) []functionRow {
	t.Helper()
	file, err := os.Open("testdata/functions.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	records, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rows := make([]functionRow, len(records))
	for i, rec := range records {
		rows[i].name = rec[0]
		for _, text := range strings.Fields(rec[1]) {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			rows[i].args = append(rows[i].args, v)
		}
		for _, text := range strings.Fields(rec[2]) {
			v, _, err := big.ParseFloat(text, 10, 250, big.ToNearestEven)
			if err != nil {
				t.Fatal(err)
			}
			rows[i].values = append(rows[i].values, v)
		}
	}
	return rows
}

func holdsExact(b Interval, v *big.Float) bool {
	return big.NewFloat(b.Lo).Cmp(v) <= 0 && v.Cmp(big.NewFloat(b.Hi)) <= 0
}

// ulps is the width in units in the last place of the end nearer to 0.
func ulps(b Interval) float64 {
	a := math.Min(math.Abs(b.Lo), math.Abs(b.Hi))
	return (b.Hi - b.Lo) / (above(a) - a)
}

// TestFunctionErrors checks where each function is refused, and that what is
// exact stays exact.
func TestFunctionErrors(t *testing.T) {
	cases := []struct {
		name string
		f    func() (Interval, error)
		want error
	}{
		{"ln reaching 0", func() (Interval, error) { return Ln(Interval{0, 1}) }, ErrDomain},
		{"log10 below 0", func() (Interval, error) { return Log10(Interval{-1, 1}) }, ErrDomain},
		{"sqrt below 0", func() (Interval, error) { return Sqrt(Interval{-1e-9, 1}) }, ErrDomain},
		{"asin past 1", func() (Interval, error) { return Asin(Interval{0, 1.1}) }, ErrDomain},
		{"acos past −1", func() (Interval, error) { return Acos(Interval{-1.1, 0}) }, ErrDomain},
		{"tan over a pole", func() (Interval, error) { return Tan(Interval{1.5, 1.6}) }, ErrDomain},
		{"tan over the pole at −π/2", func() (Interval, error) { return Tan(Interval{-2, 1}) }, ErrDomain},
		{"tan far out", func() (Interval, error) { return Tan(Interval{1e16, 1e16 + 2}) }, ErrDomain},
		{"atan2 at the origin", func() (Interval, error) { return Atan2(Interval{-1, 1}, Interval{0, 1}) }, ErrDomain},
		{"exp too large", func() (Interval, error) { return Exp(Interval{0, 710}) }, ErrOverflow},
		{"fraction of a negative", func() (Interval, error) { return PowRational(Interval{-8, -8}, 1, 3) }, ErrDomain},
		{"denominator 0", func() (Interval, error) { return PowRational(Interval{1, 2}, 1, 0) }, ErrDomain},
		{"0 to a negative power", func() (Interval, error) { return Pow(Interval{0, 1}, Interval{-1.5, 1}) }, ErrDivideByZero},
		{"0 to the power 0", func() (Interval, error) { return Pow(Interval{0, 1}, Interval{0, 1}) }, ErrDomain},
		{"power too large", func() (Interval, error) { return Pow(Interval{2, 2}, Interval{0, 2000}) }, ErrOverflow},
		{"exponent past all range", func() (Interval, error) { return Pow(Interval{1e300, 1e300}, Interval{1, 1e307}) }, ErrOverflow},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.f()
			wantError(t, got, err, c.want)
		})
	}
}

func TestExactPoints(t *testing.T) {
	if got, err := Exp(Interval{}); err != nil || got != whole(1) {
		t.Errorf("exp 0 = %v, %v", got, err)
	}
	if got, err := Ln(whole(1)); err != nil || got != whole(0) {
		t.Errorf("ln 1 = %v, %v", got, err)
	}
	if got, err := Log10(whole(1)); err != nil || got != whole(0) {
		t.Errorf("log10 1 = %v, %v", got, err)
	}
	if got := Sin(Interval{}); got != whole(0) {
		t.Errorf("sin 0 = %v", got)
	}
	if got := Cos(Interval{}); got != whole(1) {
		t.Errorf("cos 0 = %v", got)
	}
	if got, err := Acos(whole(1)); err != nil || got != whole(0) {
		t.Errorf("acos 1 = %v, %v", got, err)
	}
	if got, err := Asin(Interval{-1, 1}); err != nil || got != (Interval{-halfPi.Hi, halfPi.Hi}) {
		t.Errorf("asin [−1, 1] = %v, %v", got, err)
	}
	if got := Sin(Interval{-1e17, 3}); got != (Interval{-1, 1}) {
		t.Errorf("sin far out = %v", got)
	}
	if got := Cos(Interval{-1, 2}); got.Hi != 1 {
		t.Errorf("cos over its crest = %v", got)
	}
	if got, err := Atan2(Interval{-1, 1}, Interval{-2, -1}); err != nil || got != (Interval{-Pi.Hi, Pi.Hi}) {
		t.Errorf("atan2 over the cut = %v, %v", got, err)
	}
	if got, err := Atan2(Interval{0, 0}, Interval{-2, -1}); err != nil || !got.Encloses(Pi) {
		t.Errorf("atan2 on the negative axis = %v, %v", got, err)
	}
}
