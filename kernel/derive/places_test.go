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
