package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// Integrands that are put together from pieces. The values were found by hand,
// as areas of rectangles and triangles.
func TestIntegralsByPieces(t *testing.T) {
	const (
		torques = "given L: length > 0, a: length > 0, a < L, T_1: torque, T_2: torque\nT(x) = if x < a then T_1 else T_2\ny = ∫_0^L T(x) dx\n"
		load    = "given L: length > 0, a: length > 0, b: length > 0, a + b < L, q: N/m\n"
		unit    = "given a: number, 0 < a < 1\ny = "
		inside  = "given a: number, 0.1 < a < 0.9\ny = "
	)
	checkLastVerdicts(t, []verdictCase{
		{"two torques", torques + "= T_1·a + T_2·(L − a)", derive.Follows},
		{"two torques, changed places", torques + "= T_2·a + T_1·(L − a)", derive.Fails},
		{"two torques, the place beyond the end", "given L: length > 0, a: length > 0, T_1: torque, T_2: torque\nT(x) = if x < a then T_1 else T_2\ny = ∫_0^L T(x) dx\n= T_1·a + T_2·(L − a)", derive.Fails},
		{"two torques, downwards", "given L: length > 0, a: length > 0, a < L, T_1: torque, T_2: torque\nT(x) = if x > a then T_2 else T_1\ny = ∫_L^0 T(x) dx\n= −T_1·a − T_2·(L − a)", derive.Follows},
		{"load on a part, with and", load + "w(x) = if a < x and x < a + b then q else 0 N/m\ny = ∫_0^L w(x) dx\n= q·b", derive.Follows},
		{"load on a part, as a chain", load + "w(x) = if a < x < a + b then q else 0 N/m\ny = ∫_0^L w(x) dx\n= q·b", derive.Follows},
		{"not, or", unit + "∫_0^1 (if not (x < a) or x > 2 then x else −x) dx\n= 1/2 − a^2", derive.Follows},
		{"absolute value", unit + "∫_0^1 |x − a| dx\n= (a^2 + (1 − a)^2)/2", derive.Follows},
		{"absolute value, wrong", unit + "∫_0^1 |x − a| dx\n= (a^2 + (1 − a)^2)/3", derive.Fails},
		{"absolute value, limits in any order", "given a: number, b: number\ny = ∫_{a}^{b} |x| dx\n= b·|b|/2 − a·|a|/2", derive.Agrees},
		{"absolute value, place anywhere", "given a: number > 0\ny = ∫_0^1 |x − a| dx\n= if a > 1 then a − 1/2 else a^2 − a + 1/2", derive.Agrees},
		{"absolute value near the end", "y = ∫_0^1 |x − 0.999999| dx\n= (0.999999^2 + 0.000001^2)/2", derive.Follows},
		{"absolute value of a square", unit + "∫_0^1 |x^2 − a^2| dx\n= 4/3·a^3 − a^2 + 1/3", derive.Agrees},
		{"maximum", unit + "∫_0^1 max(x, a) dx\n= (1 + a^2)/2", derive.Follows},
		{"minimum", unit + "∫_0^1 min(x, a) dx\n= a − a^2/2", derive.Follows},
		{"step near the end", "y = ∫_0^1 (if x < 0.00001 then 1000 else 1) dx\n= 1.00999", derive.Follows},
		{"step near the end, passed over", "y = ∫_0^1 (if x < 0.00001 then 100000000 else 1) dx\n= 1", derive.Fails},
		{"narrow step", inside + "∫_0^1 (if |x − a| < 1e-6 then 1e6 else 0) dx\n= 2", derive.Follows},
		{"narrow step, passed over", inside + "∫_0^1 (if |x − a| < 1e-6 then 1e6 else 0) dx\n= 0", derive.Fails},
		{"narrow step of fourth degree, passed over", inside + "∫_0^1 (if (x − a)^4 < 1e-24 then 1e6 else 0) dx\n= 0", derive.Fails},
		{"narrow step by a function, passed over", "y = ∫_0^1 (if (e^x − 1.35)^2 < 1e-12 then 1e6 else 0) dx\n= 0", derive.Fails},
		{"narrow peak", "given a: number > 0\ny = ∫_0^1 max(0, a − |x − 0.3|·a·1000000) dx\n= a/1000000", derive.Follows},
		{"narrow peak, passed over", "given a: number > 0\ny = ∫_0^1 max(0, a − |x − 0.3|·a·1000000) dx\n= 0", derive.Fails},
		{"steps of floor", "y = ∫_0^{5/2} floor(x) dx\n= 2", derive.Agrees},
		{"arches of a sine", "y = ∫_0^10 |sin(x)| dx\n= 7 + cos(10)", derive.Agrees},
		{"root of a square, multiplied out", unit + "∫_0^1 √(x^2 − 2·a·x + a^2) dx\n= (a^2 + (1 − a)^2)/2", derive.Agrees},
		{"power of a square", unit + "∫_0^1 ((x − a)^2)^(1/2) dx\n= (a^2 + (1 − a)^2)/2", derive.Agrees},
		{"region below a line", "y = ∫_{0}^{1} ∫_{0}^{1} (if x + z < 1 then 1 else 0) dx dz\n= 1/2", derive.Follows},
		{"pole at the switch", unit + "∫_0^1 (if x < a then 1 else 1/(x − a)) dx\n= a", derive.Open},
		{"steps without end", "y = ∫_0^1 floor(1/x) dx\n= 0", derive.Open},
	})
}
