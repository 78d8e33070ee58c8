package derive

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestDerivativesOfIntegrals: the slope of an integral by its limit is the integrand
// there only where that is continuous and the integral has a value; and nothing follows
// from a line of which no value is found.
func TestDerivativesOfIntegrals(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"f(x) = ∫_0^x u^2 du\nf′(1) = 1", "follows"},
		{"f(x) = ∫_0^x |u| du\nf′(1) = 1", "follows agrees"},
		{"f(x) = ∫_0^x (if s = 1 then 5 else s) ds\nf′(1) = 5", "open"},
		{"f(x) = ∫_x^2 (if s = 1 then 5 else s) ds\nf′(1) = −5", "open"},
		{"f(x) = ∫_0^{x^2} (if s = 1 then 5 else s) ds\nf′(1) = 10", "open"},
		{"f(x) = ∫_0^x (if s < 1 then 1 else 2) ds\nf′(1) = 2", "open"},
		{"f(x) = ∫_0^x (if s < 1 then 1 else 2) ds\nf′(2) = 2", "follows agrees"},
		{"f(x) = ∫_0^x floor(s) ds\nf′(1) = 1", "open"},
		{"f(x) = ∫_0^x 1/s ds\nf′(1) = 1", "open"},
		{"given x: number > 0\nf(x) = ∫_0^x 1/s ds\nf′(x) = 1/x", "open"},
		{"f(x) = ∫_{−1}^x sqrt(s) ds\nf′(4) = 2", "open"},
		{"f(x) = x + sqrt(−1)\nf′(1) = 1", "open"},
		{"f(x) = x + 1/0\nf′(1) = 1", "open"},
		{"given a: number < 0, x: number\nf(x) = x + ln(a)\nf′(2) = 1", "open"},
		{"y = ∫_{−1}^{1} 1/x dx − ∫_{−1}^{1} 1/x dx\n= 0", "open"},
		{"y = 0·∫_{0}^{1} 1/x dx\n= 0", "open"},
		{"given a: number > 0\ny = (∫_{0}^{a} 1/x^2 dx)/(∫_{0}^{a} 1/x^2 dx)\n= 1", "open"},
		{"y = (lim_{n→∞} n) − (lim_{n→∞} n)\n= 0", "open"},
		{"y = 1e-20\n= 0", "fails"},
		{"y = 1e-15 N\n= 0 N", "fails"},
		{"y = π − 3.14159265358979\n= 0", "fails"},
		{"y = sin(π/1e35)\n= 0", "fails"},
		{"given n: whole number, n = 0.5\ny = n\n= 1", "open"},
		{"given n: whole number, n = 3\ny = n\n= 3", "follows"},
		{"given k: whole number\ny = 1/(1+k)\n≈ 1 − k for small k", "open"},
	} {
		t.Run(strings.ReplaceAll(c.text, "\n", " / "), func(t *testing.T) {
			r := JudgeText(context.Background(), source.NewText("", c.text), Settings{})
			if len(r.Verdicts) != 1 || !strings.Contains(c.want, r.Verdicts[0].Kind.String()) {
				t.Errorf("%+v, want %s", r.Verdicts, c.want)
			}
		})
	}
}
