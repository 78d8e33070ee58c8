package notation

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// blackboard lists forms of the blackboard in calculation cells and answers, with
// the tree and the text that they become.
var blackboard = []struct{ text, tree, printed string }{
	{"∛x", "(^ x (() (/ 1 3)))", "x^(1/3)"},
	{"∛x^2", "(^ (() (^ x 2)) (() (/ 1 3)))", "(x^2)^(1/3)"},
	{"∛(8 mm)", "(^ (() [8 mm]) (() (/ 1 3)))", "(8 mm)^(1/3)"},
	{"2·∛2·x", "(· (· 2 (^ 2 (() (/ 1 3)))) x)", "2·2^(1/3)·x"},
	{"½·x + ¾", "(+ (· (() (/ 1 2)) x) (() (/ 3 4)))", "(1/2)·x + (3/4)"},
	{"x^⅓", "(^ x (() (/ 1 3)))", "x^(1/3)"},
	{"arctan(x) + arcsin(x) + arccos(x)", "(+ (+ (atan() x) (asin() x)) (acos() x))", "atan(x) + asin(x) + acos(x)"},
	{"sin²(α)", "(sup (sin() α) 2)", "sin(α)²"},
	{"sin^2(α) + cos^2(α)", "(+ (^ (sin() α) 2) (^ (cos() α) 2))", "sin(α)^2 + cos(α)^2"},
	{"a – b ∙ c ∗ d ∕ e", "(− a (/ (· (· b c) d) e))", "a − b·c·d/e"},
	{"2e–3 • x ‑ 1 N∙m", "(− (· 0.002 x) [1 N·m])", "2e−3·x − 1 N·m"},
	{"∫_0^L f(x) dx", "(integral* x (f() x) 0 L)", "∫ f(x) for x from 0 to L"},
	{"∫_{0 m}^{L/2} T/(G·J(x)) dx", "(integral* x (/ T (() (· G (J() x)))) [0 m] (/ L 2))", "∫ T/(G·J(x)) for x from 0 m to L/2"},
	{"∫_0^L T dx/J(x)", "(integral* x (/ T (J() x)) 0 L)", "∫ T/J(x) for x from 0 to L"},
	{"∫_0^L dx/J(x)", "(integral* x (/ 1 (J() x)) 0 L)", "∫ 1/J(x) for x from 0 to L"},
	{"∫_a^b(x + 1)dx", "(integral* x (() (+ x 1)) a b)", "∫ (x + 1) for x from a to b"},
	{"∫_0^L ∫_0^x q(s) ds dx", "(integral* x (integral* s (q() s) 0 x) 0 L)", "∫ ∫ q(s) for s from 0 to x for x from 0 to L"},
	{"2·∫_0^L x dx + 1", "(+ (· 2 (() (integral* x x 0 L))) 1)", "2·(∫ x for x from 0 to L) + 1"},
	{"∫_−∞^∞ exp(−x^2) dx", "(integral* x (exp() (− (^ x 2))) -inf inf)", "∫ exp(−x^2) for x from −∞ to ∞"},
	{"∫ from 0 m to 800 mm f(x) dx", "(integral* x (f() x) [0 m] [800 mm])", "∫ f(x) for x from 0 m to 800 mm"},
	{"∫ from 0 to L (x + 1) dx", "(integral* x (() (+ x 1)) 0 L)", "∫ (x + 1) for x from 0 to L"},
	{"∫_0^b 2 t dt", "(integral* t (· 2 t) 0 b)", "∫ 2·t for t from 0 to b"},
	{"∫_0^b 4 m^3 dm", "(integral* m (· 4 (^ m 3)) 0 b)", "∫ 4·m^3 for m from 0 to b"},
	{"∫_0^L 2 ds", "(integral* s 2 0 L)", "∫ 2 for s from 0 to L"},
	{"∫_{0 m}^{3 m} (m + 1 m) dm", "(integral* m (() (+ m [1 m])) [0 m] [3 m])", "∫ (m + 1 m) for m from 0 m to 3 m"},
	{"∫_{0 dm}^{3 dm} 2 m·x dx", "(integral* x (· [2 m] x) [0 dm] [3 dm])", "∫ 2 m · x for x from 0 dm to 3 dm"},
	{"integral of 2 t for t from 0 to 3", "(integral t (· 2 t) 0 3)", "integral of 2·t for t from 0 to 3"},
	{"integral of 2 t for x from 0 m to 3 m", "(integral x [2 t] [0 m] [3 m])", "integral of 2 t for x from 0 m to 3 m"},
	{"∫_0^1 θ^2 dθ", "(integral* θ (^ θ 2) 0 1)", "∫ θ^2 for θ from 0 to 1"},
	{"Σ_{i=1}^{n} i^2", "(sum* i (^ i 2) 1 n)", "∑ i^2 for i from 1 to n"},
	{"∑_{i = 1}^n (a + i) + b", "(+ (() (sum* i (() (+ a i)) 1 n)) b)", "(∑ (a + i) for i from 1 to n) + b"},
	{"Σ_i", "Σ_i", "Σ_i"},
	{"x^{n + 1}", "(^ x (() (+ n 1)))", "x^(n + 1)"},
}

// blackboardLines lists forms that stand only in derivations, each with
// the line above it that it needs.
var blackboardLines = []struct{ above, text, tree, printed string }{
	{"θ = a", "⇒ = b", "(⇒step b - -)", "⇒ = b"},
	{"", "∴ θ = a", "(∴start θ a)", "∴ θ = a"},
	{"", "Hence θ = a", "(∴start θ a)", "∴ θ = a"},
	{"θ = a", "so, θ = b", "(∴start θ b)", "∴ θ = b"},
	{"θ = a", "Therefore: θ ≥ b", "(∴step ≥ θ b - -)", "∴ θ ≥ b"},
	{"θ = a", "thus = b", "(∴step b - -)", "∴ = b"},
	{"θ = a", "then 2·θ = b", "(∴step (· 2 θ) b - -)", "∴ 2·θ = b"},
	{"θ = a", "So = 2·a", "(start So (· 2 a))", "So = 2·a"},
	{"given hence: number", "y = hence", "(start y hence)", "y = hence"},
	{"θ = a +", "∴ k = 2", "(∴start k 2)", "∴ k = 2"},
	{"", "y = e^x + e^(−x/2) + e²", "(start y (+ (+ (exp() x) (exp() (/ (− x) 2))) (exp() 2)))", "y = exp(x) + exp(−x/2) + exp(2)"},
	{"given e: number", "y = e^x", "(start y (^ e x))", "y = e^x"},
	{"e = 2", "y = e²", "(start y (sup e 2))", "y = e²"},
	{"", "y = sum of e^2 for e from 1 to 3", "(start y (sum e (^ e 2) 1 3))", "y = sum of e^2 for e from 1 to 3"},
	{"", "y = ∫_0^L T·dx/(G·J(x))", "(start y (integral* x (/ T (() (· G (J() x)))) 0 L))", "y = ∫ T/(G·J(x)) for x from 0 to L"},
	{"given L: length", "y = [x^2/2]_0^L", "(start y (change* x (/ (^ x 2) 2) 0 L))", "y = [x^2/2]_{x = 0}^{L}"},
	{"given L: length, x: length\nA = ∫_0^L x dx", "= [x^2/2]_0^L", "(step (change* x (/ (^ x 2) 2) 0 L) - -)", "= [x^2/2]_{x = 0}^{L}"},
	{"", "y = [a·x]_{x=1}^{x=b} + c", "(start y (+ (change* x (· a x) 1 b) c))", "y = [a·x]_{x = 1}^{b} + c"},
	{"", "y = lim_{n→∞} (1 + 1/n)^n", "(start y (limit n (^ (() (+ 1 (/ 1 n))) n) inf -))", "y = limit of (1 + 1/n)^n as n → ∞"},
	{"f(x) = x", "df/dx = 1", "(start df/dx 1)", "df/dx = 1"},
	{"f(x) = x", "y = 2·df/dx + 1", "(start y (+ (· 2 (() (derivative x (f() x) x -))) 1))", "y = 2·(derivative of f(x) for x at x) + 1"},
	{"f(x) = x", "f'(L) = 1", "(step (derivative x (f() x) L -) 1 - -)", "derivative of f(x) for x at L = 1"},
	{"f(x) = x", "y = f′(2·L)", "(start y (derivative x (f() x) (· 2 L) -))", "y = derivative of f(x) for x at 2·L"},
	{"", "θ’(x) = T/(G·J(x))", "(start dθ/dx (/ T (() (· G (J() x)))))", "dθ/dx = T/(G·J(x))"},
	{"", "d/dx(x^2) = 2·x", "(step (derivative x (^ x 2) x -) (· 2 x) - -)", "derivative of x^2 for x at x = 2·x"},
	{"f(x) = x", "f(0) = 0", "(step (f() 0) 0 - -)", "f(0) = 0"},
	{"", "sin(2·α) = 2·sin(α)", "(step (sin() (· 2 α)) (· 2 (sin() α)) - -)", "sin(2·α) = 2·sin(α)"},
	{"", "∫ |x| dx = x·|x|/2", "(step (antiderivative* x (|| x) - -) (/ (· x (|| x)) 2) - -)", "∫ |x| dx = x·|x|/2"},
	{"", "∫ x^2 dx = x^3/3 + C", "(step (antiderivative* x (^ x 2) - -) (+ (/ (^ x 3) 3) C) - -)", "∫ x^2 dx = x^3/3 + C"},
	{"", "∫ dx/2 = x/2", "(step (antiderivative* x (/ 1 2) - -) (/ x 2) - -)", "∫ 1/2 · dx = x/2"},
	{"", "∫ a·dm/2 = a·m/2", "(step (antiderivative* m (/ a 2) - -) (/ (· a m) 2) - -)", "∫ a/2 · dm = a·m/2"},
	{"dx = 1", "y = dθ/dx", "(start y (/ dθ dx))", "y = dθ/dx"},
	{"θ = a", "∝ L/d^4 for constant T, G", "(step ∝ constant T constant G (/ L (^ d 4)) - -)", "∝ L/d^4 for constant T, G"},
	{"", "y = n!", "(start y (product* i i 1 n))", "y = n!"},
	{"", "y = 2^n!·(n + 1)!/5!", "(start y (/ (· (^ 2 (product* i i 1 n)) (product* i i 1 (() (+ n 1)))) (product* i i 1 5)))", "y = 2^n!·(n + 1)!/5!"},
	{"", "y = n!^2 + f(n)!", "(start y (+ (^ (product* i i 1 n) 2) (product* i i 1 (f() n))))", "y = n!^2 + f(n)!"},
	{"", "y = −|n|! · a", "(start y (· (− (product* i i 1 (|| n))) a))", "y = −|n|!·a"},
	{"", "τ = 16·420000/(π·36^3) MPa", "(start τ (behind (/ (· 16 420000) (() (· π (^ 36 3)))) [1 MPa]))", "τ = 16·420000/(π·36^3) MPa"},
	{"θ = a", "= 0.0121·180/π deg because it is asked so", "(step (behind (/ (· 0.0121 180) π) [1 deg]) - -)it is asked so", "= 0.0121·180/π deg because it is asked so"},
	{"θ = a", "= 180·a/π °", "(step (behind (/ (· 180 a) π) [1 °]) - -)", "= 180·a/π °"},
	{"θ = a", "= (a + b) N/mm^2", "(step (behind (() (+ a b)) [1 N/mm^2]) - -)", "= (a + b) N/mm^2"},
	{"", "y = 16·420000/(π·36^3) MPa = 45.85 MPa", "(step [45.85 MPa] - -)", "= 45.85 MPa"},
	{"given m: length", "y = (a + b)·m", "(start y (· (() (+ a b)) m))", "y = (a + b)·m"},
	{"θ = a", "≈ 1 + 4·k for small k", "(step ≈ small k to - (+ 1 (· 4 k)) - -)", "≈ 1 + 4·k for small k"},
	{"θ = a", "≈ b for t ≪ d because thin", "(step ≈ small t to d b - -)thin", "≈ b for t ≪ d because thin"},
	{"", "θ ≈ b for k << 1", "(step ≈ θ small k to 1 b - -)", "θ ≈ b for k ≪ 1"},
	{"θ = a", "≈ b for small ≪ 2·L/3", "(step ≈ small small to (/ (· 2 L) 3) b - -)", "≈ b for small ≪ 2·L/3"},
	{"", "given r: radius > 0, n: whole number ≥ 1, q: torque per length", "(given r:radius- (r > 0); n:whole number- (n ≥ 1); q:torque per length- -)", "given r: radius > 0, n: whole number ≥ 1, q: torque per length"},
	{"", "θ ∝ L because it is uniform", "(step ∝ θ L - -)it is uniform", "θ ∝ L because it is uniform"},
}

func TestBlackboard(t *testing.T) {
	for _, test := range blackboard {
		e, list := ParseExpr(source.NewText("", test.text))
		if list.HasErrors() {
			t.Errorf("%q: %v", test.text, list[0].Render())
			continue
		}
		if got := dump(e); got != test.tree {
			t.Errorf("%q\n got %s\nwant %s", test.text, got, test.tree)
		}
		if got := Print(e); got != test.printed {
			t.Errorf("%q prints as %q, want %q", test.text, got, test.printed)
		}
		checkRoundTrip(t, test.text, []Expr{e}, func(again *source.Text) ([]Expr, source.List) {
			e, l := ParseExpr(again)
			return []Expr{e}, l
		})
	}
}

func TestBlackboardLines(t *testing.T) {
	for _, test := range blackboardLines {
		text := source.NewText("", strings.TrimPrefix(test.above+"\n"+test.text, "\n"))
		cell, list := ParseDerivation(text)
		n := len(cell.Lines)
		if list.HasErrors() && !strings.HasSuffix(test.above, "+") || n == 0 {
			t.Errorf("%q: %v", text.Content, list)
			continue
		}
		last := cell.Lines[n-1]
		checkSpans(t, text, last)
		if got := dump(last); got != test.tree {
			t.Errorf("%q\n got %s\nwant %s", test.text, got, test.tree)
		}
		if got := Print(last); got != test.printed {
			t.Errorf("%q prints as %q, want %q", test.text, got, test.printed)
		}
		if !list.HasErrors() {
			checkRoundTrip(t, text.Content, cell.Lines, func(again *source.Text) ([]DeriveLine, source.List) {
				c, l := ParseDerivation(again)
				return c.Lines, l
			})
		}
	}
}
