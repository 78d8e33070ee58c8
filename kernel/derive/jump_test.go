package derive_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// A function with a jump has no derivative there, whatever its formula's slope is, and a
// kink is none in an antiderivative.
func TestJumpsBelowADerivative(t *testing.T) {
	const (
		shaft = "given x: length, L: length > 0, q: N·m/m > 0, T_0: torque > 0, 0 ≤ x ≤ L\n"
		rate  = shaft + "dT/dx = −q\nT(0) = q·L\n"
	)
	checkLastVerdicts(t, []verdictCase{
		{"jump at half length", rate + "T(x) = if x < L/2 then q·(L − x) else q·(L − x) + q·L", derive.Fails},
		{"jump from 0", shaft + "dT/dx = 0 N·m/m\nT(0) = 0 N·m\nT(x) = if x < L/3 then 0 N·m else T_0", derive.Fails},
		{"jump at a curved condition", rate + "T(x) = if x^2 < L^2/2 then q·(L − x) else q·(L − x) + q·L", derive.Fails},
		{"jump where the rate switches too", shaft + "dT/dx = if x < L/2 then 0 N·m/m else −q\nT(0) = q·L\nT(x) = if x < L/2 then q·L else q·(L − x)", derive.Fails},
		{"continuous", shaft + "dT/dx = if x < L/2 then 0 N·m/m else −q\nT(0) = q·L\nT(x) = if x < L/2 then q·L else q·(L − x) + q·L/2", derive.Agrees},
		{"no jump within the range", shaft + "dT/dx = −q\nT(0) = q·L\nT(x) = if x < 2·L then q·(L − x) else q·L", derive.Agrees},
		{"antiderivative that jumps", "given x: number\n∫ 2·x dx = (if x < 1 then x^2 else x^2 + 1) + C", derive.Fails},
		{"antiderivative with pieces that do not meet", "given x: number\n∫ (if x < 1 then 1 else 3) dx = (if x < 1 then x else 3·x) + C", derive.Fails},
		{"antiderivative with a kink", "given x: number\n∫ (if x < 1 then 1 else 3) dx = (if x < 1 then x else 3·x − 2) + C", derive.Agrees},
		{"antiderivative of a step", "given x: number\n∫ 1 dx = x + floor(x) + C", derive.Open},
	})
	v := judgeText(t, rate+"T(x) = if x < L/2 then q·(L − x) else q·(L − x) + q·L").Verdicts[0]
	if !strings.Contains(v.Why, "jumps from") || len(v.Counterexample) == 0 {
		t.Errorf("%s %v", v.Why, v.Counterexample)
	}
}

// A root is no single value where the range has several.
func TestSeveralRootsInTheRange(t *testing.T) {
	const length = "given a: length > 0\n"
	checkLastVerdicts(t, []verdictCase{
		{"the larger of two", length + "r = root of x^2 − 3·a·x + 2·a^2 for x from 0 m to 3·a\n= 2·a", derive.Open},
		{"the smaller of two", length + "r = root of x^2 − 3·a·x + 2·a^2 for x from 0 m to 3·a\n= a", derive.Open},
		{"neither of two", length + "r = root of x^2 − 3·a·x + 2·a^2 for x from 0 m to 3·a\n= 2.5·a", derive.Fails},
		{"beyond the range", length + "r = root of (x − a)·(x − 2·a)·(x − 3·a) for x from 0 m to 2.5·a\n= 3·a", derive.Fails},
		{"the last of three", length + "r = root of (x − a)·(x − 2·a)·(x − 3·a) for x from 0 m to 4·a\n= 3·a", derive.Open},
		{"the middle one, in its range", length + "r = root of (x − a)·(x − 2·a)·(x − 3·a) for x from 1.5·a to 2.5·a\n= 2·a", derive.Follows},
		{"none of a sine", "r = root of sin(x) for x from 1 to 10\n= 4", derive.Fails},
		{"of a sine", "r = root of sin(x) for x from 1 to 10\n= 2·π", derive.Open},
		{"of a sine, in its range", "r = root of sin(x) for x from 5 to 8\n= 2·π", derive.Agrees},
	})
}

// A peak that is narrower than the panels of an integration rule is not overlooked.
func TestNarrowPeaks(t *testing.T) {
	const place = "given a: number, 0 < a < 1\n"
	checkLastVerdicts(t, []verdictCase{
		{"narrower than any panel", place + "c = 1e-15\ny = ∫_0^1 c/((x − a)^2 + c^2) dx\n= arctan((1 − a)/c) + arctan(a/c)", derive.Open},
		{"width given", "given c: number > 0, a: number > 0\ny = ∫_0^{2·a} c/((x − a)^2 + c^2) dx\n= 2·arctan(a/c)", derive.Agrees},
		{"squared", place + "c = 1e-8\ny = ∫_0^1 c^3/((x − a)^2 + c^2)^2 dx\n= arctan((1 − a)/c)/2 + arctan(a/c)/2 + c/2·((1 − a)/((1 − a)^2 + c^2) + a/(a^2 + c^2))", derive.Open},
		{"in a quartic", "y = ∫_0^1 1e-9/((x^2 − 0.25)^2 + 1e-18) dx\n= 1", derive.Fails},
		{"wide enough", place + "c = 0.01\ny = ∫_0^1 c/((x − a)^2 + c^2) dx\n= arctan((1 − a)/c) + arctan(a/c)", derive.Agrees},
	})
}
