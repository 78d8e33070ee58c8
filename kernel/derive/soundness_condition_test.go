package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// A verdictCase is a derivation with the true verdict on its last line.
type verdictCase struct {
	name, text string
	want       derive.Kind
}

func checkLastVerdicts(t *testing.T, cases []verdictCase) {
	for _, test := range cases {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			if len(r.Verdicts) == 0 {
				t.Fatal("no verdict")
			}
			if v := r.Verdicts[len(r.Verdicts)-1]; v.Kind != test.want {
				t.Errorf("%s, want %s: %s", v.Kind, test.want, v.Why)
			}
		})
	}
}

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
