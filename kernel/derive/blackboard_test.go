package derive_test

import (
	"testing"

	"shaftbook/kernel/derive"
)

// The forms of the blackboard, each with a true step and a false one. The truth
// of each was decided by hand.
func TestBlackboard(t *testing.T) {
	const (
		shaft   = "given T: torque > 0, G: stress > 0, L: length > 0, d: length > 0\nθ = 32·T·L/(π·G·d^4)\n"
		taper   = "given T: torque > 0, G: stress > 0, L: length > 0, d_1 > d_0 > 0 mm\nk = (d_1 − d_0)/L\nJ(x) = π/32·(d_0 + k·x)^4\n"
		uniform = "given T: torque > 0, G: stress > 0, J: m^4 > 0, L: length > 0, x: length\n"
		numbers = "given a: number > 0, x: number, y: number > 0, n: number > 0\n"
	)
	checkLastVerdicts(t, []verdictCase{
		{"therefore", shaft + "⇒ T = π·G·d^4·θ/(32·L)", derive.Follows},
		{"therefore, wrong", shaft + "∴ T = π·G·d^4·θ/(16·L)", derive.Fails},
		{"cube root", numbers + "b = ∛a·∛a·∛a\n= a", derive.Follows},
		{"cube root, wrong", numbers + "b = ∛(8·a)\n= 8·∛a", derive.Fails},
		{"half", numbers + "b = ½·a + ¼·a\n= ¾·a", derive.Follows},
		{"half, wrong", numbers + "b = ½·a + ⅓·a\n= ⅔·a", derive.Fails},
		{"sine squared", numbers + "b = sin²(x) + cos^2(x)\n= 1", derive.Follows},
		{"sine squared, wrong", numbers + "b = sin²(x)\n= sin(x^2)", derive.Fails},
		{"power of e", numbers + "b = e^x·e^(2·x)\n= e^(3·x)", derive.Follows},
		{"power of e, wrong", numbers + "b = e^x·e^(2·x)\n= e^(2·x^2)", derive.Fails},
		{"e with a meaning of its own", "given e: number > 0\nb = e^2\n= exp(2)", derive.Fails},
		{"pasted signs", numbers + "b = 2 ∗ a – a ∙ 3\n= –a", derive.Follows},
		{"integral", taper + "θ = ∫_0^L T dx/(G·J(x))\n= integral of T/(G·J(x)) for x from 0 m to L", derive.Follows},
		{"integral with limits in braces", taper + "θ = ∫_{0 m}^{L} T/(G·J(x)) dx\n= 32·T·L/(3·π·G·(d_1 − d_0))·(1/d_0^3 − 1/d_1^3)", derive.Follows},
		{"integral, wrong", taper + "θ = ∫_{0 m}^{L} T/(G·J(x)) dx\n= 32·T·L/(3·π·G·(d_1 − d_0))·(1/d_0^4 − 1/d_1^4)", derive.Fails},
		{"bracket with limits", "given L: length > 0, k: number > 0\nA = ∫_{0 m}^{L} k·x dx\n= [k·x^2/2]_{0 m}^L\n= k·L^2/2", derive.Follows},
		{"bracket with limits, from the integral", "given L: length > 0, k: number > 0\nA = ∫_{0 m}^{L} k·x dx\n= [k·x^2/2]_{0 m}^L", derive.Follows},
		{"bracket with limits, turned round, from the integral", "given L: length > 0, k: number\nA = ∫_{0 m}^{L} k·x dx\n= [k·x^2/2]_L^{0 m}", derive.Fails},
		{"bracket with limits, turned round", "given L: length > 0, k: number > 0\nA = [k·x^2/2]_L^{0 m}\n= k·L^2/2", derive.Fails},
		{"bracket of a name that depends on x", "given L: length > 0, x: length\nu = L + x\nA = [u^2]_{x=0 m}^{x=L}\n= 3·L^2", derive.Follows},
		{"bracket of a name that depends on x, wrong", "given L: length > 0, x: length\nu = L + x\nA = [u^2]_{x=0 m}^{x=L}\n= 0 m^2", derive.Fails},
		{"bracket from 0 without a unit", "given L: length > 0\nA = [x^3/3 + L·x^2]_0^L\n= 4·L^3/3", derive.Follows},
		{"bracket from 0 without a unit, wrong", "given L: length > 0\nA = [x^3/3]_0^L\n= L^3", derive.Fails},
		{"sum", numbers + "S = Σ_{i=1}^{n} i\n= n·(n + 1)/2", derive.Follows},
		{"sum, wrong", numbers + "S = Σ_{i=1}^{n} i\n= n^2/2", derive.Fails},
		{"limit", "y = lim_{n→∞} (2·n + 1)/n\n= 2", derive.Follows},
		{"limit, wrong", "y = lim_{n→∞} (2·n + 1)/n\n= 1", derive.Fails},
		{"derivative of a function", uniform + "θ(x) = T·x/(G·J)\ndθ/dx = T/(G·J)", derive.Follows},
		{"derivative of a function, wrong", uniform + "θ(x) = T·x^2/(G·J·L)\ndθ/dx = T·x/(G·J·L)", derive.Fails},
		{"derivative with a prime", uniform + "θ(x) = T·x^2/(G·J·L)\nθ′(L) = 2·T/(G·J)", derive.Follows},
		{"derivative with a prime, wrong", uniform + "θ(x) = T·x^2/(G·J·L)\nθ′(L) = T/(G·J)", derive.Fails},
		{"derivative of an expression", uniform + "d/dx(x^3) = 3·x^2", derive.Follows},
		{"derivative of an expression, wrong", uniform + "d/dx(x^3) = x^2", derive.Fails},
		{"derivative of a name that depends on x", uniform + "u = x^2\nd/dx(u) = 2·x", derive.Follows},
		{"derivative of a name that depends on x, wrong", uniform + "u = x^2\nd/dx(u) = 0 m", derive.Fails},
		{"derivative of a value", uniform + "θ = T·x/(G·J)\ndθ/dx = T/(G·J)", derive.Follows},
		{"derivative of a value, wrong", uniform + "θ = T·x/(G·J)\ndθ/dx = 2·T/(G·J)", derive.Fails},
		{"derivative of a value without x", uniform + "θ = T·L/(G·J)\ndθ/dx = T/(G·J)", derive.Open},
		{"differential equation", taper + "dθ/dx = T/(G·J(x))\nθ = ∫_{0 m}^{L} T/(G·J(x)) dx", derive.Follows},
		{"differential equation, wrong", taper + "dθ/dx = T/(G·J(x))\nθ = ∫_{0 m}^{L} 2·T/(G·J(x)) dx", derive.Fails},
		{"differential equation and its chain", uniform + "dθ/dx = T/(G·J)\n= T·L/(G·J·L)", derive.Follows},
		{"differential equation and its chain, wrong", uniform + "dθ/dx = T/(G·J)\n= T·L/(G·J)", derive.Fails},
		{"integral without limits", uniform + "∫ 3·x^2 dx = x^3 + C", derive.Follows},
		{"integral without limits, wrong", uniform + "∫ 3·x^2 dx = x^3/3 + C", derive.Fails},
		{"integral without limits, constant that is none", uniform + "c = 2·x\n∫ 3·L·x dx = 3·L·x^2/2 + L^2·c", derive.Fails},
		{"integral without limits, its next line", uniform + "∫ 3·x^2 dx = x^3 + C\n= x^2·x + C", derive.Follows},
		{"integral without limits, its next line without the constant", uniform + "∫ 3·x^2 dx = x^3 + C\n= x^3", derive.Fails},
		{"value at an end", taper + "d(x) = d_0 + k·x\nd(L) = d_1", derive.Follows},
		{"value at an end, wrong", taper + "d(x) = d_0 + k·x\nd(L) = d_0", derive.Fails},
		{"value at the other end", taper + "d(x) = d_0 + k·x\n⇒ d(0 m) = d_0", derive.Follows},
		{"value at the other end, wrong", taper + "d(x) = d_0 + k·x\n⇒ d(0 m) = d_1", derive.Fails},
		{"value at an end of a function that has a slope there", uniform + "θ(x) = T·x^2/(G·J·L)\nθ(L) = T·L/(G·J)\nθ′(L) = T/(G·J)", derive.Fails},
		{"proportional", shaft + "θ ∝ L/d^4 for constant T, G", derive.Follows},
		{"proportional, wrong", shaft + "θ ∝ L/d^3 for constant T, G", derive.Fails},
		{"proportional to a number times it", shaft + "θ ∝ T·L/(G·d^4)", derive.Follows},
		{"proportional, constants not named", shaft + "θ ∝ L/d^4", derive.Open},
		{"proportional but for a constant", numbers + "b = a + 1\n∝ a", derive.Fails},
		{"proportional on one side of 0", numbers + "b = |x|\n∝ x", derive.Fails},
		{"proportional to nothing", numbers + "b = a\n∝ a − a", derive.Fails},
		{"held constant in vain", shaft + "θ ∝ L/d^4 for constant T", derive.Open},
	})
}
