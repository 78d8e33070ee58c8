package derive

import (
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestGiven judges derivations by what their givens say.
func TestGiven(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       []Kind
	}{
		{"names share a kind", "given L_1, L_2: length > 0|y = sqrt(L_1^2) + L_2|= L_1 + L_2", []Kind{Follows}},
		{"the first has the domain too", "given a, b: length > 0|y = sqrt(a^2)|= −a", []Kind{Fails}},
		{"names share a domain", "given a, b > 0 mm, c: length|y = sqrt(a^2) + sqrt(b^2)|= a + b|y_2 = sqrt(c^2)|= c", []Kind{Follows, Fails}},
		{"a list behind another item", "given G: stress, J_1, J_2: length^4 > 0|y = G·(J_1 + J_2)|= G·J_1 + J_2·G", []Kind{Follows}},
		{"a power of a word", "given J: length⁴|y = 2·J|= J + 1 mm^4", []Kind{Fails}},
		{"polar moment", "given J: polar moment > 0, d: diameter|y = J/d|= J/d^2", []Kind{Fails}},
		{"a diameter is positive", "given d: diameter|y = sqrt(d^2)|= d", []Kind{Follows}},
		{"a radius is positive", "given r: radius|y = 1/r|> 0 m^-1", []Kind{Follows}},
		{"a length is of either sign", "given L: length|y = sqrt(L^2)|= L", []Kind{Fails}},
		{"a diameter below another", "given d, D: diameter, d < D|D^4 − d^4 > 0 m^4", []Kind{Follows}},
		{"a diameter that may be below another", "given d, D: diameter|D^4 − d^4 > 0 m^4", []Kind{Fails}},
		{"for covers both halves", "given L: length > 0, d_1 > d_0 > 0 mm, x: length|d(x) = d_0 + (d_1 − d_0)·x/L|d_0 ≤ d(x) ≤ d_1 for 0 ≤ x ≤ L", []Kind{Follows, Follows}},
		{"for brings in a name for both", "given L: length > 0, d_1 > d_0 > 0 mm|d(x) = d_0 + (d_1 − d_0)·x/L|d_0 ≤ d(x) ≤ d_1 for 0 ≤ x ≤ L", []Kind{Follows, Follows}},
		{"the first half is wrong", "given L: length > 0, d_1 > d_0 > 0 mm, x: length|d(x) = d_0 + (d_1 − d_0)·x/L|d_1 ≤ d(x) ≤ 2·d_1 for 0 ≤ x ≤ L", []Kind{Fails, Follows}},
		{"for narrows no line above", "given x: number|x ≥ 0|x ≥ 0 for x ≥ 0", []Kind{Fails, Follows}},
	} {
		t.Run(test.name, func(t *testing.T) { judgeKinds(t, test.text, test.want) })
	}
}

// judgeKinds judges a derivation whose lines are separated by strokes.
func judgeKinds(t *testing.T, text string, want []Kind) Report {
	t.Helper()
	r := JudgeText(t.Context(), source.NewText("", strings.ReplaceAll(text, "|", "\n")), Settings{})
	if len(r.Verdicts) != len(want) {
		t.Fatalf("verdicts %v, says %v", r.Verdicts, r.Diagnostics)
	}
	for i, v := range r.Verdicts {
		if v.Kind != want[i] {
			t.Errorf("step %d %s, want %s: %s", i+1, v.Kind, want[i], v.Why)
		}
	}
	return r
}
