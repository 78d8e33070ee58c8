package working_test

import (
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// estimated are names of estimates: the slope of a line through readings, which
// nothing bounds, and whole numbers near it.
const estimated = `readings e of x, y: 1: 2, 2: 4, 3: 6.1, 4: 8, 5: 10
line g through e
s = g.slope
n = round(s)
`

// Wherever an estimate stands in a form, what the form comes to is an estimate too,
// also where it steers alone: as an end of a range, in a condition, as a place.
func TestEstimatesSteerEstimates(t *testing.T) {
	forms := []string{
		"sum of i for i from 1 to N", "sum of i for i from N to 5", "sum of 1 for i from 1 to 10·N", "∑ i for i from N to N",
		"sum of i for i from 1 to 100·N", "sum of (sum of 1 for k from 1 to N) for i from 1 to 3", "sum of (sum of 1 for k from i to N) for i from 1 to 2",
		"product of i for i from 1 to N", "product of i for i from N to 4",
		"integral of 1 for x from 0 to E", "integral of x for x from 0 to E", "integral of x for x from E to 5", "integral of 1/x^2 for x from E to ∞",
		"integral of floor(x) for x from 0 to E", "integral of (sum of x for i from 1 to N) for x from 0 to 1", "integral of √x for x from 0 to E",
		"derivative of x^2 for x at E", "derivative of E·x for x at 1", "derivative of |x − 9| for x at E", "derivative of (sum of x for i from 1 to N) for x at 1",
		"root of x − 1 for x from 0 to E", "root of x − E for x from 0 to 10", "root of E·x − 1 for x from 0 to 10", "root of x − 5 for x from E to 9",
		"largest of x for x from 0 to E", "largest of 1 − (x − E)^2 for x from 0 to 3", "largest of x·(9 − x) for x from E to 8", "largest of floor(x) for x from 0 to E",
		"smallest of −x for x from 0 to E", "smallest of x for x from E to 9", "smallest of −x^2 for x from 0 to N",
		"if E > 1 then 3 else 4", "if 1 < E < 3 and N > 0 then 3 else 4", "if not E < 1 then 3 else 4", "if 5 > 4 then E else 2",
		"max(5, E)", "min(1, E)", "atan2(E, 1)", "floor(E)", "ceil(E)", "round(E)", "|E|", "√E", "E^2", "2^E", "2^N", "−E", "E/2 + 1", "E·(1 mm) in mm",
		"e.y(N)", "g.at(E)", "low(3) + 0·E", "mid(1 ± 0.1)·E", "sin(E)", "exp(E)", "ln(E)", "log10(E)",
		"F.twist", "F.twist(E·(0.1 m))", "F.segments(N)", "F.J(E·(0.1 m))", "P.twist(E·(0.1 m))", "P.J(E·(0.1 m))", "P.torque(E·(0.1 m))", "P.segments(N)",
	}
	shafts := []working.Cell{
		{ID: "F", Kind: working.Shaft, Name: "F", Text: source.NewText("F", "G = s·(40 GPa)\nsolid 20 mm for 1 m\nhold at 0 m\ntorque 100 N·m at 1 m")},
		{ID: "P", Kind: working.Shaft, Name: "P", Text: source.NewText("P", "G = 80 GPa\nsolid 20 mm for 1 m\nhold at 0 m\ntorque 100 N·m at 1 m")},
	}
	for _, form := range forms {
		lines := map[string]string{
			"by the name":      strings.NewReplacer("E", "s", "N", "n").Replace(form),
			"by the field":     strings.NewReplacer("E", "g.slope", "N", "round(g.slope)").Replace(form),
			"through a form":   strings.NewReplacer("E", "(integral of 1 for x from 0 to s)", "N", "round(integral of 1 for x from 0 to s)").Replace(form),
			"through function": strings.NewReplacer("E", "h(1)", "N", "h(n)").Replace(form),
		}
		for how, line := range lines {
			r := steered(t, "h(u) = u + 0·s\n", line, shafts)
			if _, is := r.Estimated(); !is {
				t.Errorf("%s, %s: %s has no mark", line, how, r.Text)
			}
			r = steered(t, "h(u) = u + 0·s\n", "a = "+line+"\nb = a/2", shafts)
			if _, is := r.Estimated(); !is {
				t.Errorf("half of %s, %s: %s has no mark", line, how, r.Text)
			}
		}
	}
}

func steered(t *testing.T, before, text string, shafts []working.Cell) working.Result {
	t.Helper()
	r := resultOf(t, estimated+before+text, shafts...)
	if r.Value == nil || r.Value.IsBracket {
		t.Fatalf("%s has no number", text)
	}
	return r
}

// The same with values that are certain.
func TestCertainEndsKeepCertainty(t *testing.T) {
	for text, want := range map[string]float64{
		"L = 0.8 m\nΔx = 0.1 m\ny = sum of i for i from 1 to L/Δx":                                        36,
		"n = round(2.2)\ny = product of i for i from 1 to 2·n":                                            24,
		"L = 0.7\ny = integral of 1 for x from 0 to L":                                                    0.7,
		"L = 0.7\ny = integral of floor(x) for x from 0 to 2 + L":                                         2.4,
		"L = 0.7\ny = largest of x for x from 0 to L":                                                     0.7,
		"L = 0.7\ny = smallest of −x^2 for x from L to 0":                                                 -0.49,
		"L = 0.7\ny = root of x − 0.3 for x from 0 to L":                                                  0.3,
		"L = 0.7\ny = largest of floor(x) for x from 0 to 2 + L":                                          2,
		"A = integral of 1 for x from 0 to 3\ny = sum of 1 for i from 1 to round(A)":                      3,
		"A = integral of x for x from 0 to 3\ny = largest of x for x from 0 to A":                         4.5,
		"A = root of x^2 − 2 for x from 0 to 3\ny = integral of x for x from 0 to A":                      1,
		"A = root of x^2 − 2 for x from 0 to 3\ny = if A > 1.4 then 3 else 4":                             3,
		"A = root of x^2 − 2 for x from 0 to 3\ny = integral of if x < 1 then 1 else 2 for x from 0 to A": 2*math.Sqrt2 - 1,
	} {
		r := resultOf(t, text)
		c, ok := r.Certainty()
		if !ok || !c.Certain || !(c.Low <= want+1e-12 && c.High >= want-1e-12) {
			t.Errorf("%s: %s, %+v, not certain of %v", text, r.Text, c, want)
		}
	}
}

// A range between two ends that may be the same has an extreme that no part of the
// range decides: largest of x from 0 to w, where w may be on either side of 0.
func TestExtremesOfRangesThatMayBeEmpty(t *testing.T) {
	r := resultOf(t, "w = integral of sin(x) for x from −1 to 1\ny = largest of 1 + x for x from 0 to w to 3 figures")
	c, _ := r.Certainty()
	if c.Certain && !(c.Low <= 1 && c.High >= 1) {
		t.Errorf("the largest value 1 is not in %+v", c)
	}
}

func TestTablesOverEstimatesAreMarked(t *testing.T) {
	for text, want := range map[string]string{
		"table i, i^2 for i from 1 to n":                                     "≈ 1 ≈ 1 ≈ 2 ≈ 4",
		"table i, i^2, 7 for i from s to 5 in 2 rows":                        "≈ 2 ≈ 4 7 ≈ 5 ≈ 25 7",
		"table i for i from 1 to 5 by n":                                     "≈ 1 ≈ 3 ≈ 5",
		"table i for i from 1 to 3 in n rows":                                "≈ 1 ≈ 3",
		"table i for i from s to 8 spaced by ratio in 2 rows":                "≈ 2 ≈ 8",
		"table i, i + s for i from 1 to 2":                                   "1 ≈ 3 2 ≈ 4",
		"vary k from 0 to 9 by 1 starting at n\ntrials of k^2 for k at 0, 1": "0 0 – 1 1 1.00 ≈ 2 ≈ 4 ≈ 3.00",
		"L = 0.7\ntable i for i from L to 1.7 in 2 rows":                     "0.7 1.7",
	} {
		r := resultOf(t, estimated+text)
		var cells []string
		for _, row := range r.Table.Marked() {
			cells = append(cells, row...)
		}
		if got := strings.Join(cells, " "); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

func TestSegmentsOfEstimatesAreMarked(t *testing.T) {
	shaft := func(g string) working.Cell {
		return working.Cell{ID: "S", Kind: working.Shaft, Name: "S", Text: source.NewText("S", "G = "+g+"\nsolid 20 mm for 1 m\nhold at 0 m\ntorque 100 N·m at 1 m")}
	}
	for _, c := range []struct {
		g, n string
		is   bool
	}{{"80 GPa", "2", false}, {"80 GPa", "n", true}, {"s·(40 GPa)", "2", true}, {"2·(40 GPa)", "4/2", false}} {
		r := resultOf(t, estimated+"table of S in "+c.n+" segments", shaft(c.g))
		if marked := strings.Contains(strings.Join(r.Table.Marked()[0][1:], " "), working.Mark); marked != c.is {
			t.Errorf("G = %s in %s segments: marked is %v", c.g, c.n, marked)
		}
	}
}
