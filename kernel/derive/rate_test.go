package derive

import "testing"

// TestRates judges functions of which only the derivative and single values are known,
// and claims about names that are given.
func TestRates(t *testing.T) {
	const spread = "given t_0 > 0 N, L: length > 0, x: length, G: stress > 0, J: length^4 > 0|dT/dx = −t_0|"
	for _, test := range []struct {
		name, text string
		want       []Kind
	}{
		{"torque from its load", spread + "T(L) = 0|∴ T(x) = t_0·(L − x)", []Kind{Follows}},
		{"value elsewhere", spread + "T(0) = t_0·L|T(x) = t_0·(L − x)|= t_0·L − t_0·x", []Kind{Follows, Follows}},
		{"two values that fit", spread + "T(L) = 0|T(0) = t_0·L|T(x) = t_0·(L − x)", []Kind{Follows}},
		{"two values of which one does not fit", spread + "T(L) = 0|T(0) = 0|T(x) = t_0·(L − x)", []Kind{Fails}},
		{"wrong derivative", spread + "T(L) = 0|T(x) = t_0·(x − L)", []Kind{Fails}},
		{"wrong value", spread + "T(L) = 0|T(x) = −t_0·x", []Kind{Fails}},
		{"the function is missing", spread + "T(L) = 0", []Kind{Open}},
		{"a value of the wrong kind", spread + "T(L) = 1 mm|T(x) = t_0·(L − x)", []Kind{Fails}},
		{"twist from torque", spread + "T(L) = 0|T(x) = t_0·(L − x)|dθ/dx = T(x)/(G·J)|θ(0) = 0|θ(x) = t_0·(L·x − x^2/2)/(G·J)|θ(L) = t_0·L^2/(2·G·J)", []Kind{Follows, Follows, Follows}},
		{"a gap between the branches", "given c: number, x: number ≠ 0|dy/dx = 1/x^2|y(1) = 0|y(x) = 1 − 1/x", []Kind{Agrees}},
		{"a derivative only where the givens hold", "given x: number, 0 ≤ x ≤ 5|dy/dx = sqrt(x^2)|y(2) = 2|y(x) = x^2/2", []Kind{Agrees}},

		{"a limit of a sum above", "given n: whole number ≥ 1|S = Σ_{i=1}^n i|W = lim_{n→∞} S/n^2|= 1/2", []Kind{Follows}},
		{"a wrong limit of a sum above", "given n: whole number ≥ 1|S = Σ_{i=1}^n i|W = lim_{n→∞} S/n^2|= 1", []Kind{Fails}},
		{"the limit of a name that does not run", "given n: whole number ≥ 1, a: number > 0|S = a|W = lim_{n→∞} S/n|= 0", []Kind{Follows}},

		{"a given name with a value", "given T: torque|y = T|T = 295 N·m", []Kind{Fails}},
		{"two given names", "given r: length > 0, d: diameter|d = 2·r", []Kind{Fails}},
		{"a condition in given", "given r: length > 0, d: diameter, d = 2·r|y = d^2|= 4·r^2", []Kind{Follows}},
		{"d/dx before a function", "given x: length, F: force|T(x) = F·x|d/dx T(x) = F", []Kind{Follows}},
		{"d/dx before a function, wrong", "given x: length, F: force|T(x) = F·x^2/(1 m)|d/dx T(x) = F", []Kind{Fails}},
	} {
		t.Run(test.name, func(t *testing.T) { judgeKinds(t, test.text, test.want) })
	}
}
