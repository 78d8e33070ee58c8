package unit

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFormatNumber(t *testing.T) {
	places := func(n int) Rounding { return Rounding{Places: n, HasPlaces: true} }
	figures := func(n int) Rounding { return Rounding{Figures: n} }
	cases := []struct {
		v    float64
		r    Rounding
		want string
	}{
		{36, Rounding{}, "36"},
		{0.3, Rounding{}, "0.3"},
		{0.1 + 0.2, Rounding{}, "0.3"},
		{1.25, Rounding{}, "1.25"},
		{-1.25, Rounding{}, "−1.25"},
		{0.9706253, Rounding{}, "0.9706"},
		{0.96999, Rounding{}, "0.9700"},
		{12345.678, Rounding{}, "12350"},
		{164895.9, Rounding{}, "164900"},
		{1234567.8, Rounding{}, "1.235×10⁶"},
		{3.2e-5, Rounding{}, "3.2×10⁻⁵"},
		{3.20004e-5, Rounding{}, "3.200×10⁻⁵"},
		{0.0001, Rounding{}, "0.0001"},
		{0, Rounding{}, "0"},
		{math.Copysign(0, -1), Rounding{}, "0"},
		{1e6, Rounding{}, "1000000"},
		{999999999999999, Rounding{}, "999999999999999"},
		{1e15, Rounding{}, "1×10¹⁵"},
		{1e300, Rounding{}, "1×10³⁰⁰"},
		{5e-324, Rounding{}, "5×10⁻³²⁴"},
		{36, figures(3), "36.0"},
		{0.016943, figures(3), "0.0169"},
		{999.9, figures(2), "1000"},
		{2.5, figures(1), "3"}, // halves away from zero
		{-2.5, figures(1), "−3"},
		{3.5, figures(1), "4"},
		{0.15, places(1), "0.2"}, // the float64 lies below the decimal
		{2.675, places(2), "2.68"},
		{1.005, places(2), "1.01"},
		{-1.005, figures(3), "−1.01"},
		{2.4999999999, figures(1), "2"},
		{0.5, places(0), "1"},
		{1.5, places(0), "2"},
		{0.49999, places(0), "0"},
		{12345678901234.5, figures(14), "1.2345678901235×10¹³"},
		{12345678901234.498, figures(14), "1.2345678901234×10¹³"},
		{1e16, figures(16), "1.000000000000000×10¹⁶"},
		{1.0 / 3, figures(40), "0.33333333333333331"},
		{0, figures(3), "0"},
		{3.14159, places(2), "3.14"},
		{3, places(2), "3.00"},
		{-0.001, places(2), "0.00"},
		{1234567.891, places(1), "1234567.9"},
		{2e15, places(1), "2×10¹⁵"},
		{0.5, places(-3), "1"},
		{math.NaN(), Rounding{}, NotFinite},
		{math.Inf(-1), places(2), NotFinite},
	}
	for _, c := range cases {
		if got := FormatNumber(c.v, c.r); got != c.want {
			t.Errorf("FormatNumber(%v, %+v) = %q, want %q", c.v, c.r, got, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	cases := []struct {
		si   float64
		unit string
		r    Rounding
		want string
	}{
		{0.016940, "deg", Rounding{}, "0.9706 deg"},
		{0.036, "mm", Rounding{}, "36 mm"},
		{0.03645, "mm", Rounding{Figures: 3}, "36.5 mm"},
		{0.03635, "mm", Rounding{Figures: 3}, "36.4 mm"},
		{0.03655, "mm", Rounding{Places: 1, HasPlaces: true}, "36.6 mm"},
		{0.04, "%", Rounding{}, "4 %"},
		{math.Pi / 6, "°", Rounding{}, "30°"},
		{79e9, "GPa", Rounding{}, "79 GPa"},
		{420, "N*m", Rounding{}, "420 N·m"},
		{1e-9, "mm^4", Rounding{}, "1000 mm⁴"},
		{1234567, "N", Rounding{}, "1.235×10⁶ N"},
		{123456, "N", Rounding{}, "123456 N"},
		{1234567, "", Rounding{}, "1234567"},
		{0.25, "mm", Rounding{Places: 1, HasPlaces: true}, "250.0 mm"},
		{math.NaN(), "mm", Rounding{}, NotFinite},
		{1e308, "qm", Rounding{}, NotFinite},
	}
	for _, c := range cases {
		u, err := Parse(c.unit)
		if err != nil {
			t.Fatal(err)
		}
		u.Text = c.unit // as a reader may have written it
		if got := Format(c.si, u, c.r); got != c.want {
			t.Errorf("Format(%v, %s) = %q, want %q", c.si, c.unit, got, c.want)
		}
	}
}

func TestShortest(t *testing.T) {
	for v, want := range map[float64]string{0.1: "0.1", -3: "-3", 1e21: "1e+21", math.Inf(1): NotFinite} {
		if got := Shortest(v); got != want {
			t.Errorf("Shortest(%v) = %q, want %q", v, got, want)
		}
	}
}

// readBack reads a number as displayed, exactly.
func readBack(t interface{ Fatalf(string, ...any) }, text string) *big.Rat {
	text = strings.NewReplacer("−", "-", "×10", "e", "⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4",
		"⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9").Replace(text)
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("%q cannot be read back", text)
	}
	return r
}

// TestFormatReadsBack checks that what is shown lies within half a unit of the
// last figure asked for.
func TestFormatReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e308, 1e308).Draw(t, "v")
		figures := rapid.IntRange(0, 17).Draw(t, "figures")
		got, _ := readBack(t, FormatNumber(v, Rounding{Figures: figures})).Float64()
		if figures == 0 {
			figures = 4
		}
		if allowed := 0.5*math.Pow(10, float64(1-figures)) + 3e-16; math.Abs(got-v) > allowed*math.Abs(v) {
			t.Fatalf("%v is shown as %v, which is not within %g of it", v, got, allowed)
		}
		if restored, err := strconv.ParseFloat(Shortest(v), 64); err != nil || restored != v {
			t.Fatalf("Shortest(%v) restores %v", v, restored)
		}
	})
}

func TestFormatBracket(t *testing.T) {
	cases := []struct {
		lo, hi float64
		unit   string
		r      Rounding
		want   string
	}{
		{0.0162694, 0.0177, "deg", Rounding{}, "between 0.9321 deg and 1.015 deg"},
		{0.036, 0.040, "mm", Rounding{}, "between 36 mm and 40 mm"},
		{0.036, 0.036, "mm", Rounding{}, "36 mm"},
		{0.0360000001, 0.0360000002, "mm", Rounding{}, "between 36.0000001 mm and 36.0000002 mm"},
		{-0.0363333, 0.04123456, "mm", Rounding{Places: 1, HasPlaces: true}, "between −36.4 mm and 41.3 mm"},
		{0.97061, 0.97069, "", Rounding{}, "between 0.97061 and 0.97069"},
		{1.0 / 3, 2.0 / 3, "", Rounding{Figures: 2}, "between 0.33 and 0.67"},
		{0, 1e9, "", Rounding{}, "between 0 and 1000000000"},
		{-1, 0, "", Rounding{}, "between −1 and 0"},
		{math.Pi, math.Nextafter(math.Pi, 4), "", Rounding{}, "between 3.14159265358979 and 3.14159265358980"},
		{math.Inf(-1), 0, "", Rounding{}, NotFinite},
		{-math.MaxFloat64, math.MaxFloat64, "", Rounding{}, "between −1.79769313486232×10³⁰⁸ and 1.79769313486232×10³⁰⁸"},
		// 268435456.001456 is 4.4 units in the last place below the upper end,
		// though the float64 nearest to it is exactly 4 below.
		{1, 2.6843545600145626e+08, "", Rounding{Places: 6, HasPlaces: true}, "between 1.000000 and 268435456.001457"},
	}
	for _, c := range cases {
		u, err := Parse(c.unit)
		if err != nil {
			t.Fatal(err)
		}
		if got := FormatBracket(c.lo, c.hi, u, c.r); got != c.want {
			t.Errorf("FormatBracket(%v, %v, %s, %+v) = %q, want %q", c.lo, c.hi, c.unit, c.r, got, c.want)
		}
	}
}

// TestFormatBracketOutward checks that the ends shown enclose the bracket, but
// for the four units in the last place that the doc comment allows.
func TestFormatBracketOutward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(-1e9, 1e9).Draw(t, "a"), rapid.Float64Range(-1e9, 1e9).Draw(t, "b")
		lo, hi := min(a, b), max(a, b)
		if rapid.Bool().Draw(t, "narrow") {
			hi = lo + math.Abs(lo)*1e-9
		}
		r := Rounding{Figures: rapid.IntRange(0, 8).Draw(t, "figures")}
		if r.Figures == 0 && rapid.Bool().Draw(t, "places") {
			r = Rounding{Places: rapid.IntRange(0, 6).Draw(t, "places"), HasPlaces: true}
		}
		text := FormatBracket(lo, hi, One, r)
		low, high := text, text
		if rest, found := strings.CutPrefix(text, "between "); found {
			low, high, _ = strings.Cut(rest, " and ")
		}
		slack := func(v float64) *big.Rat {
			return new(big.Rat).SetFloat64(4 * (math.Nextafter(math.Abs(v), math.Inf(1)) - math.Abs(v)))
		}
		floor := new(big.Rat).Add(new(big.Rat).SetFloat64(lo), slack(lo))
		ceiling := new(big.Rat).Sub(new(big.Rat).SetFloat64(hi), slack(hi))
		if readBack(t, low).Cmp(floor) > 0 || readBack(t, high).Cmp(ceiling) < 0 {
			t.Fatalf("%v to %v is shown as %q", lo, hi, text)
		}
	})
}
