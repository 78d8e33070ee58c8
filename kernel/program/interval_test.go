package program

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"shaftbook/kernel/interval"
)

// TestBracketHoldsEveryValue: whatever values within their brackets the names
// have, the value of the expression lies within its bracket.
func TestBracketHoldsEveryValue(t *testing.T) {
	if testing.Short() {
		t.Skip("tries thousands of brackets")
	}
	s := define(t, taper(t), "f(u)", "u^3 − 2·u")
	for _, text := range []string{
		"x·y", "x − y", "x/y", "x·x", "x^2 − 2·x", "x^−3·y", "√x + y^(1/3)", "sin(x·3)·cos(y)", "tan(x/4)", "atan2(x, y)", "exp(−x)·ln(y)", "log10(x)",
		"min(x, y, 1.5)", "max(x, 1)·0.1", "|x − y|", "floor(x·2) + ceil(y) + round(x)", "f(x·0.1)", "if x < y then x else 2·y", "if x < 1.2 or y > 1.5 then x else y",
		"sum of x/i for i from 1 to 20", "product of (1 + y/i) for i from 1 to 9", "integral of x·u^2 + y for u from 0 to 1.5", "integral of 1/(x + u) for u from 2 to 0",
		"largest of x·u·(1 − u) for u from 0 to 1", "smallest of (u − y)^2 + x for u from 0 to 3", "derivative of u^3·y for u at x", "(d_0 + x/1000)^4",
	} {
		t.Run(text, func(t *testing.T) {
			e := parse(t, text)
			rapid.Check(t, func(t *rapid.T) {
				params := map[string]interval.Interval{}
				w := newWalker(newRun(), s)
				for _, name := range []string{"x", "y"} {
					lo := rapid.Float64Range(0.5, 3).Draw(t, name+" low")
					hi := lo + rapid.Float64Range(0, 0.5).Draw(t, name+" width")
					params[name] = interval.Interval{Lo: lo, Hi: hi}
					w.bind(name, min(hi, lo+rapid.Float64Range(0, 1).Draw(t, name)*(hi-lo)))
				}
				v, ok := w.number(e)
				b, list := EvaluateBracket(newRun(), e, params, s)
				if !ok || list.HasErrors() {
					t.Fatal(w.problem, list)
				}
				rounding := 4e-15 * math.Abs(v.x) // the walker itself rounds
				if v.x < b.Lo-rounding || v.x > b.Hi+rounding {
					t.Fatalf("%v lies outside of %v for %v", v.x, b, params)
				}
			})
		})
	}
}

// TestIntegralBracketIsSharp: slices with the mean value form enclose a smooth
// integral without brackets to six digits.
func TestIntegralBracketIsSharp(t *testing.T) {
	s := taper(t)
	e := parse(t, "integral of T/(G·J(x)) for x from 0 m to L")
	b, list := EvaluateBracket(newRun(), e, nil, s)
	if list.HasErrors() {
		t.Fatal(list)
	}
	// Closed form of the linear taper, 32TL(β²+β+1)/(3πG·d₀⁴·β³) with β = d₁/d₀:
	// Gere and Goodno, Mechanics of Materials, torsion of tapered bars (from memory).
	beta := 54.0 / 36
	want := 32 * 420 * 0.8 * (beta*beta + beta + 1) / (3 * math.Pi * 79e9 * math.Pow(0.036, 4) * beta * beta * beta)
	if !b.Contains(want) {
		t.Errorf("%v does not hold %v", b, want)
	}
	if width := b.Hi - b.Lo; width > 1e-6*want {
		t.Errorf("relative width %.2g", width/want)
	}
}

// TestIntegralBracketOverJumps: a formula with branches jumps, and its
// derivative in symbols does not know.
func TestIntegralBracketOverJumps(t *testing.T) {
	s := define(t, names{}, "step(u)", "if u < 0.3 then 1 else 2")
	for text, want := range map[string]float64{
		"integral of step(x) for x from 0 to 1":                    1.7,
		"integral of (if x < 1/3 then 0 else 3) for x from 0 to 1": 2,
		"integral of max(x, 0.5) + floor(2·x) for x from 0 to 1":   0.25 + 0.375 + 0.5,
		"integral of |x − 0.3| for x from 0 to 1":                  0.29,
	} {
		b, list := EvaluateBracket(newRun(), parse(t, text), nil, s)
		if list.HasErrors() || !b.Contains(want) || b.Hi-b.Lo > 2e-3 {
			t.Errorf("%s: %v (%v), want it to hold %v", text, b, list, want)
		}
	}
}

// TestIntegralsAgreeWithGonum compares with Gauss–Legendre rules of gonum. The
// rule with 26 points is avoided: its weights are wrong in v0.17.0.
func TestIntegralsAgreeWithGonum(t *testing.T) {
	s := taper(t)
	for _, c := range []struct {
		text     string
		from, to float64
	}{
		{"T/(G·J(x))", 0, 0.8},
		{"sin(x)·exp(−x)", 0, 3},
		{"sum of x^i/i for i from 1 to 9", 0, 1},
		{"1/(1 + x^2)", -1, 2},
	} {
		p, list := Compile(parse(t, c.text), []string{"x"}, s)
		if list.HasErrors() {
			t.Fatal(list)
		}
		run := newRun()
		want := quad.Fixed(func(x float64) float64 {
			v, err := p.At(run, x)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}, c.from, c.to, 60, quad.Legendre{}, 1)
		s["a"], s["b"] = Scalar(c.from), Scalar(c.to)
		v, list := Evaluate(newRun(), parse(t, "integral of ("+c.text+") for x from a to b"), s)
		if list.HasErrors() {
			t.Fatal(list)
		}
		if math.Abs(v.Number-want) > 1e-13*math.Abs(want) {
			t.Errorf("%s: %v, gonum %v", c.text, v.Number, want)
		}
		if v.ErrorEstimate <= 0 || v.ErrorEstimate > 1e-12*math.Abs(want) {
			t.Errorf("%s: error estimate %v", c.text, v.ErrorEstimate)
		}
	}
}

// TestEstimatesAreCarried: an expression made of an integral admits to the
// error of the integral.
func TestEstimatesAreCarried(t *testing.T) {
	integral := "(integral of sin(x) for x from 0 to 1)"
	plain, _ := Evaluate(newRun(), parse(t, integral), names{})
	for text, factor := range map[string]float64{
		"1000·" + integral: 1000,
		integral + "/1000": 0.001,
		"3 + " + integral:  1,
		integral + "^2":    2 * plain.Number,
		"√" + integral:     1 / (2 * math.Sqrt(plain.Number)),
		"f" + integral:     2,
	} {
		s := define(t, names{}, "f(u)", "2·u + 1")
		v, list := Evaluate(newRun(), parse(t, text), s)
		if list.HasErrors() {
			t.Fatal(list)
		}
		if want := factor * plain.ErrorEstimate; math.Abs(v.ErrorEstimate-want) > 0.2*want {
			t.Errorf("%s: estimate %v, want about %v", text, v.ErrorEstimate, want)
		}
	}
}

// TestShaftsInPrograms: fields are asked block by block, what reads a bracket
// is left to the walker.
func TestShaftsInPrograms(t *testing.T) {
	s := define(t, names{}, "q", "between 1 and 2")
	s["S"] = &testShaft{}
	for text, want := range map[string]float64{
		"S.twist":                               1,
		"S.twist(x)":                            0.25,
		"2·S.twist(x·x)":                        0.125,
		"high(q·x)":                             0.5,
		"width(S.bracket(x))":                   0.2,
		"if x > 1 then S.twist(4) else x":       0.25,
		"sum of S.twist(x/i) for i from 1 to 2": 0.375,
	} {
		p, list := Compile(parse(t, text), []string{"x"}, s)
		if list.HasErrors() {
			t.Fatal(text, list)
		}
		dst := make([]float64, 2)
		if err := p.Block(newRun(), dst, []float64{0.25, 0.25}); err != nil {
			t.Fatal(text, err)
		}
		if math.Abs(dst[1]-want) > 1e-15 {
			t.Errorf("%s = %v, want %v", text, dst[1], want)
		}
	}
	p, _ := Compile(parse(t, "S.twist(x)"), []string{"x"}, s)
	if err := p.Block(newRun(), make([]float64, 2), []float64{0.5, 1.5}); err == nil || err.Error() != "the shaft ends at 1 m" {
		t.Errorf("error %v", err)
	}
}

// TestLongBracketSum: 10⁵ terms of a bracket take no special patience.
func TestLongBracketSum(t *testing.T) {
	s := define(t, names{}, "q", "between 1 and 2")
	v, list := Evaluate(NewRun(context.Background(), Limits{}), parse(t, "sum of q/i^2 for i from 1 to 100000"), s)
	if list.HasErrors() || !v.IsBracket {
		t.Fatal(v, list)
	}
	const basel = math.Pi * math.Pi / 6 // less the tail, about 1e-5
	if !v.Bracket.Contains(1.5*basel) || v.Bracket.Lo > basel || v.Bracket.Lo < basel-1.1e-5 {
		t.Errorf("%v", v.Bracket)
	}
}
