package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// What the givens say of an upper limit is not known of the values between the limits,
// where a claim may have a pole or a jump.
func TestSameSlopeNeedsAClaimWithoutJumps(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"pole between the limits", "given c: length > 0, L: length > c\ny = ∫_0^L c/(c^2 + x^2) dx\n= arctan((L + c)/(c − L)) − π/4", derive.Fails},
		{"no pole", "given c: length > 0, L: length > c\ny = ∫_0^L c/(c^2 + x^2) dx\n= arctan(L/c)", derive.Follows},
		{"lower limit beyond the domain", "given a: number > 0\ny = ∫_{−1}^a 1/(1 + x^2) dx\n= −arctan(1/a) − π/4", derive.Fails},
		{"lower limit beyond it, true", "given a: number > 0\ny = ∫_{−1}^a x/(1 + x^2) dx\n= ln(a^2 + 1)/2 − ln(2)/2", derive.Follows},
		{"domain in two pieces", "given a: number, a ≠ 0\ny = ∫_{−1}^a 1/(1 + x^2) dx\n= −arctan(1/a) − π/4", derive.Fails},
		{"pole in a domain without it", "given a: number, a ≠ 1\ny = ∫_0^a 1/(1 + x^2) dx\n= arctan((1 + a)/(1 − a)) − π/4", derive.Fails},
		{"pole at another name", "given c: length > 0, L: length > 0, c ≠ L\ny = ∫_0^L c/(c^2 + x^2) dx\n= arctan((L + c)/(c − L)) − π/4", derive.Fails},
		{"beyond a pole", "given a: number > 1\ny = ∫_0^a 1/(1 + (x − 1)^2) dx\n= −arctan(1/(a − 1)) − π/4", derive.Fails},
		{"beyond a pole, true", "given a: number > 1\ny = ∫_0^a 1/(1 + (x − 1)^2) dx\n= −arctan(1/(a − 1)) + 3/4·π", derive.Agrees},
		{"this side of a pole", "given a: number, 0 < a < 1\ny = ∫_0^a 1/(1 + x^2) dx\n= arctan((1 + a)/(1 − a)) − π/4", derive.Follows},
		{"domain with the lower limit", "given a: number > 0\ny = ∫_1^a 1/(1 + x^2) dx\n= π/4 − arctan(1/a)", derive.Follows},
		{"domain with 0 left out", "given a: number, a ≠ 0\ny = ∫_1^a 1/(1 + x^2) dx\n= π/4 − arctan(1/a)", derive.Fails},
		{"bound name that is given a sign", "given x: number > 0\ny = ∫_{−1}^1 |x| dx\n= ∫_{−1}^1 x dx", derive.Fails},
	})
}

// A root is only one in its range, and only one if it is the only one.
func TestRootsAreInTheirRange(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"number beyond the range", "y = root of x − 5 for x from 0 to 1\n= 5", derive.Open},
		{"name beyond the range", "given a: number > 0\ny = root of x − a for x from 2·a to 3·a\n= a", derive.Open},
		{"beyond a range that falls", "given a: number > 0\ny = root of x − a for x from 5·a to 3·a\n= a", derive.Open},
		{"in a range that falls", "given a: number > 0\ny = root of x − 4·a for x from 5·a to 3·a\n= 4·a", derive.Follows},
		{"in the range for some", "given a: number\ny = root of x − a for x from 0 to 1\n= a", derive.Agrees},
		{"quotient in the range for some", "given a: number, b: number, a ≠ 0\ny = root of x·a − b for x from 0 to 1\n= b/a", derive.Agrees},
		{"in the range for all", "given a: number, 0 ≤ a ≤ 1\ny = root of x − a for x from 0 to 1\n= a", derive.Follows},
		{"slope that may be 0", "given a: number ≥ 0\ny = root of a·x − 2·a for x from 0 to 5\n= 2", derive.Agrees},
		{"slope that is not 0", "given a: number > 0\ny = root of a·x − 2·a for x from 0 to 5\n= 2", derive.Follows},
		{"slope that is 0 at one end", "given a: number > 0\ny = root of x^3 − a^3 for x from 0 to 2·a\n= a", derive.Follows},
		{"number in the range", "y = root of 2·x − 3 for x from 0 to 10\n= 3/2", derive.Follows},
	})
}

// A derivative has no value at a kink or a jump; where several forms meet smoothly it has.
func TestDerivativesAtKinks(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"kink", "f(x) = |x|\nf′(0) = 1", derive.Open},
		{"kink, the mean", "f(x) = |x|\nf′(0) = 0", derive.Open},
		{"beside a kink", "f(x) = |x|\nf′(2) = 1", derive.Follows},
		{"beside a kink, wrong", "f(x) = |x|\nf′(2) = −1", derive.Fails},
		{"jump", "f(x) = if x < 0 then 0 else 1\nf′(0) = 0", derive.Open},
		{"beside a jump", "f(x) = if x < 0 then 0 else 1\nf′(1) = 0", derive.Follows},
		{"one value apart", "f(x) = if x = 0 then 1 else x\nf′(0) = 1", derive.Open},
		{"condition that jumps", "f(x) = if floor(x) < 1/2 then x else 2·x − 1\nf′(1) = 2", derive.Open},
		{"largest of two", "f(x) = max(x, 2)\nf′(2) = 1", derive.Open},
		{"beside the switch of the largest", "f(x) = max(x, 2)\nf′(3) = 1", derive.Follows},
		{"smallest of three", "f(x) = min(x, 2, 3·x)\nf′(0) = 3", derive.Open},
		{"smooth where two forms meet", "f(x) = x·|x|\nf′(0) = 0", derive.Follows},
		{"smooth at the switch", "f(x) = if x < 0 then 0 else x^2\nf′(0) = 0", derive.Follows},
		{"step function", "f(x) = floor(x)\nf′(0) = 0", derive.Open},
		{"kink in the claim", "f(x) = |x|\ny = 0\n= f′(0) − 1", derive.Open},
		{"any place", "given x: number\ny = x·|x|\ndy/dx = 2·|x|", derive.Agrees},
	})
}

// Of a line without any value nothing follows.
func TestNothingFollowsFromALineWithoutValue(t *testing.T) {
	const negative = "given a: number < 0\n"
	checkLastVerdicts(t, []verdictCase{
		{"root of a negative", negative + "y = sqrt(a)·sqrt(a)\n= a", derive.Open},
		{"wrong as well", negative + "y = sqrt(a)·sqrt(a)\n= −a", derive.Open},
		{"in a divisor", negative + "y = 1/(sqrt(a))^2\n= 1/a", derive.Open},
		{"logarithm of a negative", negative + "y = ln(a) − ln(a)\n= 0", derive.Open},
		{"root of a negative number", "y = sqrt(−1)^2\n= −1", derive.Open},
		{"bound", negative + "y = sqrt(a)·sqrt(a)\n≤ a + 1", derive.Open},
		{"proportion", negative + "y = sqrt(a)\n∝ sqrt(a)", derive.Open},
		{"divided by 0", "y = 1/(1 − 1)\n= 2/(1 − 1)", derive.Open},
		{"root of what may be negative", "given a: number\ny = sqrt(a)·sqrt(a)\n= a", derive.Follows},
		{"root of a positive", "given a: number > 0\ny = sqrt(a)·sqrt(a)\n= a", derive.Follows},
		{"divisor that may be 0", "given a: number, b: number\ny = a/(a − b)\n= −a/(b − a)", derive.Follows},
	})
}

// What is left of 0 by rounding is shown as 0, and is no multiple of the line above.
func TestRestOfZeroIsZero(t *testing.T) {
	v := judgeText(t, "y = ∫_0^π 2/(1 + 3·sin(x)^2) dx\n= [arctan(2·tan(x))]_{x=0}^{x=π}").Verdicts[0]
	if v.Kind != derive.Fails || v.Factor != nil || v.Claimed != "0" {
		t.Errorf("%s, factor %v, claimed %s", v.Kind, v.Factor, v.Claimed)
	}
}
