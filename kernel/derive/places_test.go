package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// A sum that ends before it begins is 0: a closed form holds where the upper limit is
// at least the lower one less 1.
func TestEmptySums(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"always empty", "given n: whole number ≥ 0, n ≤ 2\nS = Σ_{i=5}^{n} i\n= n·(n+1)/2 − 10", derive.Fails},
		{"always empty, 0", "given n: whole number ≥ 0, n ≤ 2\nS = Σ_{i=5}^{n} i\n= 0", derive.Follows},
		{"empty without a least number, 0", "given n: whole number < 3\nS = Σ_{i=5}^{n} i\n= 0", derive.Follows},
		{"may be empty", "given n: whole number ≥ 0\nS = Σ_{i=5}^{n} i\n= n·(n+1)/2 − 10", derive.Fails},
		{"may be empty by two", "given n: whole number ≥ 3\nS = Σ_{i=5}^{n} 1\n= n − 4", derive.Fails},
		{"empty by one only", "given n: whole number ≥ 4\nS = Σ_{i=5}^{n} 1\n= n − 4", derive.Follows},
		{"empty by one only, by induction", "given n: whole number ≥ 4\nS = Σ_{i=5}^{n} i\n= n·(n+1)/2 − 10", derive.Follows},
		{"from 2, none allowed", "given n: whole number ≥ 0\nS = Σ_{i=2}^{n} 1\n= n − 1", derive.Fails},
		{"from 2, one allowed", "given n: whole number ≥ 1\nS = Σ_{i=2}^{n} 1\n= n − 1", derive.Follows},
		{"negative numbers allowed", "given n: whole number\nS = Σ_{i=1}^{n} 1\n= n", derive.Fails},
		{"negative numbers allowed, squares", "given n: whole number\nS = Σ_{i=0}^{n} i^2\n= n·(n+1)·(2·n+1)/6", derive.Fails},
		{"squares from 0", "given n: whole number ≥ 0\nS = Σ_{i=0}^{n} i^2\n= n·(n+1)·(2·n+1)/6", derive.Follows},
		{"squares from 1", "given n: whole number > 0\nS = Σ_{i=1}^{n} i^2\n= n·(n+1)·(2·n+1)/6", derive.Follows},
		{"two names in any order", "given n: whole number ≥ 0, m: whole number ≥ 0\nS = Σ_{i=m+1}^{n} 1\n= n − m", derive.Fails},
		{"two names in any order, both ends", "given n: whole number ≥ 0, m: whole number ≥ 0\nS = Σ_{i=m}^{n} 1\n= n − m + 1", derive.Fails},
		{"two names in order", "given m: whole number ≥ 0, n: whole number, n ≥ m\nS = Σ_{i=m+1}^{n} 1\n= n − m", derive.Follows},
		{"two names in order, by induction", "given m: whole number ≥ 0, n: whole number, n ≥ m\nS = Σ_{i=m}^{n} i\n= (n + m)·(n − m + 1)/2", derive.Follows},
		{"from n to 2·n", "given n: whole number\nS = Σ_{i=n}^{2·n} 1\n= n + 1", derive.Fails},
		{"from n to 2·n, upwards", "given n: whole number ≥ 0\nS = Σ_{i=n}^{2·n} 1\n= n + 1", derive.Follows},
		{"the sum of n equal parts, or none", "given n: whole number ≥ 0, L: length > 0\nS = Σ_{i=1}^{n} L/n\n= L", derive.Fails},
		{"the sum of n equal parts", "given n: whole number ≥ 1, L: length > 0\nS = Σ_{i=1}^{n} L/n\n= L", derive.Follows},
		{"n equal parts, or none", "given n: whole number, L: length > 0\nS = L\n= Σ_{i=1}^{n} L/n", derive.Fails},
		{"n equal parts", "given n: whole number ≥ 1, L: length > 0\nS = L\n= Σ_{i=1}^{n} L/n", derive.Follows},
	})
}

// Where the givens leave finitely many whole numbers, all of them are tried: two
// polynomials may differ and yet be equal at each.
func TestFinitelyManyWholeNumbers(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"cubic at three numbers", "given n: whole number ≥ 1, n ≤ 3\ny = n^3 + 11·n\n= 6·n^2 + 6", derive.Follows},
		{"cubic at four numbers", "given n: whole number ≥ 1, n ≤ 4\ny = n^3 + 11·n\n= 6·n^2 + 6", derive.Fails},
		{"cubic at all numbers", "given n: whole number ≥ 1\ny = n^3 + 11·n\n= 6·n^2 + 6", derive.Fails},
		{"square of 0 or 1", "given n: whole number ≥ 0, n ≤ 1\ny = n^2\n= n", derive.Follows},
		{"square of 0, 1 or 2", "given n: whole number ≥ 0, n ≤ 2\ny = n^2\n= n", derive.Fails},
		{"strictly between", "given n: whole number > 0, n < 3\ny = (n − 1)·(n − 2)\n= 0", derive.Follows},
		{"strictly between, not whole", "given n: number > 0, n < 3\ny = (n − 1)·(n − 2)\n= 0", derive.Fails},
		{"one number", "given a: whole number ≥ 0, a < 1\ny = a\n= 2·a", derive.Follows},
		{"far from 0", "given a: whole number ≥ 5000, a < 5001\ny = a\n= 5000", derive.Follows},
		{"with another name", "given n: whole number ≥ 0, n ≤ 2, L: length > 0\ny = n·(n − 1)·(n − 2)·L\n= 0 m", derive.Follows},
		{"with another name, wrong", "given n: whole number ≥ 0, n ≤ 3, L: length > 0\ny = n·(n − 1)·(n − 2)·L\n= 0 m", derive.Fails},
		{"two names", "given n: whole number ≥ 0, n ≤ 1, m: whole number ≥ 0, m ≤ 1\ny = (n + m)·(n + m − 1)·(n + m − 2)\n= 0", derive.Follows},
		{"end of another name", "given n: whole number ≥ 0, m: whole number ≤ 2, n ≤ m\ny = n·(n − 1)·(n − 2)\n= 0", derive.Follows},
		{"a fraction as the end", "given n: whole number > 0, n < 5/2\ny = (n − 1)·(n − 2)\n= 0", derive.Follows},
		{"a sum for each", "given n: whole number ≥ 0, n ≤ 3\nS = Σ_{i=1}^{n} i^2\n= n·(n + 1)·(2·n + 1)/6 + n·(n − 1)·(n − 2)·(n − 3)", derive.Follows},
		{"no value at one", "given n: whole number ≥ 0, n ≤ 3\ny = n/n\n= 1", derive.Follows},
		{"no value at one of the claim", "given n: whole number ≥ 0, n ≤ 1\ny = n^2\n= n^2/n", derive.Agrees},
		{"bound", "given n: whole number ≥ 1, n ≤ 3\ny = n^2\n< 10", derive.Follows},
		{"bound reached", "given n: whole number ≥ 1, n ≤ 3\ny = n^2\n< 9", derive.Fails},
		{"reals that are one", "given a: number ≥ 2, a ≤ 2\ny = a^2\n= 2·a", derive.Agrees},
	})
}

// A single name is tried at many sizes, at the ends of its domain, at 0, where it equals
// another and where a line changes its form.
func TestPlacesWhereStepsFail(t *testing.T) {
	checkLastVerdicts(t, []verdictCase{
		{"x < 10, x: number", "given x: number\nx < 10", derive.Fails},
		{"x ≤ 5, x: number", "given x: number\nx ≤ 5", derive.Fails},
		{"x < 1e9, x: number", "given x: number\nx < 1e9", derive.Fails},
		{"x^3 < 1000, x: number", "given x: number\nx^3 < 1000", derive.Fails},
		{"e^x < 20000, x: number", "given x: number\ne^x < 20000", derive.Fails},
		{"sqrt(x) < 4, x: number ≥ 0", "given x: number ≥ 0\nsqrt(x) < 4", derive.Fails},
		{"arctan(x) ≤ 1.57, x: number", "given x: number\narctan(x) ≤ 1.57", derive.Fails},
		{"x < 1e9, x: number > 0", "given x: number > 0\nx < 1e9", derive.Fails},
		{"x > 1e-9, x: number > 0", "given x: number > 0\nx > 1e-9", derive.Fails},
		{"n < 1e9, n: whole number ≥ 0", "given n: whole number ≥ 0\nn < 1e9", derive.Fails},
		{"x < 1, x: number, 0 ≤ x ≤ 1", "given x: number, 0 ≤ x ≤ 1\nx < 1", derive.Fails},
		{"x > 0, x: number, 0 ≤ x ≤ 1", "given x: number, 0 ≤ x ≤ 1\nx > 0", derive.Fails},
		{"x^2 > 0, x: number, 0 ≤ x ≤ 1", "given x: number, 0 ≤ x ≤ 1\nx^2 > 0", derive.Fails},
		{"x^3 < x^2, x: number, 0 ≤ x ≤ 1", "given x: number, 0 ≤ x ≤ 1\nx^3 < x^2", derive.Fails},
		{"y = a > 0, a: number ≥ 0", "given a: number ≥ 0\ny = a\n> 0", derive.Fails},
		{"y = a^2 > 0, a: number", "given a: number\ny = a^2\n> 0", derive.Fails},
		{"x/L < 1, L: length > 0, x: length, 0 ≤ x ≤ L", "given L: length > 0, x: length, 0 ≤ x ≤ L\nx/L < 1", derive.Fails},
		{"D^4 − d^4 > 0 m^4, d: length > 0, D: length ≥ d", "given d: length > 0, D: length ≥ d\nD^4 − d^4 > 0 m^4", derive.Fails},
		{"(D − d)^2 > 0 m^2, d: length > 0, D: length > 0", "given d: length > 0, D: length > 0\n(D − d)^2 > 0 m^2", derive.Fails},
		{"(D + d)/2 > sqrt(D·d), d: length > 0, D: length > 0", "given d: length > 0, D: length > 0\n(D + d)/2 > sqrt(D·d)", derive.Fails},
		{"d(x) = d_0 + (d_1 − d_0)·x/L d(x) > d_0 for 0 m ≤ x ≤ L, d_0: length > 0, d_1: length ≥ d_", "given d_0: length > 0, d_1: length ≥ d_0, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\nd(x) > d_0 for 0 m ≤ x ≤ L", derive.Fails},
		{"d(x) = d_0 + (d_1 − d_0)·x/L d(x) > d_0 for 0 m ≤ x ≤ L, d_1 > d_0 > 0 mm, L: length > 0", "given d_1 > d_0 > 0 mm, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\nd(x) > d_0 for 0 m ≤ x ≤ L", derive.Fails},
		{"d(x) = d_0 + (d_1 − d_0)·x/L ∫_0^L 1/d(x)^4 dx < L/d_0^4, d_0: length > 0, d_1: length ≥ d", "given d_0: length > 0, d_1: length ≥ d_0, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\n∫_0^L 1/d(x)^4 dx < L/d_0^4", derive.Fails},
		{"sin(x) < 1, x: number", "given x: number\nsin(x) < 1", derive.Fails},
		{"cos(x) > −1, x: number", "given x: number\ncos(x) > −1", derive.Fails},
		{"e^x > 1 + x, x: number", "given x: number\ne^x > 1 + x", derive.Fails},
		{"a·b < (a^2+b^2)/2, a: number, b: number", "given a: number, b: number\na·b < (a^2+b^2)/2", derive.Fails},
		{"1/(1+x^2) < 1, x: number", "given x: number\n1/(1+x^2) < 1", derive.Fails},
		{"∫_a^b x^2 dx < ∫_a^b (x^2+1) dx, a: number, b: number ≥ a", "given a: number, b: number ≥ a\n∫_a^b x^2 dx < ∫_a^b (x^2+1) dx", derive.Fails},
		{"y = lim_{n→∞} a·n/(1 + a·n) = 1, a: number ≥ 0", "given a: number ≥ 0\ny = lim_{n→∞} a·n/(1 + a·n)\n= 1", derive.Fails},
		{"y = lim_{n→∞} q^(1/n) = 1, q: number ≥ 0", "given q: number ≥ 0\ny = lim_{n→∞} q^(1/n)\n= 1", derive.Fails},
		{"y = 0^x = 0, x: number ≥ 0", "given x: number ≥ 0\ny = 0^x\n= 0", derive.Fails},
		{"y = |x − 1e-9| + 1e-9 = x, x: number > 0", "given x: number > 0\ny = |x − 1e-9| + 1e-9\n= x", derive.Fails},
		{"y = sqrt((x − 1e-9)^2) = x − 1e-9, x: number > 0", "given x: number > 0\ny = sqrt((x − 1e-9)^2)\n= x − 1e-9", derive.Fails},
		{"y = if x ≥ a then 1 else −1 = if x > a then 1 else −1, x: number, a: number", "given x: number, a: number\ny = if x ≥ a then 1 else −1\n= if x > a then 1 else −1", derive.Fails},
		{"y = if x ≥ 3 then 1 else −1 = if x > 3 then 1 else −1, x: number", "given x: number\ny = if x ≥ 3 then 1 else −1\n= if x > 3 then 1 else −1", derive.Fails},
		{"y = if x = 3 then 0 else x = x, x: number", "given x: number\ny = if x = 3 then 0 else x\n= x", derive.Fails},
		{"y = if x > 20 and x < 60 then 0 else x = x, x: number", "given x: number\ny = if x > 20 and x < 60 then 0 else x\n= x", derive.Fails},
		{"y = if x > 1 and x < 1.001 then 1 else 0 = 0, x: number", "given x: number\ny = if x > 1 and x < 1.001 then 1 else 0\n= 0", derive.Fails},
		{"S = L = Σ_{i=1}^{n} L/n, n: whole number, L: length > 0", "given n: whole number, L: length > 0\nS = L\n= Σ_{i=1}^{n} L/n", derive.Fails},
		{"x^4 < e^x + 1000, x: number > 0", "given x: number > 0\nx^4 < e^x + 1000", derive.Fails},
		{"sin(x) + cos(x) ≤ 1.4142, x: number", "given x: number\nsin(x) + cos(x) ≤ 1.4142", derive.Fails},
		{"y = floor(x/1e9) = 0, x: number > 0", "given x: number > 0\ny = floor(x/1e9)\n= 0", derive.Fails},
		{"sin(θ) < 1, θ: angle, 0 ≤ θ ≤ π/2", "given θ: angle, 0 ≤ θ ≤ π/2\nsin(θ) < 1", derive.Fails},
		{"S = Σ_{i=50}^{n} i = 0, n: whole number ≥ 1", "given n: whole number ≥ 1\nS = Σ_{i=50}^{n} i\n= 0", derive.Fails},
		{"x + 1/x > 2, x: number > 0", "given x: number > 0\nx + 1/x > 2", derive.Fails},
	})
}

// The true steps beside them still follow, or agree.
func TestPlacesWhereStepsHold(t *testing.T) {
	for _, test := range []struct{ name, text string }{
		{"d(x) = d_0 + (d_1 − d_0)·x/L ∫_0^L 1/d(x)^4 dx < L/d_0^4, d_0: length > 0, d_1: length > d", "given d_0: length > 0, d_1: length > d_0, L: length > 0\nd(x) = d_0 + (d_1 − d_0)·x/L\n∫_0^L 1/d(x)^4 dx < L/d_0^4"},
		{"sin(x) ≤ 1, x: number", "given x: number\nsin(x) ≤ 1"},
		{"x^2 + 1 > 0, x: number", "given x: number\nx^2 + 1 > 0"},
		{"e^x ≥ 1 + x, x: number", "given x: number\ne^x ≥ 1 + x"},
		{"D^4 − d^4 ≥ 0 m^4, d: length > 0, D: length ≥ d", "given d: length > 0, D: length ≥ d\nD^4 − d^4 ≥ 0 m^4"},
		{"D^4 − d^4 > 0 m^4, d: length > 0, D: length > d", "given d: length > 0, D: length > d\nD^4 − d^4 > 0 m^4"},
		{"sin(θ) < 1, θ: angle, 0 ≤ θ < π/2", "given θ: angle, 0 ≤ θ < π/2\nsin(θ) < 1"},
		{"x^2 < 1, x: number, 0 ≤ x < 1", "given x: number, 0 ≤ x < 1\nx^2 < 1"},
		{"y = if x ≥ 3 then 1 else −1 = if x < 3 then −1 else 1, x: number", "given x: number\ny = if x ≥ 3 then 1 else −1\n= if x < 3 then −1 else 1"},
		{"y = sqrt((x − 3)^2) = |x − 3|, x: number", "given x: number\ny = sqrt((x − 3)^2)\n= |x − 3|"},
		{"x + 1/x ≥ 2, x: number > 0", "given x: number > 0\nx + 1/x ≥ 2"},
		{"sin(x) + cos(x) ≤ sqrt(2), x: number", "given x: number\nsin(x) + cos(x) ≤ sqrt(2)"},
		{"arctan(x) < π/2, x: number", "given x: number\narctan(x) < π/2"},
		{"y = max(x, 3) = if x > 3 then x else 3, x: number", "given x: number\ny = max(x, 3)\n= if x > 3 then x else 3"},
		{"y = sin(x)^2 + cos(x)^2 = 1, x: number", "given x: number\ny = sin(x)^2 + cos(x)^2\n= 1"},
		{"y = tan(x) = sin(x)/cos(x), x: number", "given x: number\ny = tan(x)\n= sin(x)/cos(x)"},
		{"y = floor(x)+1 = floor(x + 1), x: number > 0", "given x: number > 0\ny = floor(x)+1\n= floor(x + 1)"},
		{"y = |a|·|a| = a^2, a: number", "given a: number\ny = |a|·|a|\n= a^2"},
		{"x − 1 < x, x: number", "given x: number\nx − 1 < x"},
		{"e^(−x^2) ≤ 1, x: number", "given x: number\ne^(−x^2) ≤ 1"},
		{"x^2 > 0, x: number, x ≠ 0", "given x: number, x ≠ 0\nx^2 > 0"},
		{"y = e^(2·x) = (e^x)^2, x: number", "given x: number\ny = e^(2·x)\n= (e^x)^2"},
		{"y = sin(2·x) = 2·sin(x)·cos(x), x: number", "given x: number\ny = sin(2·x)\n= 2·sin(x)·cos(x)"},
		{"y = atan(x) = 2·atan(x/(1+sqrt(1+x^2))), x: number", "given x: number\ny = atan(x)\n= 2·atan(x/(1+sqrt(1+x^2)))"},
		{"y = ln(e^x) = x, x: number", "given x: number\ny = ln(e^x)\n= x"},
		{"(a + b)/2 ≥ sqrt(a·b), a: number ≥ 0, b: number ≥ 0", "given a: number ≥ 0, b: number ≥ 0\n(a + b)/2 ≥ sqrt(a·b)"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			if v := r.Verdicts[len(r.Verdicts)-1]; v.Kind != derive.Follows && v.Kind != derive.Agrees {
				t.Errorf("%s: %s", v.Kind, v.Why)
			}
		})
	}
}
