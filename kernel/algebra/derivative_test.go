package algebra

import (
	"errors"
	"math"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/num"
)

var lesson = map[string]string{
	"d(x)":    "d_0 + k·x",
	"J(x)":    "π/32·d(x)^4",
	"f(a, b)": "a·x + b^2",
}

// Every rule is held against a numeric derivative of the expression itself.
func TestDerivativeNumerically(t *testing.T) {
	expressions := []string{
		"3", "x", "p", "-x", "+x", "(x + 2)·(x − p)", "x/(1 + x^2)", "1/x^4", "x^p", "p^x", "x^x", "x^(1/3)", "x^-2", "2^p·x",
		"√x", "√(x^2 + p)", "sqrt(1 + x)", "|x − 2|", "abs(x − 0.3)", "sin(x)", "cos(p·x)", "tan(x/2)",
		"asin(x/3)", "acos(x/3)", "atan(x·p)", "atan2(x, p)", "atan2(p, x^2)", "exp(-x^2)", "ln(x)", "log10(3·x)",
		"min(x, 2)", "max(x, 0.2, x^2)", "if x < 1 then x^2 else 3·x",
		"sum of x^i/i for i from 1 to 5", "product of (x + i) for i from 1 to 4",
		"sum of x for x from 1 to 3",
		"integral of sin(x·u) for u from 0 to 2", "integral of u^2 for u from x to 3·x", "integral of exp(-u·x) for u from 0 to x",
		"integral of x^2 for x from 0 to x", "integral of 1/(d_0 + k·u)^4 for u from 0 to x",
		"derivative of u^3·x for u at x", "root of u^3 + u − x for u from 0 to 5",
		"d(x)", "1/J(x)", "d(d(x))", "f(x, p)", "integral of 1/J(u) for u from 0 to x",
		"sum of f(x, i) for i from 1 to 3",
		"√(√x + x)/ln(2 + x^2)·exp(sin(x))",
	}
	funcs := functions(t, lesson)
	for _, text := range expressions {
		e := parse(t, text)
		slope, err := Derivative(e, "x", funcs)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for _, x := range []float64{0.37, 0.81, 1.46, 2.23} {
			v := values{map[string]float64{"p": 1.7, "d_0": 1.3, "k": 0.45, "x": x}, funcs}
			want, doubt, err := num.Differentiate(func(dst, x []float64) error {
				for i := range x {
					dst[i] = v.with("x", x[i]).of(e)
				}
				return nil
			}, x, 0.2, num.Options{})
			if err != nil {
				t.Fatalf("%s at %g: %v", text, x, err)
			}
			got := v.of(slope)
			if !(math.Abs(got-want) <= 10*doubt+1e-8*math.Abs(want)+1e-9) {
				t.Errorf("(%s)′ = %s: %.12g at %g, want %.12g ± %.2g", text, notation.Print(slope), got, x, want, doubt)
			}
		}
	}
}

func TestDerivativeText(t *testing.T) {
	cases := []struct{ text, want string }{
		{"3·x + p", "3"},
		{"x^4", "4·x^3"},
		{"sin(x)", "cos(x)"},
		{"p·T", "0"},
		{"36 mm + x", "1"},
		{"exp(p·x)", "exp(p·x)·p"},
		{"|x|", "if x < −x then −1 else 1"},
		{"integral of g·u for u from 0 to x", "g·x"},
	}
	for _, c := range cases {
		got, err := Derivative(parse(t, c.text), "x", nil)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if text := notation.Print(got); text != c.want {
			t.Errorf("(%s)′ = %s, want %s", c.text, text, c.want)
		}
	}
}

// The k in the body of d is the lesson's, not the one that the sum binds.
func TestDerivativeKeepsNamesApart(t *testing.T) {
	got, err := Derivative(parse(t, "sum of d(x·k) for k from 1 to 3"), "x", functions(t, lesson))
	if err != nil {
		t.Fatal(err)
	}
	if text := notation.Print(got); text != "sum of k·k_1 for k_1 from 1 to 3" {
		t.Errorf("got %s", text)
	}
}

func TestDerivativeNoRule(t *testing.T) {
	for _, text := range []string{"floor(x)", "1 + round(x)", "ceil(x)·x", "S.twist(x)", "largest of u·x for u from 0 to 1",
		"sum of i for i from 1 to x", "x ± 1", "between 0 and x", "low(x)"} {
		_, err := Derivative(parse(t, text), "x", nil)
		var none *NoRuleError
		if !errors.Is(err, ErrNoRule) || !errors.As(err, &none) || !none.At.IsValid() {
			t.Errorf("%s: %v", text, err)
		}
	}
	if got, err := Derivative(parse(t, "floor(y)·x"), "x", nil); err != nil || notation.Print(got) != "floor(y)" {
		t.Errorf("floor(y)·x: %v, %v", got, err)
	}
}

// A function that calls itself is an error elsewhere; here it must end.
func TestDerivativeRecursion(t *testing.T) {
	funcs := functions(t, map[string]string{"f(x)": "f(x) + 1", "g(x)": "y·g(x)"})
	for _, text := range []string{"f(x)", "g(x)", "g(y)"} {
		if _, err := Derivative(parse(t, text), "x", funcs); err == nil && text != "g(y)" {
			t.Errorf("%s has a derivative", text)
		}
		EqualExactly(parse(t, text), parse(t, "1"), funcs)
	}
}

func TestSubstitute(t *testing.T) {
	cases := []struct{ text, name, by, want string }{
		{"x + y", "x", "a·b", "a·b + y"},
		{"x^2", "x", "a + b", "(a + b)^2"},
		{"sum of x·i for i from 1 to x", "x", "i", "sum of i·i_1 for i_1 from 1 to i"},
		{"sum of i for i from 1 to n", "i", "7", "sum of i for i from 1 to n"},
		{"integral of f(x, u) for u from 0 to L", "x", "u + u_1", "integral of f(u + u_1, u_2) for u_2 from 0 to L"},
		{"S.twist(x)", "x", "L/2", "S.twist(L/2)"},
		{"if x < 1 then x else |x|", "x", "t", "if t < 1 then t else |t|"},
	}
	for _, c := range cases {
		got := notation.Print(Substitute(parse(t, c.text), c.name, parse(t, c.by)))
		if got != c.want {
			t.Errorf("%s with %s for %s: %s, want %s", c.text, c.by, c.name, got, c.want)
		}
	}
}
