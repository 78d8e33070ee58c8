package derive_test

import (
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// Claims that fail only where several names are 0 or equal at once.
func TestWhereSeveralNamesMeet(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"two names 0", "given a: number, b: number\na^2 + b^2 > 0", derive.Fails},
		{"two names 0, allowed", "given a: number, b: number\na^2 + b^2 ≥ 0", derive.Follows},
		{"two names 0, left out", "given a: number > 0, b: number\na^2 + b^2 > 0", derive.Follows},
		{"two lengths 0", "given a: length, b: length\n|a| + |b| > 0", derive.Fails},
		{"three lengths 0", "given a: length, b: length, c: length\n|a| + |b| + |c| > 0", derive.Fails},
		{"two of three 0", "given a: length, b: length, c: length > 0\na^2·b^2 + a^2·c^2 + b^2·c^2 > 0", derive.Fails},
		{"three equal", "given a: number, b: number, c: number\n(a − b)^2 + (b − c)^2 + (c − a)^2 > 0", derive.Fails},
		{"three equal, as a condition", "given a: length > 0, b: length > 0, c: length > 0\ny = if a = b and b = c then 1 else 0\n= 0", derive.Fails},
		{"mean of three cubes", "given a: length > 0, b: length > 0, c: length > 0\na^3 + b^3 + c^3 > 3·a·b·c", derive.Fails},
		{"mean of three cubes, or equal", "given a: length > 0, b: length > 0, c: length > 0\na^3 + b^3 + c^3 ≥ 3·a·b·c", derive.Agrees},
		{"two pairs equal", "given a: length, b: length, c: torque, d: torque\ny = if a = b and c = d then 1 else 0\n= 0", derive.Fails},
		{"two numbers 1", "given x: number, y: number\n(1 − x)^2 + 100·(y − x^2)^2 > 0", derive.Fails},
		{"one name a multiple of another", "given a: length > 0, b: length > 0\na^2 + 2·b^2 > 2·√2·a·b", derive.Fails},
		{"names one after another", "given a: number, b: number\n(a − 2·b)^2 + (b − 3/7)^2 > 0", derive.Fails},
	})
}

// Bounds that are violated or touched at an odd place between the points that are tried.
func TestBoundsAtOddPlaces(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"touched at √2", "given x: number\nx^2 − 2·√2·x + 2 > 0", derive.Fails},
		{"touched at √2, or equal", "given x: number\nx^2 − 2·√2·x + 2 ≥ 0", derive.Agrees},
		{"not quite touched", "given x: number\nx^2 − 2·√2·x + 2.01 > 0", derive.Agrees},
		{"touched at π", "given x: number\nx^2 − 2·π·x + π^2 > 0", derive.Fails},
		{"touched where nothing is solved exactly", "given x: number\n(x^2 − 3)^2 > 0", derive.Open},
		{"touched by an exponential", "given x: number\nexp(x − 1.7) > x − 0.7", derive.Open},
		{"violated a little", "given x: number > 0\nx^3 − 3·x + 1.9999999 ≥ 0", derive.Fails},
		{"violated a little beside a peak", "given x: number, 0 < x < 3\nsin(x) < 0.9999999", derive.Fails},
		{"violated in two names", "given x: number > 0, y: number > 0\nx^4 + y^4 + 1 − 4·x·y ≥ −0.999", derive.Fails},
		{"close at the edge only", "given x: number > 0\nsin(x) < x", derive.Agrees},
		{"close far out only", "given x: number > 0\n(exp(x) − exp(−x))/(exp(x) + exp(−x)) < 1", derive.Follows},
		{"mean of two, strict", "given a: length > 0, b: length > 0\na + b > 2·√(a·b)", derive.Fails},
	})
	if v := judgeText(t, "given x: number\n(x^2 − 3)^2 > 0").Verdicts[0]; !strings.Contains(v.Why, "near x = 1.732") {
		t.Error(v.Why)
	}
}

// Claims about whole numbers that are wrong only far out.
func TestWholeNumbersFarOut(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"factorial", "given n: whole number ≥ 0\ny = n!\n≤ 10^9", derive.Fails},
		{"factorial, on one line", "given n: whole number ≥ 1\nn! ≤ 10^9", derive.Fails},
		{"factorial, from 20 on", "given n: whole number ≥ 1\ny = n!\n≤ 10^18", derive.Fails},
		{"factorial within its range", "given n: whole number ≥ 0, n ≤ 12\nn! ≤ 10^9", derive.Follows},
		{"reciprocals", "given n: whole number ≥ 1\ny = Σ_{i=1}^{n} 1/i\n≤ 5", derive.Fails},
		{"squares", "given n: whole number ≥ 1\ny = Σ_{i=1}^{n} i^2\n≤ 10·n^2", derive.Fails},
		{"squares, cubic bound", "given n: whole number ≥ 1\ny = Σ_{i=1}^{n} 1/i^2\n≤ 2", derive.Agrees},
		{"another formula from 13 on", "given n: whole number ≥ 1\ny = Σ_{i=1}^{n} i\n= if n < 13 then n·(n + 1)/2 else n·(n + 1)/2 + 1", derive.Fails},
		{"another formula from 50 on", "given n: whole number ≥ 1\ny = Σ_{i=1}^{n} i\n= if n·n < 2500 then n·(n + 1)/2 else n·(n + 1)/2 + 1", derive.Fails},
	})
}

// A condition that is not linear switches at a place that has to be looked for.
func TestSwitchesAtCurvedConditions(t *testing.T) {
	const positive = "given x: number > 0\n"
	checkLastVerdicts(t, []verdictCase{
		{"beside √2", positive + "y = if x^2 < 2 then x else x + 1\n= if x < 1.414 then x else x + 1", derive.Fails},
		{"close beside √2", positive + "y = if x^2 < 2 then x else x + 1\n= if x < 1.41421356 then x else x + 1", derive.Fails},
		{"at √2", positive + "y = if x^2 < 2 then x else x + 1\n= if x < √2 then x else x + 1", derive.Agrees},
		{"at √2 alone", positive + "y = if x^2 = 2 then 1 else 0\n= 0", derive.Fails},
		{"cubic", positive + "y = if x^3 < 5 then 1 else 0\n= if x < 1.71 then 1 else 0", derive.Fails},
		{"exponential", positive + "y = if exp(x) < 2 then 1 else 0\n= if x < 0.693 then 1 else 0", derive.Fails},
		{"exponential, true", positive + "y = if exp(x) < 2 then 1 else 0\n= if x < ln(2) then 1 else 0", derive.Agrees},
	})
}
