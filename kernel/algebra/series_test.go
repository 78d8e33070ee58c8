package algebra_test

import (
	"testing"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// Expansions as printed in M. Abramowitz and I.A. Stegun, Handbook of Mathematical
// Functions (1964): 3.6.8 to 3.6.15 for powers of 1 + x, 4.1.24 for ln, 4.2.1 for exp,
// 4.3.65 to 4.3.67 for sin, cos and tan, 4.4.40 and 4.4.42 for arc functions (from
// memory); the rest by multiplying those out.
func TestExpand(t *testing.T) {
	for _, test := range []struct {
		text  string
		order int
		terms []string
	}{
		{"(1 + k)^4", 0, []string{"1", "4", "6", "4", "1"}},
		{"1/(1 + k)", 0, []string{"1", "-1", "1", "-1", "1"}},
		{"1/(1 − k)^2", 0, []string{"1", "2", "3", "4", "5"}},
		{"√(1 + k)", 0, []string{"1", "1/2", "-1/8", "1/16", "-5/128"}},
		{"(1 + k)^(-1/2)", 0, []string{"1", "-1/2", "3/8", "-5/16", "35/128"}},
		{"(1 + k)^(1/3)", 0, []string{"1", "1/3", "-1/9", "5/81", "-10/243"}},
		{"exp(k)", 0, []string{"1", "1", "1/2", "1/6", "1/24", "1/120"}},
		{"ln(1 + k)", 1, []string{"1", "-1/2", "1/3", "-1/4", "1/5"}},
		{"sin(k)", 1, []string{"1", "0", "-1/6", "0", "1/120"}},
		{"cos(k)", 0, []string{"1", "0", "-1/2", "0", "1/24"}},
		{"tan(k)", 1, []string{"1", "0", "1/3", "0", "2/15"}},
		{"atan(k)", 1, []string{"1", "0", "-1/3", "0", "1/5"}},
		{"asin(k)", 1, []string{"1", "0", "1/6", "0", "3/40"}},
		{"(exp(k) − 1)/k", 0, []string{"1", "1/2", "1/6", "1/24"}},
		{"1/sin(k)", -1, []string{"1", "0", "1/6", "0", "7/360"}},
		{"(1 − 1/(1 + k)^3)/(3·k)", 0, []string{"1", "-2", "10/3", "-5"}},
		{"d^4 − (d − 2·k)^4", 1, []string{"8·d^3", "-24·d^2", "32·d", "-16"}},
		{"exp(a + k)", 0, []string{"exp(a)", "exp(a)", "exp(a)/2"}},
		{"sin(a + b·k)", 0, []string{"sin(a)", "b·cos(a)", "-b^2·sin(a)/2"}},
		{"√(a^2 + k)", 0, []string{"√(a^2)", "1/(2·√(a^2))"}},
		{"derivative of x^2·k + x for x at k", 0, []string{"1", "0", "2"}},
		{"k − k", 1 << 20, nil},
	} {
		e, list := notation.ParseExpr(source.NewText("", test.text))
		if list.HasErrors() {
			t.Fatal(list[0].Render())
		}
		got, ok := algebra.Expand(e, "k", nil)
		if !ok || got.Order != test.order || len(got.Terms) < len(test.terms) {
			t.Errorf("%s: ok %t, order %d, %d terms", test.text, ok, got.Order, len(got.Terms))
			continue
		}
		for i, want := range test.terms {
			w, _ := notation.ParseExpr(source.NewText("", want))
			if equal, decided := algebra.EqualExactly(got.Terms[i], w, nil); !equal || !decided {
				t.Errorf("%s: term %d is %s, want %s", test.text, i, notation.Print(got.Terms[i]), want)
			}
		}
	}
}

// What has no expansion in whole powers, or none that is known here.
func TestExpandRefuses(t *testing.T) {
	for _, text := range []string{"√k", "ln(k)", "|k|", "1/(k − k)", "exp(1/k)", "floor(k)", "asin(1 + k)", "if k < 1 then k else 2",
		"integral of sin(x·k) for x from 0 to 1", "k^k", "a^k"} {
		e, _ := notation.ParseExpr(source.NewText("", text))
		if got, ok := algebra.Expand(e, "k", nil); ok {
			t.Errorf("%s: %d %v", text, got.Order, got.Terms)
		}
	}
}
