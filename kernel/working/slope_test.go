package working_test

import (
	"strconv"
	"strings"
	"testing"

	"shaftbook/kernel/working"
)

// The slope of a formula with branches is a limit from both sides: what is
// singled out at one point is not it. Worked out by hand.
func TestSlopesBesideSeams(t *testing.T) {
	const estimate, none = "≈", "none"
	for _, c := range []struct {
		name, text, want, how string
	}{
		{"singled out", "s = derivative of (if x = 3 then 9 else x^2) for x at 3", "6", ""},
		{"singled out, another formula", "s = derivative of (if x = 1 then x else x^2) for x at 1", "2", ""},
		{"removable", "s = derivative of (if x = 0 then 0 else (1 − cos(x))/x) for x at 0", "0.5", estimate},
		{"singled out with a jump", "s = derivative of (if x = 2 then 100 else x^2) for x at 2", "", none},
		{"abs ≤ 0", "s = derivative of (if abs(x − 3) ≤ 0 then 9 else x^2) for x at 3", "6", ""},
		{"two bounds", "s = derivative of (if x ≤ 3 and x ≥ 3 then 9 else x^2) for x at 3", "6", ""},
		{"a square", "s = derivative of (if (x − 3)^2 = 0 then 9 else x^2) for x at 3", "6", ""},
		{"not equal", "s = derivative of (if x ≠ 3 then x^2 else 9) for x at 3", "6", ""},
		{"in a function", "f(u) = if u = 3 then 9 else u^2\ns = derivative of f(x) for x at 3", "6", ""},
		{"in units", "s = derivative of (if x = 3 mm then 9 mm^2 else x^2) for x at 3 mm in m", "0.006", ""},
		{"at a decimal", "s = derivative of (if x = 0.3 then 0.09 else x^2) for x at 0.3", "0.6", ""},
		{"at a name", "d = 0.3\ns = derivative of (if x < d then x^2 else 0.09 + 0.6·(x − d)) for x at d", "0.6", ""},
		{"at a name of the same value", "d = 0.3\ns = derivative of (if x < 0.3 then x^2 else 0.09 + 0.6·(x − 0.3)) for x at d", "0.6", ""},
		{"two formulas that meet", "s = derivative of (if x < π/2 then sin(x) else 1) for x at π/2", "0", ""},
		{"kink", "s = derivative of (if x < 1 then x else 2·x − 1) for x at 1", "", none},
		{"kink at a decimal", "s = derivative of abs(x − 0.7) for x at 0.7", "", none},
		{"jump of floor", "s = derivative of floor(x) for x at 1", "", none},
		{"jump of floor at a decimal", "s = derivative of floor(10^9·x)/10^9 + x^2 for x at 0.3", "", none},
		{"step below zero", "s = derivative of x·floor(x) for x at −2.5", "-3", ""},
		{"jump of round", "s = derivative of round(x) for x at 0.5", "", none},
		{"between jumps", "s = derivative of floor(x/5.651e-03) for x at 0.973187", "0", ""},
		{"rounded", "s = derivative of x·round(x) + ceil(x) for x at 2.3", "2", ""},
		{"kink of a term", "s = derivative of (sum of max(x − i, 0) for i from 1 to 3) for x at 2", "", none},
		{"value 0", "s = derivative of abs(x) − 1 for x at 1", "1", ""},
		{"value 0 under a logarithm", "s = derivative of ln(abs(x)) for x at 1", "1", ""},
		{"slope 0", "s = derivative of abs(x − 3)·x^2 for x at 2", "0", ""},
		{"value 0 far from the seam", "s = derivative of (if x < 5 then 7·x else 3·x) for x at 0", "7", ""},
		{"value 0 of max", "s = derivative of max(x, 1) − 5 for x at 5", "1", ""},
		{"both sides 0", "s = derivative of x·abs(x) for x at 0", "0", ""},
		{"cube of |x|", "s = derivative of abs(x)^3 for x at 0", "0", ""},
		{"max that touches", "s = derivative of max(x^2, 2·x − 1) for x at 1", "2", ""},
		{"min with a kink", "s = derivative of min(x, x^2) for x at 1", "", none},
		{"jump under an integral", "s = derivative of (integral of (if u < x then 1 else 0) for u from 0 to 2) for x at 1", "1", estimate},
		{"a parameter hides a name", "T = 5\ng(x) = T·x\nf(T) = derivative of g(x) for x at T\ns = f(1)", "5", estimate},
		{"the bound name hides a name", "T = 5\ng(x) = T·x\ns = derivative of g(T) for T at 1", "5", estimate},
		{"vertical", "s = derivative of asin(x) for x at 1", "", none},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWorking(t, calcCell("a", c.text))
			results := w.Results("a")
			r := results[len(results)-1]
			if r.Failed() {
				if c.how != none {
					t.Fatal(r.Diagnostics.FirstError().Render())
				}
				return
			}
			if c.how == none {
				t.Fatalf("%s, want no slope", r.Shown())
			}
			sure, _ := r.Certainty()
			if shown := strings.HasPrefix(r.Shown(), working.Mark); shown != (c.how == estimate) {
				t.Errorf("%s: marked is %v (%s)", r.Shown(), shown, sure.Reason)
			}
			want := exact(t, c.want)
			if sure.Certain && !encloses(sure.Low, sure.High, want) {
				t.Errorf("from %v to %v, want it to hold %s", sure.Low, sure.High, c.want)
			}
			near, _ := want.Float64()
			if v := r.Value.Number; !(v-near < 1e-6 && near-v < 1e-6) {
				t.Errorf("%s, want %s", strconv.FormatFloat(v, 'g', -1, 64), c.want)
			}
		})
	}
}

// The note on an estimate names the form that it comes from.
func TestEstimateNoteNamesItsForm(t *testing.T) {
	for text, word := range map[string]string{
		"x = root of (u − 1)^2 for u from 0 to 3":                                                "root",
		"s(x) = integral of √|sin(x/u)| for u from 0.01 to 1\ny = derivative of s(x) for x at 1": "slope",
	} {
		found := false
		for _, d := range resultOf(t, text).Diagnostics {
			found = found || d.Code == working.CodeShown && strings.Contains(d.Message, word)
		}
		if !found {
			t.Errorf("%s: no note names the %s", text, word)
		}
	}
}
