package notation

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

func TestExpressions(t *testing.T) {
	tests := []struct{ text, want string }{
		// numbers
		{"1200", "1200"},
		{"3.2e-5", "3.2e-05"},
		{"3.2e−5", "3.2e-05"},
		{"3.2×10^-5", "3.2e-05"},
		{"3.2·10^-5", "3.2e-05"},
		{"3.2 × 10⁻⁵", "3.2e-05"},
		{"4.9e-324", "5e-324"},
		{"2·10^3^2", "(· 2 (^ 10 (^ 3 2)))"},
		{"d^4·10^3", "(· (^ d 4) (^ 10 3))"},
		{"d^-4·10^3", "(· (^ d (− 4)) (^ 10 3))"},
		{"2·10·x", "(· (· 2 10) x)"},
		{"2·10^n", "(· 2 (^ 10 n))"},

		// quantities
		{"420 N·m", "[420 N·m]"},
		{"36mm", "[36 mm]"},
		{"150 N·m/m", "[150 N·m/m]"},
		{"7850 kg/m^3", "[7850 kg/m^3]"},
		{"5 mm⁴", "[5 mm⁴]"},
		{"5 m^-1", "[5 m^-1]"},
		{"5 m^(1/2)", "[5 m^(1/2)]"},
		{"5 N/(m·s)", "[5 N/(m·s)]"},
		{"0.4 %", "[0.4 %]"},
		{"30°", "[30 °]"},
		{"250 lbf·in", "[250 lbf·in]"},
		{"3.2×10^-5 m", "[3.2e-05 m]"},
		{"1/2 mm", "(/ 1 [2 mm])"},
		{"36 mm^2", "[36 mm^2]"},
		{"(36 mm)^4", "(^ (() [36 mm]) 4)"},
		{"6 mm / L", "(/ [6 mm] L)"},
		{"6 mm·sin(x)", "(· [6 mm] (sin() x))"},
		{"6 mm·x", "(· [6 mm] x)"},
		{"6 mm/(x + y)", "(/ [6 mm] (() (+ x y)))"},
		{"6 mm/(m)", "(/ [6 mm] (() m))"},
		{"12 in", "[12 in]"},
		{"x·(12 in)", "(· x (() [12 in]))"},
		{"5 J", "[5 J]"},

		// names
		{"theta_max", "θ_max"},
		{"Delta_x", "Δ_x"},
		{"Deltax", "Deltax"},
		{"d₀ + d_0", "(+ d_0 d_0)"},
		{"µ + ∆x", "(+ μ Δx)"},
		{"x̄", "x̄"},

		// precedence
		{"a + b·c^d", "(+ a (· b (^ c d)))"},
		{"a − b − c", "(− (− a b) c)"},
		{"a/b·c", "(· (/ a b) c)"},
		{"a÷b×c*d", "(· (· (/ a b) c) d)"},
		{"-x^2", "(− (^ x 2))"},
		{"2^-3", "(^ 2 (− 3))"},
		{"2^3^x", "(^ 2 (^ 3 x))"},
		{"d⁴", "(sup d 4)"},
		{"s⁻²", "(sup s (− 2))"},
		{"-d⁴", "(− (sup d 4))"},
		{"√x^2", "(√ (^ x 2))"},
		{"√2·x", "(· (√ 2) x)"},
		{"a·-b", "(· a (− b))"},
		{"x^√2", "(^ x (√ 2))"},
		{"|x − y|·|z|", "(· (|| (− x y)) (|| z))"},
		{"|a·|b| − c|", "(|| (− (· a (|| b)) c))"},
		{"||x||", "(|| (|| x))"},
		{"a + b ± c·d", "(± (+ a b) (· c d))"},
		{"36 mm +/- 0.1 mm", "(± [36 mm] [0.1 mm])"},
		{"between 1 mm and 2 mm + x", "(between [1 mm] (+ [2 mm] x))"},
		{"2·between 1 and 2", "(· 2 (between 1 2))"},
		{"a < b <= c", "(a < b ≤ c)"},
		{"a >= b and not c <> d or e = f", "(or (and (a ≥ b) (not (c ≠ d))) (e = f))"},
		{"if a < b and c > d then 1 else 2 + x", "(if (and (a < b) (c > d)) 1 (+ 2 x))"},

		// applications
		{"f(x, y + 1)", "(f() x (+ y 1))"},
		{"f()", "(f())"},
		{"max(0,3)", "(max() 0 3)"},
		{"T (a + b)", "(T() (+ a b))"},
		{"S.twist", "(S.twist)"},
		{"S.twist(x)·2", "(· (S.twist() x) 2)"},
		{"S.reaction(0 m)^2", "(^ (S.reaction() [0 m]) 2)"},
		{"log(x)", "(log() x)"},

		// forms that bind a name
		{"sum of i^2 for i from 1 to n + 1", "(sum i (^ i 2) 1 (+ n 1))"},
		{"∑ i for i from 1 to n", "(sum* i i 1 n)"},
		{"∫ x·y for x from 0 to 1", "(integral* x (· x y) 0 1)"},
		{"2·(sum of i for i from 1 to n) + 1", "(+ (· 2 (() (sum i i 1 n))) 1)"},
		{"sum of sum of i·j for i from 1 to j for j from 1 to 3", "(sum j (sum i (· i j) 1 j) 1 3)"},
		{"derivative of x^3 for x at 2", "(derivative x (^ x 3) 2 -)"},
		{"root of cos(x) − x for x from 0 to 1", "(root x (− (cos() x) x) 0 1)"},
		{"largest of x for x from 0 m to 1 m", "(largest x x [0 m] [1 m])"},
		{"limit of (1 + 1/n)^n as n → ∞", "(limit n (^ (() (+ 1 (/ 1 n))) n) inf -)"},
		{"limit of 1/n as n -> -infinity", "(limit n (/ 1 n) -inf -)"},
		{"limit of x as x → −a", "(limit x x (− a) -)"},
		{"product of i for i from 1 to 5 < 100", "((product i i 1 5) < 100)"},

		// lines
		{"max(1,\n\n  2) # end", "(max() 1 2)"},
		{"1 +\r\n2", "(+ 1 2)"},
		{"\u00a01\u2009+\ufeff2", "(+ 1 2)"},
		{"36\u00a0mm", "[36 mm]"}, // as typeset, and so as pasted
		{"420\u202fN·m + 3\u2009×\u200910^2\u00a0J", "(+ [420 N·m] [300 J])"},
	}
	for _, test := range tests {
		e, list := ParseExpr(source.NewText("", test.text))
		if list.HasErrors() {
			t.Errorf("%q: %v", test.text, list[0].Render())
			continue
		}
		if got := dump(e); got != test.want {
			t.Errorf("%q\n got %s\nwant %s", test.text, got, test.want)
		}
	}
}

func TestStatements(t *testing.T) {
	tests := []struct{ text, want string }{
		{"T = 420 N·m", "(define T [420 N·m])"},
		{"J(x) = π/32·d(x)^4", "(function J x (· (/ π 32) (^ (d() x) 4)))"},
		{"f(x, theta) = x", "(function f x θ x)"},
		{"θ in deg to 3 figures", "(show θ) in deg 3 figures"},
		{"θ to 2 places in deg", "(show θ) in deg 2 places"},
		{"θ to 1 figure", "(show θ) 1 figures"},
		{"b = 12 in in mm", "(define b [12 in]) in mm"},
		{"12 in to 3 figures", "(show [12 in]) 3 figures"},
		{"0.5 in deg", "(show 0.5) in deg"},
		{"k in N·m/m", "(show k) in N·m/m"},
		{"ω in 1/s", "(show ω) in 1/s"},
		{"c in in", "(show c) in in"},
		{"vary n from 1 to 200 by 1 starting at 8", "(vary n 1 200 1 8)"},
		{"vary d from 1 in to 2 in by 0.1 in starting at 1 in", "(vary d [1 in] [2 in] [0.1 in] [1 in])"},
		{"vary d from 10 mm to L", "(vary d [10 mm] L - -)"},
		{"vary n from 1 to 40 by 1 starting at 4 typed up to 1000", "(vary n 1 40 1 4)(typed - 1000)"},
		{"vary n from 2 to 40 typed from 1 up to 1000 by 1", "(vary n 2 40 1 -)(typed 1 1000)"},
		{"vary d from 20 mm to 60 mm, typed from 5 mm", "(vary d [20 mm] [60 mm] - -)(typed [5 mm] -)"},
		{"vary up from 1 to typed typed up to 2·typed", "(vary up 1 typed - -)(typed - (· 2 typed))"},
		{"typed = 3", "(define typed 3)"},
		{"expect θ between a and b + c", "(expect-between θ a (+ b c))"},
		{"expect a < b and c < d", "(expect (and (a < b) (c < d)))"},
		{"expect a ≈ b within 0.5 %", "(approx a b [0.5 %])"},
		{"expect a ~= b within 0.1 mm", "(approx a b [0.1 mm])"},
		{"expect θ within 1 ± 0.1", "(within θ (± 1 0.1))"},
		{"expect a = b", "(expect (a = b))"},
		{"table i, i^2 for i from 1 to n", "(table i (^ i 2) (range i 1 n - -))"},
		{"table x in mm, J(x) in mm⁴ for x from 0 m to L in 6 rows", "(table x in mm (J() x) in mm⁴ (range x [0 m] L - 6))"},
		{"table 0,3 for i from 1 to 5 in 6 rows", "(table 0 3 (range i 1 5 - 6))"},
		{"table x for x from 1 in to 12 in in 6 rows", "(table x (range x [1 in] [12 in] - 6))"},
		{"table x for x from 0 to 10 in n rows", "(table x (range x 0 10 - n))"},
		{"table x for x from 0 to 10 by 2", "(table x (range x 0 10 2 -))"},
		{`plot d(x) in mm as "diameter", y as "twist" in deg for x from 0 m to L`,
			`(plot (d() x) in mm "diameter" y in deg "twist" (range x [0 m] L - -)){false false}`},
		{"plot e for m from 1 to 9 marked at n + 1", "(plot e (range m 1 9 - -)marked(+ n 1)){false false}"},
		{"plot e for n from 1 to 1000 spaced by ratio on log axes in 40 points", "(plot e (range n 1 1000 - 40)ratio){true true}"},
		{"plot e for n from 1 to 9 by 2 on log y axis", "(plot e (range n 1 9 2 -)){false true}"},
		{"draw S", "(draw S - -)"},
		{"vary d from 20 mm to 60 mm, typed from 0.5 cm up to 1 m", "(vary d [20 mm] [60 mm] - -)(typed [0.5 cm] [1 m])"},
		{"table of S in n segments", "(segments S n)"},
		{"table of S in 2·n segments in deg to 6 figures", "(segments S (· 2 n)) in deg 6 figures"},
		{"table of tolerances of θ", "(tolerances θ)"},
		{"table of tolerances of T L/d in deg to 4 figures", "(tolerances (/ (· T L) d)) in deg 4 figures"},
		{"table of tolerances in 4 segments", "(segments tolerances 4)"},
		{"readings test of T in N·m, theta in deg: 0: 0.02, 10: 0.31 deg", "(readings test T N·m θ deg)( 0 0.02)( 10 [0.31 deg])"},
		{"readings r of x, y: -1: (a + b), 2: 3", "(readings r x - y -)( (− 1) (() (+ a b)))( 2 3)"},
		{"readings test of T in N·m, θ in deg:\n  0: 0.02,\n  10:\n 0.31", "(readings test T N·m θ deg)( 0 0.02)( 10 0.31)"},
		{"line fit through test", "(line fit test)"},
		{"line fit through test and origin without 7, n", "(line fit test)origin(without 7 n)"},
		{"plot fit", "(plot-line fit)"},
		{"plot residuals of fit", "(plot-residuals fit)"},
		{"line in mm", "(show line) in mm"},
		{"readings", "(show readings)"},
		{"trials of θ_n for n", "(trials θ_n n)(at)"},
		{"trials of θ_n in deg between a and b for n at 2, 4 guessed 0.7 deg at 8", "(trials θ_n in deg a b n)(at 2 4)(guess [0.7 deg] 8)"},
		{"trials of S.segments(n) within S.bracket(n) for n at 36 mm, 2 L", "(trials (S.segments() n) (S.bracket() n) n)(at [36 mm] [2 L])"},
		{`trials of a as "A", b to 3 figures for n guessed 1 at 2, 2 at 4`, `(trials a "A" b 3 figures n)(at)(guess 1 2)(guess 2 4)`},
		{"draw S with axial arrows", "(draw S - -)axial"},
		{"draw S in 2·n segments twisted 20 times", "(draw S (· 2 n) 20)"},
		{"draw S alone", "(draw S - -)alone"},
		{"draw S with axial arrows alone", "(draw S - -)aloneaxial"},
		{"draw section of S at L/2", "(section S (/ L 2))"},
		{"draw section", "(draw section - -)"},
		{"draw cut of S at 400 mm", "(cut S [400 mm])"},
		{"draw S before and after", "(twisting S)"},
		{"draw S before and after twisted 40 times", "(twisting S 40)"},
		{"draw S between uniform companions", "(companions S)"},
		{"draw S between uniform companions twisted 2·n times", "(companions S (· 2 n))"},
		{"before = 3", "(define before 3)"},
		{"prefer mm, MPa, deg, N·m/m", "(Prefer mm MPa deg N·m/m)"},
		{"T = 3 +\n\n  4 # more", "(define T (+ 3 4))"},
		{"w = if a = 1 and\n b = 2 then 1 else 2", "(define w (if (and (a = 1) (b = 2)) 1 2))"},
		{"by = 3", "(define by 3)"},
		{"x = |a\n + b|", "(define x (|| (+ a b)))"},
	}
	for _, test := range tests {
		cell, list := ParseCell(source.NewText("", test.text))
		if list.HasErrors() {
			t.Errorf("%q: %v", test.text, list[0].Render())
			continue
		}
		if len(cell.Stmts) != 1 {
			t.Errorf("%q: %d statements, want 1", test.text, len(cell.Stmts))
			continue
		}
		if got := dump(cell.Stmts[0]); got != test.want {
			t.Errorf("%q\n got %s\nwant %s", test.text, got, test.want)
		}
	}
}

func TestShaftLines(t *testing.T) {
	tests := []struct{ text, want string }{
		{"G = 79 GPa", "(ShaftModulus [79 GPa])"},
		{"solid 36 mm for 200 mm", "(ShaftSolid [36 mm] [200 mm])"},
		{"solid 36 mm to 54 mm for 800 mm", "(ShaftSolid [36 mm] [54 mm] [800 mm])"},
		{"hollow 54 mm to 40 mm bore 20 mm to 14 mm for 150 mm", "(ShaftHollow [54 mm] [40 mm] [20 mm] [14 mm] [150 mm])"},
		{"hollow 3 in bore 1 in for 10 in", "(ShaftHollow [3 in] [1 in] [10 in])"},
		{"profile 40 mm + 6 mm·sin(π·x/(0.5 m)) for 0.5 m", "(ShaftProfile (+ [40 mm] (· [6 mm] (sin() (/ (· π x) (() [0.5 m]))))) [0.5 m])"},
		{"profile d(x) bore d(x)/2 for L", "(ShaftProfile (d() x) (/ (d() x) 2) L)"},
		{"measured 0 mm: 36.1 mm,\n 150 mm: 37.9 mm", "(ShaftMeasured [0 mm] [36.1 mm] [150 mm] [37.9 mm])"},
		{"square 40 mm for 300 mm", "(ShaftSection [40 mm] [300 mm])"},
		{"rectangle 60 mm by 40 mm for 1 m", "(ShaftSection [60 mm] [40 mm] [1 m])"},
		{"tube area 17850 mm² around 514 mm wall 8 mm for 1 m", "(ShaftSection [17850 mm²] [514 mm] [8 mm] [1 m])"},
		{"open wall 8 mm along 514 mm for 1 m", "(ShaftSection [8 mm] [514 mm] [1 m])"},
		{"open wall t along 80 mm and\n wall 4 mm along b for L", "(ShaftSection t [80 mm] [4 mm] b L)"},
		{"core 2 in G 26 GPa", "(ShaftCore [2 in] [26 GPa])"},
		{"yields at 150 MPa", "(ShaftYield [150 MPa])"},
		{"yields at τ_Y/2", "(ShaftYield (/ τ_Y 2))"},
		{"hold at 0 mm", "(ShaftHold [0 mm])"},
		{"hold at 0 mm stiffness 12 kN·m", "(ShaftHold [0 mm] [12 kN·m])"},
		{"fixed at 0 mm", "(ShaftHold [0 mm])fixed"},
		{"fixed at x_1 stiffness 12 kN·m", "(ShaftHold x_1 [12 kN·m])fixed"},
		{"distributed torque 150 N·m/m from 0 m to L", "(ShaftSpread [150 N·m/m] [0 m] L)distributed"},
		{"distributed torque 150 N·m/m to 0 N·m/m from 0 m to L", "(ShaftSpread [150 N·m/m] [0 N·m/m] [0 m] L)distributed"},
		{"torque -780 N·m at 980 mm", "(ShaftTorque (− [780 N·m]) [980 mm])"},
		{"torque 150 N·m/m to 0 N·m/m from 0 m to L", "(ShaftSpread [150 N·m/m] [0 N·m/m] [0 m] L)"},
		{"power 12 kW at 1450 rpm at 300 mm", "(power false [12 kW] [1450 rpm] [300 mm])"},
		{"power P out at n at x_1", "(power true P n x_1)"},
		{"allow stress 40 MPa", "(allow stress [40 MPa])"},
		{"allow twist 1 deg/m", "(allow twist [1 deg/m])"},
		{"gear 36 teeth at 400 mm drives R 54 teeth at 0 mm", "(ShaftGear 36 [400 mm] R 54 [0 mm])"},
	}
	for _, test := range tests {
		cell, list := ParseShaft(source.NewText("", test.text))
		if list.HasErrors() {
			t.Errorf("%q: %v", test.text, list[0].Render())
			continue
		}
		if got := dump(cell.Lines[0]); got != test.want || len(cell.Lines) != 1 {
			t.Errorf("%q\n got %s\nwant %s", test.text, got, test.want)
		}
	}
}

func TestDerivation(t *testing.T) {
	const text = `given T: torque > 0, L: m, d_1 > d_0 > 0 mm, I: second moment of area
k = (d_1 − d_0)/L   # the slope
d(x) = d_0 + k·x because it is straight
θ = integral of T/(G·d(x)^4) for x from 0 m to L
  = T/G · (integral of 1/(k·u^4) for u from d_0 to d_1)  with u = d_0 + k·x  because u’s slope is k (see above # note
  = ?
dθ = T/(G·J(x))·dx
  = limit of sum of T for i from 1 to n as n → ∞`
	want := []string{
		"(given T:torque- (T > 0); L:m -; d_1:- (d_1 > d_0 > [0 mm]); d_0:- (d_1 > d_0 > [0 mm]); I:second moment of area- -)",
		"(start k (/ (() (− d_1 d_0)) L))",
		"(start d x (+ d_0 (· k x)))it is straight",
		"(start θ (integral x (/ T (() (· G (^ (d() x) 4)))) [0 m] L))",
		"(step (· (/ T G) (() (integral u (/ 1 (() (· k (^ u 4)))) d_0 d_1))) u (+ d_0 (· k x)))u’s slope is k (see above",
		"(gap)",
		"(start dθ (· (/ T (() (· G (J() x)))) dx))",
		"(step (limit n (sum i T 1 n) inf -) - -)",
	}
	cell, list := ParseDerivation(source.NewText("", text))
	if list.HasErrors() {
		t.Fatal(list[0].Render())
	}
	if len(cell.Lines) != len(want) {
		t.Fatalf("%d lines, want %d", len(cell.Lines), len(want))
	}
	for i, line := range cell.Lines {
		if got := dump(line); got != want[i] {
			t.Errorf("line %d\n got %s\nwant %s", i+1, got, want[i])
		}
	}
}

func TestSpans(t *testing.T) {
	const text = "θ_1 = 32·T·L/(π·G·d⁴) in deg"
	cell, list := ParseCell(source.NewText("", text))
	if list.HasErrors() {
		t.Fatal(list)
	}
	var got []string
	Inspect(cell.Stmts[0], func(n Node) bool {
		got = append(got, n.Span().Content())
		return true
	})
	want := []string{text, "θ_1", "32·T·L/(π·G·d⁴)", "32·T·L", "32·T", "32", "T", "L", "(π·G·d⁴)", "π·G·d⁴",
		"π·G", "π", "G", "d⁴", "d", "⁴", "deg"}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("got %q\nwant %q", got, want)
	}
}

// A broken line leaves the lines around it, and the names it defines, readable.
func TestRecovery(t *testing.T) {
	tests := []struct {
		name, text string
		want       []string
	}{
		{"open bracket", "T = (420 N·m\nL = 3 m", []string{"(define T bad)", "(define L [3 m])"}},
		{"unfinished line", "T = 420 +\nJ(x) = x", []string{"(define T bad)", "(function J x x)"}},
		{"before a statement word", "T = max(1,\nplot x for x from 0 to 1", []string{"(define T bad)", "(plot x (range x 0 1 - -)){false false}"}},
		{"function body", "f(x) = x 2\ng = 1", []string{"(function f x bad)", "(define g 1)"}},
		{"nothing after =", "T =\nL = 3 m", []string{"(define T bad)", "(define L [3 m])"}},
		{"vary", "vary n from to\nL = 3 m", []string{"(vary n bad bad - -)", "(define L [3 m])"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			cell, list := ParseCell(source.NewText("", test.text))
			var got []string
			for _, s := range cell.Stmts {
				got = append(got, dump(s))
			}
			if strings.Join(got, "\n") != strings.Join(test.want, "\n") {
				t.Errorf("got %q\nwant %q", got, test.want)
			}
			if len(list) != 1 {
				t.Errorf("%d messages, want 1: %v", len(list), list)
			}
		})
	}
}
