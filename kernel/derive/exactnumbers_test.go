package derive

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestExactNumbers: a number at the end of a chain may be off by one in its last
// digit only where something was rounded; 0 stands for nothing but 0; π is π.
func TestExactNumbers(t *testing.T) {
	for _, c := range []struct {
		text string
		want string // the kinds of all verdicts
	}{
		{"y = 12·12\n= 144", "follows"},
		{"y = 12·12\n= 145", "fails"},
		{"y = 12·12\n≈ 145", "agrees"},
		{"y = 5!\n= 121", "fails"},
		{"S = Σ_{i=1}^{100} i\n= 5051", "fails"},
		{"y = 1/2\n= 0.501", "fails"},
		{"y = sin(30°)\n= 0.501", "fails"},
		{"L = 100 mm\ny = L\n= 101 mm", "fails"},
		{"y = 2^60\n= 1152921504606846977", "fails"},
		{"y = 100\n= 101\n= 102", "fails fails"},
		{"y = 2/3\n= 0.667", "follows"},
		{"y = 2/3\n= 0.666", "agrees"},
		{"y = 2/3\n= 0.665", "fails"},
		{"T = 295 N·m\nd = 32 mm\nτ = 16·T/(π·d^3)\n= 45.85 MPa", "follows"},
		{"T = 295 N·m\nd = 32 mm\nτ = 16·T/(π·d^3)\n≈ 45.86 MPa", "agrees"},
		{"L = 400 mm\ny = L\n= 0 m", "fails"},
		{"T = 0.4 N·m\ny = T\n= 0 N·m", "fails"},
		{"y = 0.4999\n= 0", "fails"},
		{"y = sin(π)\n= 0", "follows"},
		{"y = 1\n= 1.00000000000000001", "fails"},
		{"given a: number, 0 ≤ a ≤ π\ny = acos(cos(a))\n= a", "agrees"},
		{"given α: angle, 0 < α < π\ny = |sin(α)|\n= sin(α)", "agrees"},
		{"given α: angle, 0 < α < π, d: length > 0\ny = cos(π)\n= −1", "follows"},
		{"given a: number, a = π\na < 1", "fails"},
	} {
		t.Run(strings.ReplaceAll(c.text, "\n", " / "), func(t *testing.T) {
			r := JudgeText(context.Background(), source.NewText("", c.text), Settings{})
			var got []string
			for _, v := range r.Verdicts {
				got = append(got, v.Kind.String())
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("%s, want %s: %+v", s, c.want, r.Verdicts)
			}
		})
	}
	for _, text := range []string{"π = 3", "pi = 22/7", "given π: number", "f(π) = π"} {
		r := JudgeText(context.Background(), source.NewText("", text), Settings{})
		if r.Diagnostics.FirstError() == nil {
			t.Errorf("%q gives π another meaning", text)
		}
	}
}

// TestUnreadLines: below a beginning that cannot be read no step is judged against
// the chain above it; an unread step is passed over.
func TestUnreadLines(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a beginning that is asked about", "given c: number > 0\ny = 3·c\n= c·3\nu = c/2 c\n= 1/2", "follows open"},
		{"a beginning with a decimal comma", "y = 4\nu = 0,5\n= 1/2", "open"},
		{"a step", "y = 4\n= )(\n= 2 + 2", "follows"},
		{"a bound", "y = 4\n≤ )(\n= 2 + 2", "follows"},
		{"a given line", "y = 4\ngiven )(\n= 2 + 2", "follows"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := JudgeText(context.Background(), source.NewText("", c.text), Settings{})
			var got []string
			for _, v := range r.Verdicts {
				got = append(got, v.Kind.String())
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("%s, want %s", s, c.want)
			}
		})
	}
}

// TestEqualSides: where a strict bound fails because its sides are equal, both are
// shown as the same short number.
func TestEqualSides(t *testing.T) {
	r := JudgeText(context.Background(), source.NewText("", "given x: number, 0 ≤ x ≤ 1\nx < 1"), Settings{})
	if v := r.Verdicts[0]; v.Kind != Fails || v.Above != "1" || v.Claimed != "1" {
		t.Errorf("%+v, want 1 and 1", v)
	}
}
