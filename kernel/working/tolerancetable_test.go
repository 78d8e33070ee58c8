package working_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"shaftbook/kernel/working"
)

const toleratedBar = "T = 420 N·m ± 10 N·m\nG = 79 GPa ± 1 GPa\nL = 800 mm\nd = 36 mm ± 0.1 mm\nJ = π/32·d^4\nθ = T·L/(G·J) in deg\ntable of tolerances of θ in deg to 5 figures"

// TestToleranceTable compares the table of a bar with its formula at the ends of each
// tolerance, from package math.
func TestToleranceTable(t *testing.T) {
	w := newWorking(t, calcCell("c", toleratedBar))
	r := w.Results("c")[6]
	if r.Failed() {
		t.Fatal(r.Diagnostics)
	}
	θ := func(T, G, d float64) float64 { return T * 0.8 / (G * math.Pi / 32 * math.Pow(d, 4)) }
	T, G, d := [3]float64{410, 420, 430}, [3]float64{78e9, 79e9, 80e9}, [3]float64{0.0359, 0.036, 0.0361}
	mid := θ(T[1], G[1], d[1])
	own := [][2]float64{{θ(T[0], G[1], d[1]), θ(T[2], G[1], d[1])}, {θ(T[1], G[2], d[1]), θ(T[1], G[0], d[1])}, {θ(T[1], G[1], d[2]), θ(T[1], G[1], d[0])}}
	sum, squares := 0.0, 0.0
	for _, b := range own {
		sum += b[1] - b[0]
		squares += (b[1] - b[0]) * (b[1] - b[0]) / 4
	}
	want := [][]float64{
		{1, own[0][0], own[0][1], own[0][1] - own[0][0], (own[0][1] - own[0][0]) / sum, 0.01},
		{2, own[1][0], own[1][1], own[1][1] - own[1][0], (own[1][1] - own[1][0]) / sum, -(own[1][1] - own[1][0]) / mid / (2. / 79) / 100},
		{3, own[2][0], own[2][1], own[2][1] - own[2][0], (own[2][1] - own[2][0]) / sum, -(own[2][1] - own[2][0]) / mid / (0.2 / 36) / 100},
		{4, θ(T[0], G[2], d[2]), θ(T[2], G[0], d[0]), θ(T[2], G[0], d[0]) - θ(T[0], G[2], d[2]), math.NaN(), math.NaN()},
		{5, mid - math.Sqrt(squares), mid + math.Sqrt(squares), 2 * math.Sqrt(squares), math.NaN(), math.NaN()},
	}
	if len(r.Table.Numbers) != len(want) {
		t.Fatalf("rows:\n%s", textOf(r.Table))
	}
	for i, row := range want {
		for k, v := range row {
			got := r.Table.Numbers[i][k]
			if math.IsNaN(v) != math.IsNaN(got) || math.Abs(got-v) > 1e-9*math.Abs(v) {
				t.Errorf("row %d, column %d: %v, want %v", i, k, got, v)
			}
		}
	}
	for i, row := range r.Table.Marked() {
		for k, text := range row {
			if estimate := strings.HasPrefix(text, working.Mark); estimate != (i == 4 && k > 0 && k < 4) {
				t.Errorf("row %d, column %d is %q", i, k, text)
			}
		}
	}
	if file := r.Table.File(); file[3][0] != "d = 36 mm ± 0.1 mm" || file[0][1] != "at least / deg" || r.Text != "3 tolerances" {
		t.Errorf("%q, file %q", r.Text, file)
	}
}

// TestEndGauge compares the root of the sum of squares with a published one: JCGM
// 100:2008 (GUM), H.1, the calibration of an end gauge, whose standard uncertainties are
// put in as half widths. Table H.1 has the contributions 25 nm, 9.7 nm, 2.9 nm and
// 16.6 nm, and none to first order from α_s and θ; the combined one is 32 nm. Data
// looked up in R's metRology (GUM.H.1), contributions and result from memory.
func TestEndGauge(t *testing.T) {
	w := newWorking(t, calcCell("c", "l_s = 50.000623 mm ± 25e-6 mm\nd_l = 215e-6 mm ± 9.7e-6 mm\nδ_α = 0 ± 0.58e-6\nα_s = 11.5e-6 ± 1.2e-6\nt = −0.1 ± 0.41\nδ_t = 0 ± 0.029\nl = l_s + d_l − l_s·(δ_α·t + α_s·δ_t)\ntable of tolerances of l"))
	r := w.Results("c")[7]
	if r.Failed() {
		t.Fatal(r.Diagnostics)
	}
	halves := map[string]float64{"l_s": 25, "d_l": 9.7, "δ_α": 2.9, "δ_t": 16.6, "α_s": 0, "t": 0, "root": 32}
	for i, row := range r.Table.Rows {
		name, _, _ := strings.Cut(row[0], " ")
		if want, is := halves[name]; is {
			if half := r.Table.Numbers[i][3] / 2 * 1e9; math.Abs(half-want) > 0.05+0.01*want {
				t.Errorf("%s: ±%v nm, want ±%v nm", row[0], half, want)
			}
		}
	}
	if worst := r.Table.Numbers[6]; worst[3]/2*1e9 < 25+9.7+2.9+16.6 {
		t.Errorf("the worst case is ±%v nm", worst[3]/2*1e9)
	}
}

// TestPendulum compares both ways to combine tolerances with a published example: Taylor,
// An Introduction to Error Analysis, 2nd ed., 3.9: l = 92.95 ± 0.1 cm and T = 1.936 ±
// 0.004 s give g = 979 ± 4 cm/s², with 0.1 % of l and twice 0.2 % of T. From memory.
func TestPendulum(t *testing.T) {
	w := newWorking(t, calcCell("c", "h = 0.004 s\nl = 92.95 cm ± 0.1 cm\nt = 1.936 s ± h\ng = 4·π^2·l/t^2\ntable of tolerances of g"))
	r := w.Results("c")[4]
	if r.Failed() {
		t.Fatal(r.Diagnostics)
	}
	rows := r.Table.Numbers
	mid, half := (rows[3][1]+rows[3][2])/2*100, rows[3][3]/2*100
	if math.Round(mid) != 979 || math.Round(half) != 4 || math.Abs(half-979*math.Hypot(0.001076, 2*0.002066)) > 0.01 {
		t.Errorf("g = %v ± %v cm/s²", mid, half)
	}
	if r.Table.Rows[0][0] != "t between 1.932 s and 1.94 s" || r.Table.Rows[1][0] != "l = 92.95 cm ± 0.1 cm" {
		t.Errorf("rows %q and %q", r.Table.Rows[0][0], r.Table.Rows[1][0])
	}
}

// TestToleranceTableForms has what lies between a tolerance and a quantity: definitions,
// functions, sums, integrals, a bracket by its ends, and a value that was read.
func TestToleranceTableForms(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []float64 // the width of each row
	}{
		"a bracket by its ends":  {"a = between 2 m and 3 m\nb = 4 m ± 1 m\ntable of tolerances of a·b", []float64{5, 4, 9, math.Sqrt(41)}},
		"a name that cancels":    {"a = 2 ± 1\nb = 3·a\nc = b − 3·a + a\ntable of tolerances of c", []float64{2, 2, 2}},
		"functions and a sum":    {"a = 2 ± 1\nf(x) = a·x\ntable of tolerances of (sum of f(i) for i from 1 to 4)", []float64{20, 20, 20}},
		"an integral":            {"a = 2 ± 1\nf(x) = a·x\ntable of tolerances of (integral of f(x) for x from 0 to 2)", []float64{4, 4, 4}},
		"a value that was read":  {"a = 2 ± 1\nw = width(a)\ntable of tolerances of w·a", []float64{4, 4, 4}},
		"one that does not move": {"a = 2 ± 1\nb = 5 ± 0\ntable of tolerances of a + b", []float64{2, 0, 2, 2}},
		"a peak in the middle":   {"a = 0 ± 1\ntable of tolerances of 1 − a^2", []float64{1, 1, 1}},
	} {
		t.Run(name, func(t *testing.T) {
			results := newWorking(t, calcCell("c", c.text)).Results("c")
			r := results[len(results)-1]
			if r.Failed() {
				t.Fatal(r.Diagnostics)
			}
			for i, want := range c.want {
				if got := r.Table.Numbers[i][3]; got < want*(1-1e-12) || got > want+2e-3*c.want[0] {
					t.Errorf("row %d is %v wide, want %v\n%s", i, got, want, textOf(r.Table))
				}
			}
			if name == "a peak in the middle" && !strings.HasPrefix(r.Table.Marked()[0][3], working.Mark) {
				t.Errorf("the ends say nothing of the width here: %q", r.Table.Marked()[0])
			}
		})
	}
}

func TestToleranceTableRefuses(t *testing.T) {
	shaft := shaftCellOf("S", "G = 79 GPa ± 1 GPa\nsolid 36 mm for 800 mm\nhold at 0 mm\ntorque 420 N·m at 800 mm")
	for text, want := range map[string]string{
		"a = 2 m\ntable of tolerances of a":                            "a is one value",
		"table of tolerances of S":                                     "S is a shaft",
		"table of tolerances of (2 m ± 1 m)":                           "has no name",
		"a = 2 ± 1\nb = 3·(2 ± 1)\ntable of tolerances of a·b":         "has no name",
		"a = 2 ± 1\nf(x) = mid(x)\ntable of tolerances of a·f(a)":      "read from a bracket",
		"a = 2 ± 1\ntable of tolerances of a·width(a)":                 "read from a bracket",
		"a = 2 ± 1\nb = a ± 1\ntable of tolerances of b":               "written in terms of another bracket",
		"table of tolerances of S.twist":                               "whose tolerances are its own",
		"a = 2 N ± 1 N\nb = 2·a\ntable of tolerances of b·(3 m) in mm": "",
		"a = 2 ± 1\nb = 0 ± 1\ntable of tolerances of a/b":             "divi",
		"a = 2 ± 1\ntable of tolerances of a > 1":                      "not a quantity",
		"a = 2 ± 1\ntable of tolerances for a":                         "",
		"a = 2 ± 1\ntable of tolerances of S.bracket(2)*a":             "whose tolerances are its own",
		"a = 2 ± 1\nc = high(a)\ntable of tolerances of c to 3 places": "c is one value",
	} {
		results := newWorking(t, calcCell("c", text), shaft).Results("c")
		d := results[len(results)-1].Diagnostics.FirstError()
		if d == nil || !strings.Contains(d.Message, want) {
			t.Errorf("%s: %v, want %q", text, d, want)
			continue
		}
		if want != "" && d.Repair == "" {
			t.Errorf("%s: %s has no way out", text, d.Message)
		}
	}
}

// TestToleranceTableHolds draws values within their tolerances: each lies in the worst
// case, and each tolerance alone keeps the quantity in its own row.
func TestToleranceTableHolds(t *testing.T) {
	r := newWorking(t, calcCell("c", toleratedBar)).Results("c")[6]
	θ := func(x [3]float64) float64 { return x[0] * 0.8 / (x[1] * math.Pi / 32 * math.Pow(x[2], 4)) }
	mid, half := [3]float64{420, 79e9, 0.036}, [3]float64{10, 1e9, 0.0001}
	rapid.Check(t, func(t *rapid.T) {
		x := mid
		for k := range x {
			x[k] += half[k] * rapid.Float64Range(-1, 1).Draw(t, "place")
			alone := mid
			alone[k] = x[k]
			if v, row := θ(alone), r.Table.Numbers[k]; v < row[1]*(1-1e-14) || v > row[2]*(1+1e-14) {
				t.Errorf("alone %v lies outside %v", v, row)
			}
		}
		if v, row := θ(x), r.Table.Numbers[3]; v < row[1]*(1-1e-14) || v > row[2]*(1+1e-14) {
			t.Errorf("%v lies outside the worst case %v", v, row)
		}
	})
}

// The root of two equal squares is √2 times one of them, whatever its size: 0.1·√2 =
// 0.14142…, and so the ends 0.85858 and 1.14142, which are shown rounded outward.
func TestRootOfSquaresAtExtremeSizes(t *testing.T) {
	for text, want := range map[string]string{
		"r = 1e-200 ± 1e-201\nd = 1 ± 0.1\ntable of tolerances of r·d": "≈ 8.585×10⁻²⁰¹ ≈ 1.142×10⁻²⁰⁰ ≈ 2.83×10⁻²⁰¹",
		"r = 1e200 ± 1e199\nd = 1 ± 0.1\ntable of tolerances of r·d":   "≈ 8.585×10¹⁹⁹ ≈ 1.142×10²⁰⁰ ≈ 2.83×10¹⁹⁹",
		"r = 1 ± 0.1\nd = 1 ± 0.1\ntable of tolerances of r·d":         "≈ 0.8585 ≈ 1.142 ≈ 0.283",
	} {
		rows := resultOf(t, text).Table.Marked()
		if got := strings.Join(rows[len(rows)-1][1:4], " "); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}
