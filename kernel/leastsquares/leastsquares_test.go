package leastsquares

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s is %.17g, want %.17g", what, got, want)
	}
}

func norris(t *testing.T) (xs, ys []float64) {
	t.Helper()
	f, err := os.Open("testdata/norris.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		x, errX := strconv.ParseFloat(row[0], 64)
		y, errY := strconv.ParseFloat(row[1], 64)
		if errX != nil || errY != nil {
			t.Fatal(row)
		}
		xs, ys = append(xs, x), append(ys, y)
	}
	return xs, ys
}

// TestReferenceData compares with the certified values of the NIST Statistical
// Reference Datasets (linear regression): Norris, and NoInt1 and NoInt2 for lines
// through the origin. They are given to 15 digits; the readings of Norris are decimals,
// so their float64 move what is small beside them by some 10⁻¹⁴.
func TestReferenceData(t *testing.T) {
	const digits = 2e-14
	xs, ys := norris(t)
	l, err := Through(xs, ys, false, nil)
	if err != nil || len(xs) != 36 {
		t.Fatal(len(xs), err)
	}
	near(t, "Norris: slope", l.Slope, 1.00211681802045, digits)
	near(t, "Norris: intercept", l.Intercept, -0.262323073774029, digits)
	near(t, "Norris: standard error of the slope", l.SlopeError, 0.429796848199937e-03, digits)
	near(t, "Norris: standard error of the intercept", l.InterceptError, 0.232818234301152, digits)
	near(t, "Norris: residual standard deviation", l.Scatter, 0.884796396144373, digits)

	l, err = Through([]float64{60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70},
		[]float64{130, 131, 132, 133, 134, 135, 136, 137, 138, 139, 140}, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "NoInt1: slope", l.Slope, 2.07438016528926, digits)
	near(t, "NoInt1: standard error", l.SlopeError, 0.165289256198347e-01, digits)
	near(t, "NoInt1: residual standard deviation", l.Scatter, 3.56753034006338, digits)

	l, err = Through([]float64{4, 5, 6}, []float64{3, 4, 4}, true, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "NoInt2: slope", l.Slope, 0.727272727272727, digits)
	near(t, "NoInt2: standard error", l.SlopeError, 0.420827318078432e-01, digits)
	near(t, "NoInt2: residual standard deviation", l.Scatter, 0.369274472937998, digits)
}

// A large offset of x or y leaves the slope and its error as they are, to the last bit,
// where the readings themselves are moved exactly.
func TestLargeOffset(t *testing.T) {
	xs, ys := []float64{1, 2, 3, 4, 5, 6}, []float64{2.5, 4.25, 6, 8.5, 9.75, 12}
	want, err := Through(xs, ys, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, offset := range []float64{1e3, 1e9, 1e15} {
		var moved, up []float64
		for i := range xs {
			moved, up = append(moved, xs[i]+offset), append(up, 8*ys[i]+offset)
		}
		got, err := Through(moved, up, false, nil)
		if err != nil || got.Slope != 8*want.Slope || got.SlopeError != 8*want.SlopeError || got.Scatter != 8*want.Scatter {
			t.Errorf("moved by %g the line is %+v, want 8 times %+v (%v)", offset, got, want, err)
		}
	}
}

func TestTooLittle(t *testing.T) {
	var few *FewError
	tests := []struct {
		name    string
		xs, ys  []float64
		origin  bool
		without []bool
		is      func(error) bool
	}{
		{"two readings", []float64{1, 2}, []float64{1, 2}, false, nil, func(err error) bool { return errors.As(err, &few) && few.Need == 3 }},
		{"one reading, origin", []float64{1}, []float64{1}, true, nil, func(err error) bool { return errors.As(err, &few) && few.Need == 2 }},
		{"left out", []float64{1, 2, 3}, []float64{1, 2, 3}, false, []bool{true, false, false}, func(err error) bool { return errors.As(err, &few) && few.Have == 2 }},
		{"none", nil, nil, false, nil, func(err error) bool { return errors.As(err, &few) }},
		{"one place", []float64{2, 2, 2}, []float64{1, 2, 3}, false, nil, func(err error) bool { return errors.Is(err, ErrSameX) }},
		{"all at 0", []float64{0, 0, 0}, []float64{1, 2, 3}, true, nil, func(err error) bool { return errors.Is(err, ErrSameX) }},
		{"too steep", []float64{0, 5e-324, 1e-323}, []float64{0, 1e308, -1e308}, false, nil, func(err error) bool { return errors.Is(err, ErrRange) }},
	}
	for _, test := range tests {
		if l, err := Through(test.xs, test.ys, test.origin, test.without); !test.is(err) {
			t.Errorf("%s: %+v, %v", test.name, l, err)
		}
	}
}

// A reading on a line that the others meet has nothing to be compared with; one off it
// stands out, however little.
func TestApart(t *testing.T) {
	xs := []float64{0, 1, 2, 3, 4}
	l, err := Through(xs, []float64{0, 0.1, 0.2, 0.3, 0.4}, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := range xs {
		if !math.IsNaN(l.Studentised[i]) || l.StandsOut(i) {
			t.Errorf("reading %d of a straight row: %v, stands out: %v", i, l.Studentised[i], l.StandsOut(i))
		}
	}
	if l, err = Through(xs, []float64{0, 0.1, 0.2, 0.35, 0.4}, false, nil); err != nil {
		t.Fatal(err)
	}
	for i := range xs {
		if l.StandsOut(i) != (i == 3) {
			t.Errorf("reading %d with the fourth off the line: stands out %v", i, l.StandsOut(i))
		}
	}
}

// TestStudentT compares with the table of 1.3.6.7.2 of the NIST/SEMATECH e-Handbook of
// Statistical Methods (columns 0.025 and 0.005, one-sided), and with gonum.
func TestStudentT(t *testing.T) {
	table := map[int][2]float64{1: {12.706, 63.657}, 2: {4.303, 9.925}, 3: {3.182, 5.841}, 4: {2.776, 4.604}, 5: {2.571, 4.032},
		8: {2.306, 3.355}, 9: {2.262, 3.250}, 10: {2.228, 3.169}, 20: {2.086, 2.845}, 30: {2.042, 2.750}, 100: {1.984, 2.626}}
	for freedom, want := range table {
		for i, p := range []float64{0.05, 0.01} {
			if got := StudentT(p, freedom); math.Abs(got-want[i]) > 0.000501 {
				t.Errorf("t of %d degrees of freedom at %g is %v, the table has %v", freedom, p, got, want[i])
			}
		}
	}
	for freedom := 1; freedom <= 199; freedom++ {
		for _, p := range []float64{0.5, 0.05, 0.01, 0.05 / 11, 0.05 / 200} {
			want := distuv.StudentsT{Sigma: 1, Nu: float64(freedom)}.Quantile(1 - p/2)
			near(t, "t against gonum", StudentT(p, freedom), want, 1e-9)
		}
	}
}

// The line agrees with gonum's, the residuals of a line with an intercept add up to 0,
// and a reading's distance from the line through the others is the same whether it is
// left out or not.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 20).Draw(t, "n")
		xs := make([]float64, n)
		ys := rapid.SliceOfN(rapid.Float64Range(-10, 10), n, n).Draw(t, "y")
		for i := range xs {
			xs[i] = float64(i) + rapid.Float64Range(0, 0.5).Draw(t, "x")
		}
		l, err := Through(xs, ys, false, nil)
		if err != nil {
			t.Fatal(err)
		}
		alpha, beta := stat.LinearRegression(xs, ys, nil, false)
		if math.Abs(l.Intercept-alpha) > 1e-9 || math.Abs(l.Slope-beta) > 1e-9 {
			t.Fatalf("intercept %v and slope %v, gonum has %v and %v", l.Intercept, l.Slope, alpha, beta)
		}
		sum := 0.0
		for _, r := range l.Residuals {
			sum += r
		}
		if math.Abs(sum) > 1e-10 {
			t.Fatalf("the residuals add up to %v", sum)
		}
		i := rapid.IntRange(0, n-1).Draw(t, "i")
		without := make([]bool, n)
		without[i] = true
		less, err := Through(xs, ys, false, without)
		if err != nil {
			t.Fatal(err)
		}
		a, b := l.Studentised[i], less.Studentised[i]
		if math.IsNaN(a) != math.IsNaN(b) || math.Abs(a-b) > 1e-9*math.Abs(a) {
			t.Fatalf("reading %d is %v from the line, %v when it is left out", i, a, b)
		}
	})
}

func BenchmarkThrough(b *testing.B) {
	xs, ys := make([]float64, 200), make([]float64, 200)
	for i := range xs {
		xs[i], ys[i] = float64(i)/3, math.Sqrt(float64(i))
	}
	for b.Loop() {
		if _, err := Through(xs, ys, false, nil); err != nil {
			b.Fatal(err)
		}
	}
}
