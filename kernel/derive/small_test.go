package derive_test

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
)

// Approximations for a small name, with what the error must be said to be. Sources:
// the thin tube, J = 2·π·r³·t, is R.C. Hibbeler's and J.M. Gere's (from memory); the
// series of elementary functions are those of M. Abramowitz and I.A. Stegun, Handbook
// of Mathematical Functions, 3.6, 4.1 to 4.4 (from memory); that of the taper is
// (1 − (1 + ε)^(−3))/(3·ε) = 1 − 2·ε + 10/3·ε² − …, by the binomial series.
func TestSmall(t *testing.T) {
	const (
		taper = "given T: torque > 0, G: stress > 0, L: length > 0, d_0: length > 0, ε: number > 0\n" +
			"θ = 32·T·L/(3·π·G·d_0^4)·(1 − 1/(1 + ε)^3)/ε\n"
		tube   = "given r: radius > 0, d: diameter > 0, t: length > 0\nJ = π/32·((2·r + t)^4 − (2·r − t)^4)\n"
		number = "given k: number, a: number > 0, b: number\n"
	)
	for _, test := range []struct {
		name, text string
		want       derive.Kind
		says       string // in the reason
	}{
		{"taper to first order", taper + "≈ 32·T·L/(π·G·d_0^4)·(1 − 2·ε) for small ε", derive.Follows, "3.3 % of the value at ε = 0.1"},
		{"taper to second order", taper + "≈ 32·T·L/(π·G·d_0^4)·(1 − 2·ε + 10/3·ε^2) for small ε", derive.Follows, "ε^3"},
		{"taper, wrong slope", taper + "≈ 32·T·L/(π·G·d_0^4)·(1 − 3·ε) for small ε", derive.Fails, "same order"},
		{"taper, mean diameter", taper + "≈ 32·T·L/(π·G·(d_0·(1 + ε/2))^4) for small ε", derive.Follows, "0.83 %"},
		{"taper, thin end", taper + "≈ 32·T·L/(π·G·d_0^4) for small ε", derive.Follows, "20 %"},
		{"taper, first term left out", taper + "≈ −64·T·L/(π·G·d_0^4)·ε for small ε", derive.Fails, "larger than anything"},
		{"taper as an integral", "given T: torque > 0, G: stress > 0, L: length > 0, d_0: length > 0, ε: number > 0\nθ = ∫_0^L T/(G·π/32·(d_0·(1 + ε·x/L))^4) dx\n≈ 32·T·L/(π·G·d_0^4)·(1 − 2·ε) for small ε", derive.Follows, ""},
		{"defined small name", "given d_1: length > 0, d_0: length > 0\nε = (d_1 − d_0)/d_0\ny = (d_1/d_0)^4\n≈ 1 + 4·ε for small ε", derive.Follows, ""},
		{"defined small name, wrong", "given d_1: length > 0, d_0: length > 0\nε = (d_1 − d_0)/d_0\ny = (d_1/d_0)^4\n≈ 1 + 3·ε for small ε", derive.Fails, "same order"},
		{"thin tube by its mean radius", tube + "≈ 2·π·r^3·t for t ≪ r", derive.Follows, "0.25 % of the value at t/r = 0.1"},
		{"thin tube, wrong factor", tube + "≈ π·r^3·t for t ≪ r", derive.Fails, ""},
		{"small against what", tube + "≈ 2·π·r^3·t for small t", derive.Open, "≪"},
		{"against another dimension", tube + "≈ 2·π·r^3·t for t ≪ r^2", derive.Open, "neither"},
		{"a term of the order of what is kept", number + "y = (1 + k)^4\n≈ 1 + 4·k + 5·k^2 for small k", derive.Fails, "same order"},
		{"a larger term left out", number + "y = (1 + k)^4\n≈ 1 + 6·k^2 for small k", derive.Fails, "smaller, is kept"},
		{"a part of a term left out", number + "y = a + b·k + k\n≈ a + k for small k", derive.Fails, "b·k"},
		{"sine", number + "y = sin(k)\n≈ k for k ≪ 1", derive.Follows, "0.17 %"},
		{"sine, of degrees", number + "y = sin(k·(1 deg))\n≈ k for k ≪ 1", derive.Fails, ""},
		{"sine, with the factor of degrees", number + "y = sin(k)\n≈ 180/π·k for k ≪ 1", derive.Fails, "(π − 180)/π"},
		{"tangent", number + "y = tan(k)\n≈ k + k^3/3 for k ≪ 1", derive.Follows, ""},
		{"cosine", number + "y = 1 − cos(k)\n≈ k^2/2 for small k", derive.Follows, ""},
		{"exponential in another form", number + "y = 1/(1 − k)\n≈ e^k for small k", derive.Follows, ""},
		{"root", number + "y = √(a^2 + k)\n≈ a + k/(2·a) for small k", derive.Follows, ""},
		{"logarithm", number + "y = ln(1 + k)\n≈ k − k^2/2 for small k", derive.Follows, ""},
		{"logarithm, wrong", number + "y = ln(1 + k)\n≈ k + k^2/2 for small k", derive.Fails, ""},
		{"equal", number + "y = (1 + k)^2\n≈ 1 + 2·k + k^2 for small k", derive.Follows, "equal"},
		{"nothing kept", number + "y = k\n≈ 0 for small k", derive.Fails, "keeps nothing"},
		{"first term may be 0", number + "y = b + k\n≈ b for small k", derive.Agrees, "b is not 0"},
		{"absolute value", number + "y = 1 + |k|\n≈ 1 for small k", derive.Follows, ""},
		{"absolute value, wrong", number + "y = 1 + |k|\n≈ 2 for small k", derive.Fails, ""},
		{"no series", number + "y = max(1, 1 + k)\n≈ 1 for small k", derive.Agrees, ""},
		{"no series, wrong", number + "y = max(1, 1 + k)\n≈ 2 for small k", derive.Open, ""},
		{"no value on one side", number + "y = √k + k^2\n≈ √k for small k", derive.Agrees, ""},
		{"no value on either side", number + "y = √(−1 + k)\n≈ √(−1) for small k", derive.Open, "no value"},
		{"root of a square", number + "y = √(k^2)\n≈ k for small k", derive.Fails, "where it is negative"},
		{"root of a square, positive", "given k: number > 0\ny = √(k^2)\n≈ k for small k", derive.Follows, ""},
		{"root of a square, negative", "given k: number < 0\ny = √(k^2)\n≈ −k for small k", derive.Follows, ""},
		{"root of a square, negative, wrong", "given k: number < 0\ny = √(k^2)\n≈ k for small k", derive.Fails, "same order"},
		{"root of a square and more", number + "y = k + √(k^2)\n≈ 2·k for small k", derive.Fails, "negative"},
		{"root of a square in a root", number + "y = √(k^2·(1 + k))\n≈ k for small k", derive.Fails, "negative"},
		{"root of a sum of squares", number + "y = √(k^2 + k^4)\n≈ k for small k", derive.Fails, "negative"},
		{"root of a sum of squares, true", number + "y = √(k^2 + k^4)\n≈ |k| for small k", derive.Follows, "k^3"},
		{"even function of a root", number + "y = cos(√(k^2))\n≈ 1 − k^2/2 for small k", derive.Follows, ""},
		{"root of a square of a defined small name", "given d_0: length > 0, d_1: length > 0\nε = (d_1 − d_0)/d_0\ny = √((d_1 − d_0)^2)/d_0\n≈ ε for small ε", derive.Fails, "negative"},
		{"the same, positive", "given d_0: length > 0, d_1 > d_0\nε = (d_1 − d_0)/d_0\ny = √((d_1 − d_0)^2)/d_0\n≈ ε for small ε", derive.Follows, ""},
		{"the same name, negative", "given d_0: length > 0, d_1: length > 0, d_1 < d_0\nε = (d_1 − d_0)/d_0\ny = (d_1/d_0)^4\n≈ 1 + 4·ε for small ε", derive.Follows, ""},
		{"absolute value for the name", number + "y = |k|\n≈ k for small k", derive.Fails, "negative"},
		{"branches", number + "y = if k > 0 then 1 + k else 1 − k\n≈ 1 + k for small k", derive.Fails, "negative"},
		{"branches, true", number + "y = if k > 0 then 1 + k else 1 − k\n≈ 1 + |k| for small k", derive.Follows, ""},
		{"negative only", "given k: number < 0\ny = (1 + k)^4\n≈ 1 + 4·k for small k", derive.Follows, ""},
		{"root of another square", "given k: number, a: number\ny = √(a^2 + k)\n≈ a for small k", derive.Fails, ""},
		{"no small values", "given k: number > 1\ny = 1 + k\n≈ 1 for small k", derive.Open, "no small k"},
		{"does not matter", number + "y = a\n≈ b for small k", derive.Open, "depends on k"},
		{"nothing is small", number + "y = exp(k)\n≈ 1 + k", derive.Open, "for small k"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := judgeText(t, test.text)
			if r.Diagnostics.HasErrors() {
				t.Fatal(r.Diagnostics.FirstError().Render())
			}
			v := r.Verdicts[len(r.Verdicts)-1]
			if v.Kind != test.want || !strings.Contains(v.Why, test.says) {
				t.Errorf("%s, want %s: %s", v.Kind, test.want, v.Why)
			}
		})
	}
}

// What the judge says of approximations must be what sympy finds for the order of what
// is left out.
func TestSmallAgainstSympy(t *testing.T) {
	if testing.Short() {
		t.Skip("starts Python")
	}
	// Each claim keeps powers up to one, written beside it; the constant c is put in.
	forms := []struct {
		above, claim string
		kept         int
		constants    [2]string // a right one and a wrong one
	}{
		{"(1 + k)^4/(1 + 2*k)", "1 + c*k", 1, [2]string{"2", "4"}},
		{"(a + k)^3 - a^3", "3*a^2*k + c*a*k^2", 2, [2]string{"3", "6"}},
		{"1/(1 + k) + exp(2*k)", "2 + k + c*k^2", 2, [2]string{"3", "2"}},
		{"sqrt(1 + 4*k)*(1 - k)", "1 + k - c*k^2", 2, [2]string{"4", "2"}},
		{"(1 - (1 + k)^(-3))/k", "3 - 6*k + c*k^2", 2, [2]string{"10", "6"}},
		{"atan(k)/k", "1 - k^2/c", 2, [2]string{"3", "2"}},
		{"exp(k) - exp(-k)", "2*k + k^3/c", 3, [2]string{"3", "6"}},
		{"a/(a + k)^2", "1/a - c*k/a^2", 1, [2]string{"2", "1"}},
	}
	var in, complaint bytes.Buffer
	var derivations []string
	for _, f := range forms {
		for _, c := range f.constants {
			claim := strings.ReplaceAll(f.claim, "c", c)
			in.WriteString(strings.Join([]string{f.above, claim, string(rune('0' + f.kept))}, "\t") + "\n")
			derivations = append(derivations, "given k: number, a: number > 0\ny = "+f.above+"\n≈ "+claim+" for small k")
		}
	}
	cmd := exec.Command("/usr/bin/python3", "testdata/small.py")
	cmd.Stdin, cmd.Stderr = strings.NewReader(strings.ReplaceAll(in.String(), "^", "**")), &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("the second opinion needs Debian's python3 and python3-sympy (apt install python3-sympy): %v\n%s", err, complaint.String())
	}
	answers := strings.Fields(string(out))
	if len(answers) != len(derivations) {
		t.Fatalf("%d answers to %d questions", len(answers), len(derivations))
	}
	holds := 0
	for i, text := range derivations {
		v := judgeText(t, text).Verdicts[0]
		if answers[i] == "holds" {
			holds++
		}
		if want := answers[i] == "holds"; (v.Kind == derive.Follows) != want || (v.Kind == derive.Fails) == want {
			t.Errorf("sympy: it %s; the judge %s: %s\n%s", answers[i], v.Kind, v.Why, text)
		}
	}
	if holds != len(forms) {
		t.Errorf("%d of the claims hold, want one of each form", holds)
	}
}

// The counterexample is a point at which the step is wrong.
func TestSmallCounterexample(t *testing.T) {
	v := judgeText(t, "given k: number, a: number\ny = √(a^2 + k)\n≈ a for small k").Verdicts[0]
	for _, q := range v.Counterexample {
		if q.Name == "a" && q.SI >= 0 {
			t.Errorf("a = %s, where the step is right", q.Text)
		}
	}
	if len(v.Counterexample) != 2 {
		t.Errorf("counterexample %v", v.Counterexample)
	}
}
