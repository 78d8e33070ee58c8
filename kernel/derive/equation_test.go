package derive_test

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// Equations that are solved, values at an end, logarithms of lengths, units behind
// numbers, factorials. The solution of the shaft held at both ends is that of J.M. Gere
// and B.J. Goodno, Mechanics of Materials, 7th ed., section 3.8 (from memory); the
// others were solved by hand, and by putting in.
func TestEquations(t *testing.T) {
	const (
		held  = "given T: torque > 0, a: length > 0, b: length > 0, G: stress > 0, J_A: m^4 > 0, J_B: m^4 > 0\n"
		two   = "T_A + T_B = T\nT_A·a/(G·J_A) = T_B·b/(G·J_B)\n"
		shaft = "given T: torque > 0, G: stress > 0, L: length > 0, J: m^4 > 0\n"
		taper = "given L: length > 0, d_1 > d_0 > 0 mm, x: length\n"
		count = "given n: whole number ≥ 0\n"
	)
	for _, test := range []struct {
		name, text string
		want       derive.Kind
		says       string // in the reason or in a message
	}{
		{"one equation", shaft + "G·J·θ = T·L\n⇒ θ = T·L/(G·J)", derive.Follows, "no other solution"},
		{"one equation, wrong", shaft + "G·J·θ = T·L\n⇒ θ = T·L/(2·G·J)", derive.Fails, "half"},
		{"one equation, its next line", shaft + "G·J·θ = T·L = L·T", derive.Follows, "θ is not defined"},
		{"two equations", held + two + "⇒ T_A = T·b·J_A/(a·J_B + b·J_A)", derive.Follows, "no other solution"},
		{"two equations, second name", held + two + "⇒ T_A = T·b·J_A/(a·J_B + b·J_A)\n⇒ T_B = T·a·J_B/(a·J_B + b·J_A)", derive.Follows, ""},
		{"two equations, shares exchanged", held + two + "⇒ T_A = T·a·J_A/(a·J_B + b·J_A)", derive.Fails, ""},
		{"between the equations", held + "T_A + T_B = T\n⇒ T_B = T − T_A", derive.Follows, "follows from the equations"},
		{"between the equations, wrong", held + "T_A + T_B = T\n⇒ T_B = T + T_A", derive.Fails, ""},
		{"equal angles by their names", held + "T_A + T_B = T\n⇒ T_B = T − T_A\nθ_A = T_A·a/(G·J_A)\nθ_B = T_B·b/(G·J_B)\nθ_A = θ_B\n⇒ T_A = T·b·J_A/(a·J_B + b·J_A)", derive.Follows, ""},
		{"unknown names given", "given T_A: torque, T_B: torque\n" + held + "T = T_A + T_B\nθ_A = T_A·a/(G·J_A)\nθ_B = T_B·b/(G·J_B)\nθ_A = θ_B\n⇒ T_A = T·b·J_A/(a·J_B + b·J_A)", derive.Follows, ""},
		{"on the solutions", "given a: number > 0, b: number\nx + y = a\nx − y = b\n⇒ x = (a + b)/2\n⇒ x·y = (a^2 − b^2)/4", derive.Follows, ""},
		{"on the solutions, wrong", "given a: number > 0, b: number\nx + y = a\nx − y = b\n⇒ x = (a + b)/2\n⇒ x·y = (a^2 + b^2)/4", derive.Fails, ""},
		{"a fourth power", "given T: torque > 0, G: stress > 0, L: length > 0, θ: angle > 0, d: length > 0\nπ/32·G·d^4·θ = T·L\n⇒ d = (32·T·L/(π·G·θ))^(1/4)", derive.Follows, ""},
		{"a fourth power, wrong root", "given T: torque > 0, G: stress > 0, L: length > 0, θ: angle > 0, d: length > 0\nπ/32·G·d^4·θ = T·L\n⇒ d = (16·T·L/(π·G·θ))^(1/4)", derive.Fails, ""},
		{"a square with two roots", "given a: number > 0\nx^2 = a^2\n⇒ x = a", derive.Open, "x > 0"},
		{"a factor that may be 0", "given a: number, b: number ≠ 0\na·x = b\n⇒ x = b/a", derive.Open, "could not be solved"},
		{"the factor 0", "given a: number\na·x = a\n⇒ x = 1", derive.Open, "could not be solved"},
		{"a misspelt name stays unknown", shaft + "G·J·θ = T·l\n⇒ θ = T·L/(G·J)", derive.Open, "θ is not defined"},
		{"a false claim is no condition", shaft + "θ = T·L/(G·J)\nG·J·θ = 2·T·L", derive.Fails, ""},
		{"a false claim about what a line below finds", "given T: torque, G: stress > 0, L: length > 0, J: m^4 > 0\nθ = T·L/(G·J)\nG·J·θ = 2·T·L\n⇒ T = G·J·θ/(2·L)", derive.Fails, ""},
		{"value at 0 without a unit", taper + "d(x) = d_0 + (d_1 − d_0)·x/L\nd(0) = d_0", derive.Follows, ""},
		{"value at 0 without a unit, wrong", taper + "d(x) = d_0 + (d_1 − d_0)·x/L\nd(0) = d_1", derive.Fails, ""},
		{"value at the end", taper + "d(x) = d_0 + (d_1 − d_0)·x/L\nd(L) = d_1", derive.Follows, ""},
		{"logarithms of lengths", taper + "y = ln(d_1/d_0)\n= ln(d_1) − ln(d_0)", derive.Follows, ""},
		{"logarithms of lengths, wrong", taper + "y = ln(d_1/d_0)\n= ln(d_0) − ln(d_1)", derive.Fails, ""},
		{"logarithms with factors", taper + "y = ln(d_1^4/(d_0^3·L))\n= 4·ln(d_1) − (3·ln(d_0) + ln(L))", derive.Follows, ""},
		{"logarithms whose units do not cancel", taper + "y = ln(d_1^2/d_0^2)\n= 2·ln(d_1) − ln(d_0)", derive.Fails, "dimensions"},
		{"a logarithm from an integral", taper + "∫ 3/x dx = 3·ln(x) + C", derive.Agrees, ""},
		{"a logarithm from an integral, wrong", taper + "∫ 3/x dx = ln(x) + C", derive.Fails, ""},
		{"logarithms with limits", taper + "y = ∫_{d_0}^{d_1} 2/u du\n= 2·[ln(u)]_{u=d_0}^{u=d_1}\n= 2·(ln(d_1) − ln(d_0))", derive.Follows, ""},
		{"a unit behind numbers", "τ = 16·420000/(π·36^3) MPa\n= 45.85 MPa", derive.Follows, "rounds"},
		{"a unit behind numbers, wrong", "τ = 16·420000/(π·36^3) MPa\n= 4.585 MPa", derive.Fails, ""},
		{"degrees behind numbers", "θ = 180/π deg\n= 1", derive.Follows, ""},
		{"degrees with a sign", "given θ: angle\nφ = θ·180/π °\n= θ", derive.Follows, ""},
		{"a unit behind a stress", "given T: torque > 0, d: length > 0\nτ = 16·T/(π·d^3)\n= 16·T/(π·d^3) MPa", derive.Fails, "already"},
		{"factorial", count + "y = (n + 1)!\n= (n + 1)·n!", derive.Follows, ""},
		{"factorial, wrong", count + "y = (n + 1)!\n= n·n!", derive.Fails, ""},
		{"factorials apart", "given n: whole number ≥ 2\ny = n!/(n − 2)!\n= n^2 − n", derive.Follows, ""},
		{"factorial of a number", "y = 5!/(3!·2)\n= 10", derive.Follows, ""},
		{"factorial of what may be negative", "given n: whole number\ny = (n + 1)!\n= (n + 1)·n!", derive.Agrees, ""},
		{"factorial of what is not whole", "y = 2.5!\n= 3", derive.Open, "whole"},
		{"a bulge is at most half as thick again", taper + "d(x) = d_0·(1 + ½·sin(π·x/L))\nd(x)^4 ≤ (3·d_0/2)^4 for 0 ≤ x ≤ L", derive.Follows, "between −1 and 1"},
		{"a bulge is at most a quarter as thick again", taper + "d(x) = d_0·(1 + ½·sin(π·x/L))\nd(x)^4 ≤ (5·d_0/4)^4 for 0 ≤ x ≤ L", derive.Fails, ""},
		{"under the integral sign", "given T: torque > 0, G: stress > 0\n" + taper + "θ = ∫_0^L T/(G·π/32·(d_0·(2 + cos(x/L)))^4) dx\n≤ T·L/(G·π/32·d_0^4)", derive.Follows, ""},
		{"an exponential", taper + "e^(−x/L)·d_0 ≤ d_0 for x ≥ 0 m", derive.Follows, ""},
		{"an exponential, wrong", taper + "e^(−x/L)·d_0 ≤ d_0 for x ≥ −L", derive.Fails, ""},
		{"radius, diameter, ratio", "given r: radius > 0, d: diameter > 0, q: ratio\nA = q·(r/d)^2\n= r^2·q/d^2", derive.Follows, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := derive.JudgeText(context.Background(), source.NewText("", test.text), derive.Settings{})
			if len(r.Verdicts) == 0 {
				if test.want != derive.Open {
					t.Fatalf("no verdict: %v", r.Diagnostics)
				}
				return
			}
			v := r.Verdicts[len(r.Verdicts)-1]
			said := v.Why
			for _, d := range r.Diagnostics {
				said += "\n" + d.Message + ": " + d.Repair
			}
			if v.Kind != test.want || !strings.Contains(said, test.says) {
				t.Errorf("%s, want %s: %s", v.Kind, test.want, said)
			}
		})
	}
}

// A counterexample never shows two values that look the same.
func TestShownApart(t *testing.T) {
	for _, text := range []string{
		"given a: number > 0\ny = a\n= a·1.0000001",
		"given T: torque > 0\ny = T\n= T·(1 + 10^(-18))",
		"given T: torque > 0\nT ≥ T·1.0000001",
	} {
		v := judgeText(t, text).Verdicts[0]
		if v.Kind != derive.Fails || v.Above == v.Claimed {
			t.Errorf("%s: %s, %q and %q\n%s", v.Kind, v.Why, v.Above, v.Claimed, text)
		}
	}
}
