package derive_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// A defined name that is held constant keeps the names of its definition together.
func TestProportionalForADefinedConstant(t *testing.T) {
	const (
		hollow = "given D: length > 0, d: length, 0 m < d < D, T: torque > 0, L: length > 0\nk = d/D\n"
		shaft  = "given T: torque > 0, d: length > 0, G: stress > 0, L: length > 0\nτ = 16·T/(π·d^3)\nθ = 32·T·L/(π·G·d^4)\n"
		two    = "given a: length > 0, b: length > 0\n"
	)
	checkLastVerdicts(t, []verdictCase{
		{"stress of a bore in proportion", hollow + "τ = 16·T/(π·D^3·(1 − k^4))\n∝ T/D^3 for constant k", derive.Follows},
		{"outer diameter", hollow + "J = π/32·(D^4 − d^4)\n∝ D^4 for constant k", derive.Follows},
		{"inner diameter", hollow + "J = π/32·(D^4 − d^4)\n∝ d^4 for constant k", derive.Follows},
		{"wrong power", hollow + "J = π/32·(D^4 − d^4)\n∝ D^3 for constant k", derive.Fails},
		{"without the constant", hollow + "J = π/32·(D^4 − d^4)\n∝ D^4", derive.Fails},
		{"constants of two definitions", hollow + "s = L/D\nV = π/4·(D^2 − d^2)·L\n∝ D^3 for constant k, s", derive.Follows},
		{"constants of two definitions, wrong", hollow + "s = L/D\nV = π/4·(D^2 − d^2)·L\n∝ D^2 for constant k, s", derive.Fails},
		{"under an integral", "given d_0: length > 0, d_1 > d_0, L: length > 0, T: torque > 0, G: stress > 0\nk = d_1/d_0\nθ = ∫_0^L T/(G·π/32·(d_0 + (d_1 − d_0)·x/L)^4) dx\n∝ T·L/(G·d_0^4) for constant k", derive.Follows},
		{"twist at equal stress", shaft + "∝ L/d for constant τ, G", derive.Follows},
		{"twist at equal stress, wrong", shaft + "∝ L/d^4 for constant τ, G", derive.Fails},
		{"area", two + "A = a·b\nW = a·b^2\n∝ b for constant A", derive.Follows},
		{"sum", two + "s = a + b\nW = a·b\n∝ a for constant s", derive.Fails},
		{"of one name", shaft + "J = π/32·d^4\nφ = T·L/(G·J)\n∝ T·L for constant J, G", derive.Follows},
		{"of one name, wrong", shaft + "J = π/32·d^4\nφ = T·L/(G·J)\n∝ T for constant J, G", derive.Open},
		{"of one name of either sign", "given x: number, a: number > 0\nk = x^2\ny = a·x\n∝ a for constant k", derive.Open},
		{"not to be solved", two + "s = sin(a/b) + a/b\nW = a·b\n∝ a^2 for constant s", derive.Open},
	})
	v := judgeText(t, hollow+"J = π/32·(D^4 − d^4)\n∝ D^3 for constant k").Verdicts[0]
	names := ""
	for _, q := range v.Counterexample {
		names += q.Name + " "
	}
	if !strings.Contains(names, "k ") || strings.Contains(names, "″") {
		t.Error(names)
	}
}
