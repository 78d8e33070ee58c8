package derive_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"shaftbook/kernel/derive"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

func parse(t testing.TB, text string) *notation.DeriveCell {
	t.Helper()
	cell, list := notation.ParseDerivation(source.NewText("", text))
	if list.HasErrors() {
		t.Fatal(list.FirstError().Render())
	}
	return cell
}

// Published numbers, run through the derivations; sources as in the files.
func TestPublishedNumbers(t *testing.T) {
	const inch, psi, lbfIn = 0.0254, 6894.757293168361, 0.1129848290276167
	tests := []struct {
		file, name string
		data       map[string]float64
		want, tol  float64
		source     string
	}{
		{"taper", "θ", map[string]float64{"T": 36000 * lbfIn, "G": 3.9e6 * psi, "L": 48 * inch, "d_0": 2 * inch, "d_1": 3 * inch},
			2.11728 / 16, 1e-5, "Gere 6th ed. Prob 3.4-9: twist·dA⁴ = 2.11728 in⁴ at dB = 1.5·dA; here dA = 2 in"},
		{"composite", "T_1", map[string]float64{"T": 1, "L": 1, "G_1": 5400e3 * psi, "G_2": 12000e3 * psi, "d_1": 1.6 * inch, "d_2": 2 * inch},
			0.237918, 2e-6, "Gere & Goodno 7th ed. Prob 3.8-13: fraction of the torque in the core"},
		{"two-holds", "T_A", map[string]float64{"T_0": 150, "a": 0.225, "b": 0.450, "G": 28e9, "J_a": math.Pi / 32 * math.Pow(0.020, 4), "J_b": math.Pi / 32 * math.Pow(0.025, 4)},
			43e6 * math.Pi * math.Pow(0.020, 3) / 16, 1e-3, "Gere & Goodno 7th ed. Prob 3.8-6: T_0 = 150 N·m brings AC to 43 MPa"},
	}
	for _, test := range tests {
		values, list := derive.Values(context.Background(), parse(t, read(t, test.file)), test.data, derive.Settings{})
		if list.HasErrors() {
			t.Errorf("%s: %v", test.file, list)
			continue
		}
		if p := derive.Part(values); p != nil {
			t.Errorf("%s parts: %s", test.file, p)
		}
		found := false
		for _, v := range values {
			if v.Name == test.name {
				found = true
				if math.Abs(v.SI-test.want) > test.tol*test.want {
					t.Errorf("%s %s: got %g, want %g (%s)", test.file, v, v.SI, test.want, test.source)
				}
			}
		}
		if !found {
			t.Errorf("%s has no line %s", test.file, test.name)
		}
	}
}

func TestValuesPart(t *testing.T) {
	cell := parse(t, "given L: length > 0\ny = 2·L\n= L + L\n= 3·L\n= 6·L/2")
	values, list := derive.Values(context.Background(), cell, map[string]float64{"L": 0.5}, derive.Settings{})
	if list.HasErrors() || len(values) != 4 {
		t.Fatal(values, list)
	}
	if p := derive.Part(values); p == nil || p.Line != 4 || p.SI != 1.5 || p.Text != "1500 mm" && p.Text != "1.5 m" {
		t.Errorf("%v", p)
	}
	if _, list := derive.Values(context.Background(), cell, nil, derive.Settings{}); !strings.Contains(list.Error(), "L has no value") {
		t.Error(list)
	}
	if _, list := derive.Values(context.Background(), cell, map[string]float64{"L": -1}, derive.Settings{}); !strings.Contains(list.Error(), "does not hold") {
		t.Error(list)
	}
}

func TestGivens(t *testing.T) {
	list := derive.Givens(parse(t, "given T: kN·m > 0, d_1 > d_0 > 0 mm, n: number\ny = sum of T for i from 1 to n"), derive.Settings{})
	var words []string
	for _, g := range list {
		words = append(words, g.Name+" "+g.Unit.Text)
		if g.Whole != (g.Name == "n") {
			t.Errorf("%s whole: %v", g.Name, g.Whole)
		}
	}
	if got := strings.Join(words, ", "); got != "T kN·m, n , d_1 mm, d_0 mm" {
		t.Error(got)
	}
}

// Plain text reads back as the same derivation.
func TestPlain(t *testing.T) {
	for _, name := range []string{"taper", "bredt", "two-holds", "composite"} {
		cell := parse(t, read(t, name))
		text := derive.Plain(cell, nil)
		if again := derive.Plain(parse(t, text), nil); again != text {
			t.Errorf("%s:\n%s\n%s", name, text, again)
		}
		r := judgeText(t, text)
		marked := derive.Plain(parse(t, text), judgeText(t, text).Verdicts)
		if len(r.Verdicts) == 0 {
			t.Errorf("%s: no verdicts", name)
		}
		if derive.Plain(parse(t, marked), nil) != text {
			t.Errorf("%s with verdicts does not read back:\n%s", name, marked)
		}
	}
}

func ExampleJudgeText() {
	text := source.NewText("", `given T: torque > 0, G: stress > 0, J: m^4 > 0, L: length > 0
θ = integral of T/(G·J) for x from 0 m to L
  = T·L/(G·J)
  = 16·T·L/(G·J)`)
	for _, v := range derive.JudgeText(context.Background(), text, derive.Settings{}).Verdicts {
		words, _, _ := strings.Cut(v.Why, ";")
		fmt.Println(v.Line, v.Kind, words)
	}
	// Output:
	// 3 follows equal by exact algebra, with integrals, limits and roots in closed form
	// 4 fails this line is 16 times the line above
}

func ExampleTeX() {
	cell, _ := notation.ParseDerivation(source.NewText("", "given L: length > 0\nk = 2·L/2   because 50 % of it\n  = L"))
	fmt.Print(derive.TeX(cell))
	// Output:
	// \begin{align*}
	// &\text{given }\text{length }L>0 \\
	// k&=\frac{2\cdot L}{2} && \text{50 \% of it} \\
	// &=L
	// \end{align*}
}
