package derive

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// numericOnly judges the last step of a derivation by evaluation alone, as if
// exact algebra had not been able to decide.
func numericOnly(t *testing.T, text string) Verdict {
	t.Helper()
	cell, list := notation.ParseDerivation(source.NewText("", text))
	if list.HasErrors() {
		t.Fatal(list.FirstError().Render())
	}
	j := newJudge(context.Background(), cell, Settings{})
	var a, b *statement
	for _, line := range cell.Lines {
		j.quietLine(line)
		if j.above != nil {
			a, b = b, j.above
		}
	}
	var v Verdict
	j.eval.left = stepNodes
	j.numerically(&v, judged{a, b, a, b, nil}, false)
	return v
}

// The stated bound: a claim that is off by one part in 10⁴⁰ is caught at the
// first point; one that is off by less than the error bounds of 192 bits, one
// part in 10⁶⁰, cannot be, and passes.
func TestDigits(t *testing.T) {
	given := "given a: number > 0, b: number > 0\ny = exp(a)·b^(1/3)\n"
	for _, test := range []struct {
		off  int
		want Kind
	}{{10, Fails}, {20, Fails}, {30, Fails}, {40, Fails}, {60, Agrees}} {
		v := numericOnly(t, given+fmt.Sprintf(" = exp(a)·b^(1/3)·(1 + 10^(-%d))", test.off))
		if v.Kind != test.want {
			t.Errorf("off by 10⁻%d: %s: %s", test.off, v.Kind, v.Why)
		}
	}
}

// The stated bound for polynomials: the claim differs from the line above by a
// polynomial of degree D with as many roots as it can have inside the range of
// the values. At 12 points from 2⁵² values each it should never slip through
// the 10⁻¹⁵⁰ of the bound; here 60 such claims of degree up to 12 in two names.
func TestSchwartzZippel(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		var roots []string
		for range 1 + r.IntN(6) {
			roots = append(roots, fmt.Sprintf("(a − %.3f)·(a − %d·b)", 0.2+4*r.Float64(), 1+r.IntN(5)))
		}
		text := "given a: number > 0, b: number > 0\ny = a + b\n = a + b + " + strings.Join(roots, "·")
		if v := numericOnly(t, text); v.Kind != Fails {
			t.Errorf("%s: %s\n%s", v.Kind, v.Why, text)
		}
	}
}

// What the numeric judge may let pass, as the package comment states: a claim that
// differs only on a piece of the domain that no point falls into.
func TestSmallPieceSlipsThrough(t *testing.T) {
	text := "given a: number > 0\ny = a\n = a + max(0, 10^(-9) − |(a^3 − 1.23456789)·(a^3 − 1.3)|)"
	if v := numericOnly(t, text); v.Kind != Agrees {
		t.Errorf("%s: %s", v.Kind, v.Why)
	}
}

// Steps that are true, most of them decided exactly, are also accepted by
// evaluation alone: two independent judges.
func TestNumericAgreesWithExact(t *testing.T) {
	for _, text := range []string{
		"given d_1 > d_0 > 0 mm\ny = integral of 1/u^4 for u from d_0 to d_1\n = (1/d_0^3 − 1/d_1^3)/3",
		"given d_1 > d_0 > 0 mm\ny = (d_1^3 − d_0^3)/(d_1 − d_0)\n = d_0^2 + d_0·d_1 + d_1^2",
		"given n: whole number ≥ 0\ny = sum of i^3 for i from 1 to n\n = n^2·(n + 1)^2/4",
		"given a: number > 0\ny = derivative of x^3·ln(x) for x at a\n = 3·a^2·ln(a) + a^2",
		"given a: number > 0\ny = root of x^3 − a for x from 0 to a + 1\n = a^(1/3)",
		"given a: number > 0\ny = limit of (1 + a/n)^n as n → ∞\n = exp(a)",
		"given d_1 > d_0 > 0 mm\ny = limit of (d_1^4 − x^4)/(d_1 − x) as x → d_1\n = 4·d_1^3",
		"given a: number > 0\ny = integral of exp(-x)·cos(x) for x from 0 to a\n = (1 + exp(-a)·(sin(a) − cos(a)))/2",
	} {
		if v := numericOnly(t, text); v.Kind != Agrees {
			t.Errorf("%s: %s\n%s", v.Kind, v.Why, text)
		}
		r := JudgeText(context.Background(), source.NewText("", text), Settings{})
		if len(r.Verdicts) != 1 || r.Verdicts[0].Kind != Follows && r.Verdicts[0].Kind != Agrees || r.Diagnostics.HasErrors() {
			t.Errorf("%v\n%s", r, text)
		}
	}
}
