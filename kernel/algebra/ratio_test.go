package algebra

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/notation"

	"pgregory.net/rapid"
)

func TestEqualExactly(t *testing.T) {
	const (
		yes  = "equal"
		no   = "different"
		open = "undecided"
	)
	cases := []struct{ a, b, want string }{
		{"(a + b)^2", "a^2 + 2·a·b + b^2", yes},
		{"(a^3 − b^3)/(a − b)", "a^2 + a·b + b^2", yes},
		{"1/a + 1/b", "(a + b)/(a·b)", yes},
		{"0.1 + 0.2", "0.3", yes},
		{"0.1 + 0.2", "0.30000000000000004", no},
		{"a/b/c", "a/(b·c)", yes},
		{"T·L/J·G", "T·L/(J·G)", no},
		{"π/32·(2·r)^4", "π/2·r^4", yes},
		{"π/32·r^4", "π/2·r^4", no},
		{"π", "22/7", no},
		{"36 mm", "0.036 m", yes},
		{"79 GPa", "79·10^9 Pa", yes},
		{"30 deg", "15·(2 deg)", yes},
		{"√x·√x", "x", yes},
		{"(1 − √x)·(1 + √x)", "1 − x", yes},
		{"1/√2", "√2/2", yes},
		{"√(9/4)", "3/2", yes},
		{"x^(3/2)", "x·√x", yes},
		{"sin(x)^2 + cos(x)^2", "1", yes},
		{"sin(a + b)", "sin(b + a)", yes},
		{"|x|^2", "x^2", yes},
		{"exp(x)^2", "exp(2·x)", yes},
		{"exp(x/2)·exp(x/3)", "exp(5·x/6)", open},
		{"exp(a + b)", "exp(a)·exp(b)", yes},
		{"exp(a + b)", "exp(a) + exp(b)", open},
		{"ln(x^2)", "2·ln(x)", open},
		{"sin((a^2 − b^2)/(a − b))", "sin(a + b)", yes},
		{"cos(7·π)", "−1", yes},
		{"sin(π/6)", "1/2", yes},
		{"cos(π/4)", "1/2", open},
		{"√(x^2)", "|x|", open},
		{"1/(x − x)", "1", open},
		{"(a + b + c + d)^64", "0", open},
		{"sum of c·i for i from 1 to n", "c·(sum of j for j from 1 to n)", yes},
		{"integral of (a·x + b) for x from 0 to L", "a·(integral of u for u from 0 to L) + (integral of b for x from 0 to L)", yes},
		{"integral of T/(G·J(x)) for x from 0 to L", "32·T/(π·G)·(integral of 1/(d_0 + k·x)^4 for x from 0 to L)", yes},
		{"integral of x for x from 0 to L", "L^2/2", open},
		{"derivative of -1/(3·k·(d_0 + k·x)^3) for x at x", "1/(d_0 + k·x)^4", yes},
		{"derivative of -1/(3·(d_0 + k·x)^3) for x at x", "1/(d_0 + k·x)^4", no},
		{"if a < b then 1 else 2", "if a < b then 1 else 2", yes},
		// Published: the taper's closed form in its two shapes. With d_1 = d_0 + k·L,
		// (1/d_0³ − 1/d_1³)/(3·k) = L·(d_0² + d_0·d_1 + d_1²)/(3·d_0³·d_1³)
		// (Timoshenko & Gere, Mechanics of Materials, tapered bar; from memory).
		{"(1/d_0^3 − 1/(d_0 + k·L)^3)/(3·k)", "L·(d_0^2 + d_0·(d_0 + k·L) + (d_0 + k·L)^2)/(3·d_0^3·(d_0 + k·L)^3)", yes},
		// Two holds: T_A·(a/J_1 + b/J_2) = T·b/J_2 (Gere, statically indeterminate
		// torsional members; from memory).
		{"T·b·J_1/(a·J_2 + b·J_1)", "T·(b/J_2)/(a/J_1 + b/J_2)", yes},
	}
	funcs := functions(t, lesson)
	for _, c := range cases {
		equal, decided := EqualExactly(parse(t, c.a), parse(t, c.b), funcs)
		got := open
		switch {
		case decided && equal:
			got = yes
		case decided:
			got = no
		}
		if got != c.want {
			a, _ := Normal(parse(t, c.a), funcs)
			b, _ := Normal(parse(t, c.b), funcs)
			t.Errorf("%s and %s: %s, want %s", c.a, c.b, got, c.want)
			if a.n != nil && b.n != nil {
				t.Logf("%s\n%s", a, b)
			}
		}
	}
}

func TestQuotient(t *testing.T) {
	for _, c := range []struct{ a, b, want string }{
		{"π/32·d^4·G", "π/2·d^4·G", "1/16"},
		{"-T·L/(G·J)", "T·L/(G·J)", "-1"},
		{"(a + b)^2", "3·a^2 + 6·a·b + 3·b^2", "1/3"},
		{"a + b", "a − b", ""},
		{"a", "0", ""},
	} {
		got, ok := Quotient(parse(t, c.a), parse(t, c.b), nil)
		if ok != (c.want != "") || ok && got.RatString() != c.want {
			t.Errorf("(%s)/(%s): %v, %t", c.a, c.b, got, ok)
		}
	}
}

// expression draws the text of a random expression in x, y and z.
func expression(depth int) *rapid.Generator[string] {
	leaf := rapid.SampledFrom([]string{"x", "y", "z", "2", "3", "0.5", "7"})
	if depth == 0 {
		return leaf
	}
	return rapid.Custom(func(t *rapid.T) string {
		sub := func() string { return expression(depth-1).Draw(t, "part") }
		switch rapid.IntRange(0, 8).Draw(t, "form") {
		case 0:
			return leaf.Draw(t, "leaf")
		case 1:
			return "(" + sub() + " + " + sub() + ")"
		case 2:
			return "(" + sub() + " − " + sub() + ")"
		case 3, 4:
			return "(" + sub() + ")·(" + sub() + ")"
		case 5:
			return "(" + sub() + ")/(2 + (" + sub() + ")^2)"
		case 6:
			return "(" + sub() + ")^" + fmt.Sprint(rapid.IntRange(0, 3).Draw(t, "power"))
		case 7:
			return "sin(" + sub() + ")"
		}
		return "√(1 + (" + sub() + ")^2)"
	})
}

// Whatever is decided agrees with the values at a point, and rewriting by the
// laws of algebra is never refused.
func TestEqualExactlyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := expression(3).Draw(t, "a"), expression(3).Draw(t, "b")
		v := values{names: map[string]float64{"x": 0.83, "y": 1.21, "z": 0.47}}
		parseIn := func(text string) notation.Expr {
			e, list := parseText(text)
			if list != nil {
				t.Fatal(list)
			}
			return e
		}
		ea, eb := parseIn(a), parseIn(b)
		equal, decided := EqualExactly(ea, eb, nil)
		va, vb := v.of(ea), v.of(eb)
		if equal && decided && math.Abs(va-vb) > 1e-9*(math.Abs(va)+math.Abs(vb)+1e-6) {
			t.Fatalf("called equal, but %g and %g", va, vb)
		}
		same := [][2]string{
			{"(" + a + ") + (" + b + ")", "(" + b + ") + (" + a + ")"},
			{"(" + a + ")·((" + b + ") + x)", "(" + a + ")·(" + b + ") + x·(" + a + ")"},
			{"((" + a + ") + (" + b + "))·((" + a + ") − (" + b + "))", "(" + a + ")^2 − (" + b + ")^2"},
		}
		for _, s := range same {
			if equal, decided := EqualExactly(parseIn(s[0]), parseIn(s[1]), nil); decided && !equal {
				t.Fatalf("%s and %s called different", s[0], s[1])
			}
		}
		if equal, decided := EqualExactly(ea, parseIn("("+a+") + 1/3"), nil); decided && equal {
			t.Fatalf("%s called equal to itself + 1/3", a)
		}
	})
}

// The derivative of a random expression keeps the product rule exactly.
func TestDerivativeProductRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := expression(2).Draw(t, "a"), expression(2).Draw(t, "b")
		slope := func(text string) string {
			e, list := parseText(text)
			if list != nil {
				t.Fatal(list)
			}
			d, err := Derivative(e, "x", nil)
			if err != nil {
				t.Fatal(err)
			}
			return "(" + notation.Print(d) + ")"
		}
		left, list := parseText(slope("(" + a + ")·(" + b + ")"))
		right, list2 := parseText(slope(a) + "·(" + b + ") + (" + a + ")·" + slope(b))
		if list != nil || list2 != nil {
			t.Fatal(list, list2)
		}
		if equal, decided := EqualExactly(left, right, nil); decided && !equal {
			t.Fatal("(a·b)′ ≠ a′·b + a·b′")
		}
	})
}

// No expression can make the algebra run away or panic.
func FuzzAlgebra(f *testing.F) {
	for _, s := range []string{"x^9^9^9", "(x+y+z)^60·(x−y)^60", "1e300^64", "√√√x", "∫ x^i for i from 0 to x", "|x|/x", "3 deg + 4 mm", "if x < 1 then 2 else x", strings.Repeat("(", 60) + "x" + strings.Repeat(")^3", 60)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, list := parseText(text)
		if list != nil {
			return
		}
		if slope, err := Derivative(e, "x", nil); err == nil {
			EqualExactly(slope, e, nil)
		}
		if equal, decided := EqualExactly(e, e, nil); decided && !equal {
			t.Errorf("%s is not itself", text)
		}
		Substitute(e, "x", e)
	})
}
