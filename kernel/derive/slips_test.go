package derive_test

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
)

// Wrong lines for which a slip of the trade is near at hand and would be the wrong
// name, found by changing numbers and signs of right lines.
func TestNoFalseName(t *testing.T) {
	const shaft = "given T: torque > 0, G: stress > 0, L: length > 0, d: length > 0, J: m^4 > 0\n"
	const taper = "given L: length > 0, d_0: length > 0, d_1 > d_0\nc = (d_1 − d_0)/L\nθ = integral of 1/(d_1 − c·x)^4 for x from 0 m to L\n"
	for _, test := range []struct {
		name, text string
		not        derive.Slip
	}{
		{"a lost cube of 2", "given r: length > 0\ny = (2·r)^3\n= 2·r^3", derive.RadiusSlip},
		{"a lost 8 beside a cube", "given a: length > 0\ny = 8·a^3\n= a^3", derive.RadiusSlip},
		{"half of a twist", shaft + "θ = T·L/(G·J)\n= T·L/(2·G·J)", derive.RadiusSlip},
		{"half of an element", "given x: length > 0, G: stress > 0, J: m^4 > 0, T: torque > 0\ndθ = T/(G·J)·dx\n= 2·T/(G·J)·dx", derive.RadiusSlip},
		{"another limit", "given d: length > 0, D > d\nJ = integral of 2·π·r^3 for r from d/2 to D/2\n= [π/2·r^4]_{r=d/4}^{D/2}", derive.Bending},
		{"a 32 beside a 16 that is another", shaft + "θ_1 = 32·T·L/(π·G·d^4)\nθ_2 = 32·T·L/(π·G·16·d^4)\n= θ_1/32", derive.Bending},
		{"a midpoint", shaft + "n = 4\ns = sum of π/32·(d + (i − 1/2)·L/4)^4 for i from 1 to 4\n= sum of π/32·(d + (i − 1/4)·L/4)^4 for i from 1 to 4", derive.Bending},
		{"right limits, wrong integrand", taper + "= integral of 2/(c·u^4) for u from d_0 to d_1 with u = d_1 − c·x", derive.SwappedLimits},
		{"a difference of torques over G·J", "given T_1: torque > 0, T_2: torque > 0, G: stress > 0, L: length > 0, J: m^4 > 0\nθ = (T_1 − T_2)·L/(G·J)\n= (T_1 − T_2)·L·(G·J)", derive.Slope},
		{"reactions", "given T_0: torque > 0, L: length > 0, x: length > 0, x < L\nT_A = T_0·(L − x)/L\nT_B = T_0 − T_A\n= T_0·(L − x)/L", derive.OneTorque},
		{"a number that was given", "T = 300 N·m\nθ = T·(0.45 m)/((79 GPa)·(164900 mm^4))\n= (300 N·m)·(0.45 m)/((79 GPa)·(164901 mm^4))", derive.Rounded},
		{"another dimension", "T = 300 N·m\nθ = T·(0.45 m)/((79 GPa)·(164900 mm^4))\n= (300 N·m)·(0.45 m)/((79 GPa)·(164900 mm^5))", derive.WrongUnits},
		{"inside and outside", "given T: torque > 0, R_i: length > 0, R_o > R_i\nτ = 2·T·R_o/(π·(R_o^4 − R_i^4))\n= 2·T·R_i/(π·(R_o^4 − R_i^4))", derive.WrongEnd},
		{"a term that leaves one diameter", "given k: m^-1 > 0, d_1: length > 0, d_2 > d_1\ny = k + 1/(d_2^4 − d_1^4)·(d_2^4 − d_1^4)·k\n= k", derive.WrongEnd},
		{"a sum of numbers", "given β: number > 0\ny = 1 + β\n= β/(1 + β)", derive.Series},
		{"two figures", "y = 16·420000/(π·36^3)\n= 92", derive.Bending},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			v := r.Verdicts[len(r.Verdicts)-1]
			if v.Kind != derive.Fails || v.Is(test.not) {
				t.Errorf("%s, %q or %q: %s", v.Kind, v.Slip, v.Also, v.Why)
			}
		})
	}
}

// Two slips that both explain a line are both named.
func TestTwoNames(t *testing.T) {
	r := judgeText(t, "given k_a: N·m > 0, k_b: N·m > 0, T: torque > 0\nθ = T/k_a + T/k_b\n= T/(k_a + k_b)")
	if v := r.Verdicts[0]; !v.Is(derive.Series) || !v.Is(derive.SplitDenominator) || !strings.Contains(v.Why, "or else") {
		t.Errorf("%q, %q: %s", v.Slip, v.Also, v.Why)
	}
}

// Beside a step that follows, nothing says that it is wrong: with du = −k·dx the
// swapped limits are right.
func TestSwappedLimitsThatAreRight(t *testing.T) {
	r := judgeText(t, "given L: length > 0, d_0: length > 0, d_1 > d_0\nk = (d_1 − d_0)/L\nθ = integral of 1/(d_1 − k·x)^4 for x from 0 m to L\n"+
		"= integral of 1/(k·u^4) for u from d_0 to d_1 with u = d_1 − k·x because du = −k·dx")
	v := r.Verdicts[0]
	if v.Kind != derive.Follows || v.Slip != derive.NoSlip || v.Factor != nil {
		t.Errorf("%s %q: %s", v.Kind, v.Slip, v.Why)
	}
	for _, word := range []string{"but", "wrong", "does not", "missing"} {
		if strings.Contains(v.Why, word) {
			t.Errorf("%q beside a right step: %s", word, v.Why)
		}
	}
}

// A free x below T(x) = … gets the advice to give it a dimension.
func TestFreeParameter(t *testing.T) {
	for text, repair := range map[string]string{
		"given q: N·m/m > 0, L: length > 0\nT(x) = q·(L − x)\n= q·L − q·x":                 "given x: length",
		"given q: N·m/m > 0, L: length > 0\nT(x) = integral of q for s from x to L\n= q·x": "given x: length",
		"given c: N·m > 0, a: number > 0\nM(φ) = integral of c for u from φ to a\n= c·φ":   "given φ: number",
	} {
		r := derive.JudgeText(context.Background(), source.NewText("", text), derive.Settings{})
		if d := r.Diagnostics.FirstError(); d == nil || !strings.Contains(d.Repair, repair) {
			t.Errorf("%s\n%v", text, d)
		}
	}
}
