package derive_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// Names of mistakes that make sense, and wrong lines for which one that happens to
// give them would not.
func TestSlipsMakeSense(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       derive.Slip // one of several, or none of not
		not        []derive.Slip
	}{
		{"inner slope lost in a derivative", "given x: length, d_0: length > 0, k: number > 0\nu = d_0 + k·x\ny = u^4\ndy/dx = 4·u^3", derive.ChainRule, nil},
		{"inner slope not divided by", "given d_0: length > 0, k: number > 0, x: length > 0\n∫ 1/(d_0 + k·x)^4 dx = −1/(3·(d_0 + k·x)^3) + C", derive.ChainRule, nil},
		{"inner slope that is a number", "given x: number\nf(x) = sin(3·x)\nf′(x) = cos(3·x)", derive.ChainRule, nil},
		{"a factor that is no inner slope", "given x: number\nf(x) = sin(3·x)\nf′(x) = 2·cos(3·x)", "", []derive.Slip{derive.ChainRule}},
		{"floor below 1", "given a: number > 0\ny = floor(a)\n= 0", "", []derive.Slip{derive.WrongAngle, derive.WrongUnits}},
		{"maximum with a large number", "given x: number\ny = max(x, 1e6)\n= 1e6", "", []derive.Slip{derive.WrongAngle, derive.WrongUnits}},
		{"a condition far away", "given x: number\ny = if x < 1e6 then x else x + 1\n= x", "", []derive.Slip{derive.DecimalPlace}},
		{"the defined name itself", "given n: whole number ≥ 1\nS = Σ_{i=1}^{n} 1/i\n= 1", "", []derive.Slip{derive.WrongName}},
		{"a number for a name", "given a: number > 0, b: number > 0\ny = a\n= 3", "", []derive.Slip{derive.WrongPower}},
		{"another name's power for a name", "given a: number > 0, b: number > 0\ny = a\n= b^2", "", []derive.Slip{derive.WrongPower}},
		{"a power of one base", "given a: number > 0, b: number > 0\ny = b·a^3\n= b·a^2", derive.WrongPower, nil},
		{"an integral is still there", "y = ∫_{−2}^{1} |x| dx\n= ∫_{2}^{1} −u du with u = |x|", "", []derive.Slip{derive.MeanValue, derive.OneEnd}},
		{"a narrow step, passed over", "given a: number, 0.1 < a < 0.9\ny = ∫_0^1 (if (x − a)^2 < 1e-12 then 1e6 else 0) dx\n= 0", "", []derive.Slip{derive.WrongAngle, derive.DecimalPlace, derive.WrongEnd, derive.DroppedTerm, derive.MeanValue}},
		{"the integrand at mid-length", "given L: length > 0, c: length > 0\ny = ∫_0^L (c + x)^2 dx\n= L·(c + L/2)^2", derive.MeanValue, nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			v := r.Verdicts[len(r.Verdicts)-1]
			if v.Kind != derive.Fails || test.want != "" && v.Slip != test.want {
				t.Errorf("%s %s: %s", v.Kind, v.Slip, v.Why)
			}
			for _, not := range test.not {
				if v.Slip == not || v.Also == not {
					t.Errorf("%s: %s", not, v.Why)
				}
			}
		})
	}
}

// Both values of a counterexample show that they differ.
func TestCounterexamplesShowTheDifference(t *testing.T) {
	for _, text := range []string{
		"given x: number\ny = max(x, 2)\n= max(x, 2.0000001)",
		"given x: number > 0\nx + 1/x ≥ 2.0001",
	} {
		v := judgeText(t, text).Verdicts[0]
		short := func(s string) string { return strings.TrimRight(strings.TrimRight(s, "0"), ".") }
		if v.Kind != derive.Fails || short(v.Above) == short(v.Claimed) {
			t.Errorf("%s: %s against %s", v.Kind, v.Above, v.Claimed)
		}
	}
}
