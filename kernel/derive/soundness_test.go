package derive_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// Steps that look right and are not, or are right for reasons that are easily
// missed. The truth of each was decided by hand; a false step must never
// follow, and a true one never fail.
func TestVerdictsAreNeverTooStrong(t *testing.T) {
	const (
		length  = "given L: length > 0\n"
		shaft   = "given T: torque > 0, G: stress > 0, L: length > 0, J: m^4 > 0\n"
		taper   = "given T: torque > 0, G: stress > 0, L: length > 0, d_1 > d_0 > 0 mm\nk = (d_1 − d_0)/L\nθ = integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L\n"
		numbers = "T = 420 N·m\nd = 36 mm\nτ = 16·T/(π·d^3)\n"
	)
	checkLastVerdicts(t, []verdictCase{
		{"root of a square in an integral across 0", length + "A = integral of √(x^2) for x from −L to L\n= integral of x for x from −L to L", derive.Fails},
		{"its true value", length + "A = integral of √(x^2) for x from −L to L\n= L^2", derive.Agrees},
		{"root of a square in an integral beyond 0", length + "A = integral of √(x^2) for x from 0 m to L\n= L^2/2", derive.Follows},
		{"the other root", "given a: length > 0\nr = root of x^2 − a^2 for x from 0 m to 2·a\n= −a", derive.Fails},
		{"the root in the range", "given a: length > 0\nr = root of x^2 − a^2 for x from 0 m to 2·a\n= a", derive.Follows},
		{"integral across a pole", length + "A = integral of 1/x^2 for x from −L to L\n= −2/L", derive.Open},
		{"integral beside a pole", length + "A = integral of 1/x^2 for x from L to 2·L\n= 1/(2·L)", derive.Follows},
		{"taper that may have diameter 0", "given d_0: length > 0, d_1: length, L: length > 0\nk = (d_1 − d_0)/L\nA = integral of 1/(d_0 + k·x)^2 for x from 0 m to L\n= L/(d_0·d_1)", derive.Agrees},
		{"taper that has not", "given d_0: length > 0, d_1: length > 0, L: length > 0\nk = (d_1 − d_0)/L\nA = integral of 1/(d_0 + k·x)^2 for x from 0 m to L\n= L/(d_0·d_1)", derive.Follows},
		{"limit with two sides", "y = limit of |x|/x as x → 0\n= 1", derive.Open},
		{"limit that swings", "y = limit of cos(π·n) as n → ∞\n= 1", derive.Open},
		{"limit of a quotient", "y = limit of (2·n + 1)/n as n → ∞\n= 2", derive.Follows},
		{"limit of a quotient, wrong", "y = limit of (2·n + 1)/n as n → ∞\n= 3", derive.Fails},
		{"absolute value beyond the usual numbers", "given c: number > 0\ny = |12 − c|\n= 12 − c", derive.Fails},
		{"maximum beyond the usual numbers", "given a: number\ny = max(a, 1000)\n= 1000", derive.Fails},
		{"condition beyond the usual numbers", "given c: number > 0\ny = if c < 1000000 then c else 2·c\n= c", derive.Fails},
		{"root of a square of either sign", "given x: number\ny = √(x^2)\n= x", derive.Fails},
		{"root of a square, negative", "given x: number < 0\ny = √(x^2)\n= −x", derive.Follows},
		{"divisor that may be 0", "given a: length, b: length\ny = a + b\n= (a^2 − b^2)/(a − b)", derive.Agrees},
		{"divisor that was there before", "given a: length, b: length\ny = a/(a − b)\n= −a/(b − a)", derive.Follows},
		{"logarithm of a product", "given a: number > 0, b: number > 0\ny = ln(a·b^2)\n= ln(a) + 2·ln(b)", derive.Follows},
		{"logarithm of a product of negatives", "given a: number < 0, b: number < 0\ny = ln(a·b)\n= ln(a) + ln(b)", derive.Open},
		{"sum to an integral", "given T: torque > 0, G: stress > 0, L: length > 0, d_0: length > 0, d_1: length > 0\nk = (d_1 − d_0)/L\nθ = limit of (sum of T·(L/n)/(G·π/32·(d_0 + k·(i − 1/2)·L/n)^4) for i from 1 to n) as n → ∞\n= integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L", derive.Follows},
		{"sum to half an integral", "given T: torque > 0, G: stress > 0, L: length > 0, d_0: length > 0, d_1: length > 0\nk = (d_1 − d_0)/L\nθ = limit of (sum of T·(L/n)/(G·π/32·(d_0 + k·(i − 1/2)·L/n)^4) for i from 1 to n) as n → ∞\n= (integral of T/(G·π/32·(d_0 + k·x)^4) for x from 0 m to L)/2", derive.Fails},
		{"two steps on one line, the second wrong", shaft + "θ = T·L/(G·J) = 2·T·L/(J·G)", derive.Fails},
		{"differential without its integral", "given T: torque > 0, G: stress > 0, J: m^4 > 0, L: length > 0, x: length\ndθ = T·dx/(G·J)\nθ = 2·T·L/(G·J)", derive.Open},
		{"sine under the integral", "given q: N·m/m > 0, L: length > 0\nT = integral of q·sin(π·s/L) for s from 0 m to L\n= 2·q·L/π", derive.Follows},
		{"sine under the integral, wrong", "given q: N·m/m > 0, L: length > 0\nT = integral of q·sin(π·s/L) for s from 0 m to L\n= q·L/π", derive.Fails},
		{"tapered between uniform, softer", taper + "θ ≤ T·L/(G·π/32·d_0^4)", derive.Follows},
		{"tapered between uniform, stiffer", taper + "θ ≥ T·L/(G·π/32·d_1^4)", derive.Follows},
		{"tapered beyond uniform", taper + "θ ≤ T·L/(G·π/32·d_1^4)", derive.Fails},
		{"chain from stiff to soft", taper + "T·L/(G·π/32·d_1^4) < θ < T·L/(G·π/32·d_0^4)", derive.Follows},
		{"bound of a square", "given a: length, b: length\ny = a^2 + b^2\n≥ 2·a·b", derive.Agrees},
		{"bound of a square, wrong", "given a: length, b: length\ny = a^2 + b^2\n≥ 3·a·b", derive.Fails},
		{"bound in a range", "given d_1 > d_0 > 0 mm, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\nd(x) ≥ d_0 for 0 m ≤ x ≤ L", derive.Follows},
		{"bound beyond its range", "given d_1 > d_0 > 0 mm, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\nd(x) ≥ d_0 for −L ≤ x ≤ L", derive.Fails},
		{"strict bound at the end of its range", "given d_1 > d_0 > 0 mm, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\nd(x) < d_1 for 0 m ≤ x < L", derive.Follows},
		{"number at the end", numbers + "= 45.85 MPa", derive.Follows},
		{"number at the end, fewer digits", numbers + "≈ 46 MPa", derive.Follows},
		{"number at the end, last digit off by one", numbers + "≈ 45.84 MPa", derive.Agrees},
		{"number at the end, wrong", numbers + "≈ 45.95 MPa", derive.Fails},
		{"number at the end, wrong by a unit", numbers + "≈ 45.85 kPa", derive.Fails},
		{"about a formula", shaft + "θ = T·L/(G·J)\n≈ T·L/(G·J)·(1 + 1e-9)", derive.Open},
		{"equation that holds", shaft + "θ = T·L/(G·J)\nG·J·θ = T·L", derive.Follows},
		{"equation that does not", shaft + "θ = T·L/(G·J)\nG·J·θ = 2·T·L", derive.Fails},
		{"switch that has no value somewhere", "given x: number\ny = √((x·√x)^2)\n= x·√x", derive.Agrees},
		{"derivative by a name that is given with a sign", "given x: number > 0\ny = derivative of |x| for x at −3\n= 1", derive.Fails},
		{"limit by a name that is given with a sign", "given n: number < 0\ny = limit of |n|/n as n → ∞\n= −1", derive.Fails},
		{"function simplified for its whole range only", "given x: number > 0\nf(x) = |x|\n= x\ny = f(−3)\n= −3", derive.Fails},
	})
}

// No diagnosis says more than what is so.
func TestNoFalseDiagnosis(t *testing.T) {
	r := judgeText(t, "given x: number\ny = √(x^2)\n= x")
	if v := r.Verdicts[0]; v.Slip != derive.AbsoluteValue || !strings.Contains(v.Why, "it holds where x is positive") {
		t.Errorf("%s: %s", v.Slip, v.Why)
	}
}
