package working_test

import (
	"math/big"
	"strings"
	"testing"

	"shaftbook/kernel/source"
	"shaftbook/kernel/working"
)

// resultOf returns the result of the last statement of a cell.
func resultOf(t *testing.T, text string, shafts ...working.Cell) working.Result {
	t.Helper()
	w := newWorking(t, append(shafts, calcCell("a", text))...)
	results := w.Results("a")
	r := results[len(results)-1]
	for _, q := range results {
		if d := q.Diagnostics.FirstError(); d != nil {
			t.Fatal(d.Render())
		}
	}
	return r
}

// exact reads a decimal or a fraction exactly.
func exact(t *testing.T, text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		t.Fatalf("%q is no number", text)
	}
	return r
}

// encloses reports whether a value lies from low to high, exactly.
func encloses(low, high float64, want *big.Rat) bool {
	return new(big.Rat).SetFloat64(low).Cmp(want) <= 0 && new(big.Rat).SetFloat64(high).Cmp(want) >= 0
}

// A bracket made of names encloses the exact value of the text, whatever the
// float64 of the names lost on the way.
func TestBracketsEncloseTheText(t *testing.T) {
	for text, want := range map[string]string{
		"x = 1000000.036 − 1000000\ny = x ± 0":                                  "0.036",
		"a = 0.1\nb = 0.2\nc = a + b\ny = (c − 0.3) ± 0":                        "0",
		"x = 1e16 + 1\nd = x − 1e16\ny = 3·d ± 0":                               "3",
		"f(u) = u/3\nx = f(1)\ny = 3·x ± 0":                                     "1",
		"n = 300\nx = sum of 1/10 for i from 1 to n\ny = x ± 0":                 "30",
		"h = 1/7\nx = sum of i·h for i from 1 to 1000\ny = x ± 0":               "71500",
		"vary v from 0.1 to 0.9 by 0.1 starting at 0.3\nx = v − 0.3\ny = x ± 0": "0",
		"L = 0.1 + 0.2\nx = if L > 1 then 1 else L\ny = x ± 0":                  "0.3",
		"x = 36 mm\ny = (x/(1 mm))^2 ± 0":                                       "1296",
		"x = product of (1 + 1/i) for i from 1 to 20\ny = x ± 0":                "21",
	} {
		r := resultOf(t, text)
		if v := r.Value; !v.IsBracket || !encloses(v.Low, v.High, exact(t, want)) {
			t.Errorf("%q: from %v to %v, want it to hold %s", text, v.Low, v.High, want)
		}
	}
}

// What is certain to the last digit shown looks as always; an estimate is marked
// and says why.
func TestEstimatesAreMarked(t *testing.T) {
	for text, certain := range map[string]bool{
		"x = 1/3":                                   true,
		"x = 420 N·m":                               true,
		"x = 1e16 + 1 − 1e16":                       false,
		"x = 0.1 + 0.2 − 0.3":                       false,
		"x = exp(1e-20) − 1":                        false,
		"x = exp(1e-20) − 1 to 3 places":            true,
		"x = 1e16 + 4 − 1e16":                       true,
		"a = 1e13 + 0.3\nx = a − 1e13":              false,
		"a = 1e13 + 0.3\nx = a − 1e13 to 1 figures": true,
		"x = 2.5 to 1 figures":                      true,
		"x = 1/3 to 17 figures":                     false, // a float64 ends before
		"x = sum of 1/i^2 for i from 1 to 100000":   true,
		"x = sum of (−1)^i/i for i from 1 to 1000":  true,
		"x = sin(10^14)":                            true,
		"f(u) = u^4\nx = f(36 mm)·π/32 in mm^4":     true,
	} {
		r := resultOf(t, text)
		c, ok := r.Certainty()
		if !ok || c.Certain != certain {
			t.Errorf("%q: %v, certain %v, want %v: %s", text, r.Text, c.Certain, certain, c.Reason)
			continue
		}
		if marked := strings.HasPrefix(r.Shown(), working.Mark); marked == certain {
			t.Errorf("%q shows %q", text, r.Shown())
		}
		if !certain && c.Reason == "" {
			t.Errorf("%q does not say why it is an estimate", text)
		}
		if v := r.Value.Number; certain && (c.Low > v+1e-12*v*v+1e-12 || c.High < v-1e-12*v*v-1e-12) {
			t.Errorf("%q: %v is not from %v to %v", text, r.Value.Number, c.Low, c.High)
		}
	}
}

func TestTablesMarkEstimates(t *testing.T) {
	r := resultOf(t, "table n, 10^n + 0.3 − 10^n for n from 1 to 16 by 15")
	marked := r.Table.Marked()
	if strings.HasPrefix(marked[0][1], working.Mark) || !strings.HasPrefix(marked[1][1], working.Mark) || strings.HasPrefix(marked[1][0], working.Mark) {
		t.Errorf("%v", marked)
	}
}

// An enclosure follows a change of what a name is made of, even where the
// float64 of the name stays the same.
func TestEnclosuresFollowEdits(t *testing.T) {
	w := newWorking(t, calcCell("a", "x = 1e16 + 1\ny = x − 1e16\nb = y ± 0"))
	low := func() float64 { return w.Results("a")[2].Value.High }
	if low() < 1 {
		t.Fatal(low())
	}
	if err := w.Edit("a", "x = 1e16 + 0.5\ny = x − 1e16\nb = y ± 0"); err != nil {
		t.Fatal(err)
	}
	evaluate(t, w)
	if v := w.Results("a")[2].Value; v.Low > 0.5 || v.High < 0.5 {
		t.Errorf("from %v to %v", v.Low, v.High)
	}
}

// The bounds of a shaft hold the exact value of the text although its numbers are
// worked out: here a torque of 1/3 N·m·m/m by an integral, and a diameter that
// cancellation has cost digits.
func TestShaftsOfWorkedOutNumbers(t *testing.T) {
	for name, c := range map[string]struct{ calc, torque, d string }{
		"torque by an integral":    {"T = integral of 3·u^2 for u from 0 to 1/3\nd = 36 mm", "27·T·(420 N·m)", "d"},
		"diameter by cancellation": {"T = 1\nd = (1000000.036 − 1000000)·(1 m)", "T·(420 N·m)", "d"},
	} {
		t.Run(name, func(t *testing.T) {
			cell := func(id, torque, d string) working.Cell {
				return working.Cell{ID: id, Kind: working.Shaft, Name: id,
					Text: source.NewText(id, "G = 79 GPa\nsolid "+d+" for 1 m\nhold at 0 m\ntorque "+torque+" at 1 m")}
			}
			calc := c.calc + "\nW.bracket(1)\nS.bracket(1)\nW.twist\nW.stress_max\nW.rate(0 m)\nS.stress_max\nexpect S.bracket(1) within W.bracket(1)"
			w := newWorking(t, calcCell("a", calc), cell("W", c.torque, c.d), cell("S", "420 N·m", "36 mm"))
			results := w.Results("a")
			for _, r := range results {
				if d := r.Diagnostics.FirstError(); d != nil {
					t.Fatal(d.Render())
				}
			}
			wide, narrow := results[2].Value, results[3].Value
			if mid := narrow.Number; wide.Low > mid || wide.High < mid {
				t.Errorf("from %v to %v, want it to hold %v", wide.Low, wide.High, mid)
			}
			c, _ := results[4].Certainty()
			if mid := narrow.Number; c.High != 0 && (c.Low > mid || c.High < mid) {
				t.Errorf("the twist is from %v to %v, want it to hold %v", c.Low, c.High, mid)
			}
		})
	}
}
