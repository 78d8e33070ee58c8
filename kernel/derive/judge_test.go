package derive_test

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// Single steps: the verdict, the slip and a piece of the reason.
func TestSteps(t *testing.T) {
	const shaft = "given T: torque > 0, G: stress > 0, L: length > 0, d: length > 0, J: m^4 > 0\n"
	tests := []struct {
		name, text string
		want       derive.Kind
		slip       derive.Slip
		says       string
	}{
		{"reordered", shaft + "θ = T·L/(G·J)\n= L/J·T/G", derive.Follows, "", "exact"},
		{"squared", shaft + "x = √(d^2)\n= d", derive.Follows, "", "exact"},
		{"squared without a sign", "given d: length\nx = √(d^2)\n= d", derive.Fails, derive.AbsoluteValue, "d is positive"},
		{"absolute value", "given d: length\nx = √(d^2)\n= |d|", derive.Follows, "", ""},
		{"gap", shaft + "θ = T·L/(G·J)\n= ?", derive.Gap, "", "left for you"},
		{"wrong dimension", shaft + "θ = T·L/(G·J)\n= T/(G·J)", derive.Fails, derive.WrongPower, "an angle per length"},
		{"dimensions within", shaft + "θ = T·L/(G·J)\n= T + L", derive.Fails, derive.Dimensions, "cannot add"},
		{"bending for torsion", shaft + "k = T·L/(G·π/32·d^4)\n= T·L/(G·π/64·d^4)", derive.Fails, derive.Bending, "2 times"},
		{"radius for diameter", shaft + "k = T·L/(G·π/32·d^4)\n= T·L/(G·π/32·(d/2)^4)", derive.Fails, derive.RadiusSlip, "16 times"},
		{"degrees", shaft + "θ = T·L/(G·J)\n= T·L/(G·J)·180/π", derive.Fails, derive.WrongAngle, "degrees"},
		{"degrees as a unit", shaft + "θ = T·L/(G·J)\n= T·L/(G·J)/(1 deg)", derive.Fails, derive.WrongAngle, "degrees"},
		{"rpm", "given P: power > 0, ω: speed > 0\nT = P/ω\n= P/(ω·30/π)", derive.Fails, derive.WrongSpeed, "revolutions"},
		{"millimetres", "given a: length > 0\nb = a\n= 1000·a", derive.Fails, derive.WrongUnits, "units"},
		{"rounded π", shaft + "J_p = π/32·d^4\n= 0.0982·d^4", derive.Fails, derive.Rounded, "rounded"},
		{"unit changed", shaft + "a = 12 in\n= 304.8 mm", derive.Follows, "", ""},
		{"hollow", "given D > d > 0 mm\nJ = π/32·(D^4 − d^4)\n= π/32·(D − d)^4", derive.Fails, derive.Powers, "joined"},
		{"sign of a torque", "given T_1: torque > 0, T_2: torque > 0\nT = T_1 − T_2\n= T_1 + T_2", derive.Fails, derive.WrongSign, "T_2"},
		{"term dropped", "given a: length > 0, b: length > 0\ny = (a + b)^2\n= a^2 + b^2", derive.Fails, derive.Powers, "split"},
		{"binomial", "given a: length > 0, b: length > 0\ny = a^2 + 2·a·b + b^2\n= a^2 + b^2", derive.Fails, derive.DroppedTerm, "2·a·b"},
		{"stiffnesses in series", "given k_1: N·m > 0, k_2: N·m > 0\nc = 1/(1/k_1 + 1/k_2)\n= k_1 + k_2", derive.Fails, "", ""},
		{"sum with one term too few", "given n: number > 1\ns = sum of i^2 for i from 1 to n\n= sum of i^2 for i from 1 to n − 1", derive.Fails, derive.DroppedTerm, "too early"},
		{"power of a name", shaft + "θ = T·L/(G·J)\n= T·L/(G·J)·L/d", derive.Fails, derive.WrongPower, "L should not be there"},
		{"only if equal", "given d_1 > d_0 > 0 mm\nm = (d_0 + d_1)/2\n= √(d_0·d_1)", derive.Fails, derive.SpecialCase, "d_0"},
		{"edge of the domain", "given d_1 ≥ d_0 > 0 mm\nm = d_1 + d_0\n= (d_1^2 − d_0^2)/(d_1 − d_0)", derive.Agrees, "", "d_1 − d_0 is not 0"},
		{"empty domain", "given a: number > 2, a < 1\ny = exp(a)^2\n= exp(2·a)", derive.Open, "", "domain"},
		{"no value", "given a: number > 0\ny = ln(-a)\n= ln(-a)^2/ln(-a)·exp(0·a)·ln(-a)/ln(a)", derive.Open, "", ""},
		{"if", "given a: number\ny = if a > 0 then a else −a\n= |a|", derive.Agrees, "", "points"},
		{"exponentials", "given a: number\ny = exp(a)^2\n= exp(2·a)", derive.Follows, "", "exact"},
		{"trigonometry", "given a: number > 0\ny = sin(2·a)\n= 2·sin(a)·cos(a)", derive.Agrees, "", "30 digits"},
		{"wrong function", "given a: number > 0\ny = ln(2·a)\n= log10(2·a)", derive.Fails, "", "ln"},
		{"determined name", "given T_A: torque > 0, T_B: torque > 0, T: torque\ngiven T = T_A + T_B\nx = T − T_A\n= T_B", derive.Follows, "", ""},
		{"restated name", shaft + "k = L/2\nL = 2·k", derive.Follows, "", ""},
		{"restated wrongly", shaft + "k = L/2\nL = k/2", derive.Fails, derive.WrongFactor, "a quarter"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			if len(r.Verdicts) != 1 {
				t.Fatalf("%d verdicts", len(r.Verdicts))
			}
			v := r.Verdicts[0]
			if v.Kind != test.want || test.slip != "" && v.Slip != test.slip || !strings.Contains(v.Why, test.says) {
				t.Errorf("%s (%q): %s; want %s (%q) %q", v.Kind, v.Slip, v.Why, test.want, test.slip, test.says)
			}
		})
	}
}

// A slip does not paint the lines after it: each is judged against the line
// just above.
func TestOneSlipOneLine(t *testing.T) {
	r := judgeText(t, "given a: length > 0\ny = 6·a\n= 3·a + 3·a\n= 5·a\n= 2·a + 3·a\n= ?\n= 4·a + a")
	var words []string
	for _, v := range r.Verdicts {
		words = append(words, v.Kind.String())
	}
	if got := strings.Join(words, " "); got != "follows fails follows gap follows" {
		t.Error(got)
	}
	v := r.Verdicts[1]
	if v.Factor == nil || *v.Factor < 0.8333 || *v.Factor > 0.8334 || v.Line != 4 || v.Step != 2 {
		t.Errorf("%+v", v)
	}
}

func TestDiagnostics(t *testing.T) {
	for text, want := range map[string]source.Code{
		"given a > b\ny = a\n= a":                        "given-dimension",
		"given L: length, L: torque\ny = L\n= L":         "given-twice",
		"given L: length\ny = L + q\n= L":                "undefined-name",
		"given T: torque\ndθ = T·dx":                     "coordinate",
		"given L: length\nd(x) = x\nd(x) = 2·x":          "defined-twice",
		"given L: length\ny = L ± 1 mm\n= L":             "wrong-kind",
		"given L: length\n= L":                           "step-without-start",
		"given L: length\ny = L in mm":                   "",
		"given L: length\ny = L\n= L +\n= L":             "",
		"given a: number\ny = a^(a^(a^(a^(a^a))))\n= (a": "",
	} {
		r := derive.JudgeText(context.Background(), source.NewText("", text), derive.Settings{})
		if !r.Diagnostics.HasErrors() || want != "" && r.Diagnostics.FirstError().Code != want {
			t.Errorf("%q: %s, want %s: %v", text, r.Diagnostics.FirstError().Code, want, r.Diagnostics)
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r := derive.JudgeText(ctx, source.NewText("", read(t, "taper")), derive.Settings{})
	for _, v := range r.Verdicts {
		if v.Kind != derive.Open || !strings.Contains(v.Why, "stopped") {
			t.Errorf("%s: %s", v.Kind, v.Why)
		}
	}
}

// Equal derivations get equal reports.
func TestDeterministic(t *testing.T) {
	text := strings.Replace(read(t, "taper"), "(3·k)", "k", 1)
	a, b := judgeText(t, text), judgeText(t, text)
	for i := range a.Verdicts {
		x, y := a.Verdicts[i], b.Verdicts[i]
		if x.Why != y.Why || x.Above != y.Above || len(x.Counterexample) != len(y.Counterexample) {
			t.Errorf("%s\n%s", x.Why, y.Why)
		}
	}
}

func FuzzJudge(f *testing.F) {
	for _, name := range []string{"taper", "bredt", "two-holds", "spread"} {
		f.Add(read(f, name))
	}
	f.Add("given n: number\ny = sum of 1/i for i from 1 to n\n= limit of n as n → ∞\n= ?")
	f.Add("given a > 0 mm, a = 2·a\ny = a^(1/7)\n= y with y = a\n= root of a for a from a to a")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1500 {
			return
		}
		r := derive.JudgeText(context.Background(), source.NewText("", text), derive.Settings{})
		for _, v := range r.Verdicts {
			if v.Why == "" || v.Factor != nil && *v.Factor != *v.Factor {
				t.Errorf("%+v", v)
			}
		}
	})
}
