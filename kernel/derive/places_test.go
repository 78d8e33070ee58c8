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
