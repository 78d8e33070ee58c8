package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// Sums that tend to an integral, and sums with terms that vanish for i ~ n and add
// up all the same: Σ 1/i² = π²/6.
func TestRiemannSums(t *testing.T) {
	const cone = "given L: length > 0, c: length > 0\ny = "
	checkLastVerdicts(t, []verdictCase{
		{"extra terms that add up", cone + "lim_{n→∞} Σ_{i=1}^{n} (L/n)·(c + i·L/n + n·L/i^2)\n= ∫_0^L (c + x) dx", derive.Fails},
		{"without them", cone + "lim_{n→∞} Σ_{i=1}^{n} (L/n)·(c + i·L/n)\n= ∫_0^L (c + x) dx", derive.Follows},
		{"one large term", "y = lim_{n→∞} Σ_{i=1}^{n} (i/n + (if i = 1 then n else 0))/n\n= ∫_0^1 x dx", derive.Fails},
		{"its true value", "y = lim_{n→∞} Σ_{i=1}^{n} (i/n + (if i = 1 then n else 0))/n\n= 1 + ∫_0^1 x dx", derive.Agrees},
		{"both diverge", "y = lim_{n→∞} Σ_{i=1}^{n} (1/n)/(i/n)\n= ∫_0^1 1/x dx", derive.Open},
		{"both diverge faster", "y = lim_{n→∞} Σ_{i=1}^{n} (1/n)/(i/n)^2\n= ∫_0^1 1/x^2 dx", derive.Open},
		{"pole inside", "y = lim_{n→∞} Σ_{i=1}^{n} (1/n)/(i/n − 1/2)\n= ∫_0^1 1/(x − 1/2) dx", derive.Open},
		{"steep at an end", "y = lim_{n→∞} Σ_{i=1}^{n} (1/n)·√(i/n)\n= ∫_0^1 √(x) dx", derive.Follows},
		{"midpoints", cone + "lim_{n→∞} Σ_{i=1}^{n} (L/n)·√(c^2 + ((i − 1/2)·L/n)^2)\n= ∫_0^L √(c^2 + x^2) dx", derive.Follows},
		{"half", cone + "lim_{n→∞} Σ_{i=1}^{n} (L/n)·√(c^2 + (i·L/n)^2)\n= (∫_0^L √(c^2 + x^2) dx)/2", derive.Fails},
	})
}
