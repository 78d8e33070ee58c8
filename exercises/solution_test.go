package exercises

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

const solvedGiven = "title: t\ngiven:\n  T: {from: 300 N·m, to: 400 N·m, by: 50 N·m}\n  L: 1 m\n  d: {from: 38 mm, to: 42 mm, by: 2 mm}\n  G: 79 GPa\n"

// TestSolutionIsProved wants a solution that leads to the answer with every set of
// numbers, in the names that the learner has, and anything else reported at its line.
func TestSolutionIsProved(t *testing.T) {
	const ask = solvedGiven + "ask: The twist\nanswer: T·L/(G·π/32·d^4)\nunit: deg\nsolution:\n"
	const j = "  - J = π/32·d^4   because the section is solid and round\n"
	for _, c := range []struct {
		name, block string
		code        source.Code // empty if nothing is wrong
		line        int
		says        string
	}{
		{"two lines", ask + j + "  - θ = T·L/(G·J) in deg because the torque is the same all along\n", "", 0, ""},
		{"a formula without a name at the end", ask + j + "  - T·L/(G·J) because the torque is the same\n", "", 0, ""},
		{"a function", ask + "  - J(x) = π/32·x^4 because of the section\n  - θ = integral of T/(G·J(d)) for x from 0 m to L because they add up\n", "", 0, ""},
		{"a colon in quotation marks", ask + j + "  - \"θ = T·L/(G·J) because: the torque is the same\"\n", CodeValue, 12, "no reason"},
		{"no reason", ask + j + "  - θ = T·L/(G·J)\n", CodeValue, 12, "no reason"},
		{"another answer", ask + j + "  - θ = 2·T·L/(G·J) because I say so\n", CodeSolution, 12, "does not give the answer; they differ by 1 of it: T = 300 N·m"},
		{"a wrong line higher up", ask + "  - J = π/64·d^4 because I say so\n  - θ = T·L/(G·J) because of it\n", CodeSolution, 12, "does not give the answer"},
		{"right with one set of numbers only", ask + j + "  - θ = T·L/(G·J)·(d/(38 mm)) because of one bar\n", CodeSolution, 12, "does not give the answer"},
		{"another quantity", ask + j + "  - θ = T·L because I say so\n", CodeSolution, 12, "and the answer is"},
		{"a line without a value", ask + "  - J = π/32·d^4 + L because I say so\n  - θ = T·L/(G·J) because of it\n", "dimension", 11, "add"},
		{"a line that divides by nothing", ask + j + "  - θ = T·L/(G·J·(d − d)) because I say so\n", "division-by-zero", 12, ""},
		{"a name that is nowhere", ask + "  - θ = T·L/(G·K) because I say so\n", "undefined-name", 11, "K"},
		{"a name of a line below", ask + "  - θ = T·L/(G·J) because I say so\n" + j, CodeName, 11, "J is worked out by this line or one below"},
		{"a given name again", ask + "  - d = 40 mm because I say so\n  - θ = T·L/(G·π/32·d^4) because of it\n", CodeName, 11, "d has its value already"},
		{"a hidden name", ask + "  - θ = T·L/(G·J) because I say so\nwork: J = π/32·d^4\n", CodeName, 11, "under work"},
		{"a hidden name with a line of its own", ask + j + "  - θ = T·L/(G·J) because I say so\nwork: J = π/32·d^4\n", "", 0, ""},
		{"the shaft", ask + "  - S.twist because the program knows\nshaft: |\n  G = G\n  solid d for L\n  hold at 0 mm\n  torque T at L\n", CodeName, 11, "cannot work with the shaft"},
		{"a drawing", ask + j + "  - draw d because it is fair\n", "", 12, ""},
		{"no lines", strings.TrimSuffix(ask, "\n") + " []\n", CodeValue, 10, "empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, list := Parse("t", source.NewText("block", c.block))
			if !list.HasErrors() {
				proof, err := Prove(context.Background(), e)
				if err != nil {
					t.Fatal(err)
				}
				list = append(list, proof.Problems...)
			}
			first := list.FirstError()
			switch {
			case first == nil && c.line > 0:
				t.Fatalf("nothing is wrong, want %q", c.says)
			case first != nil && c.line == 0:
				t.Fatal(first.Render())
			case first == nil:
				return
			}
			if c.code != "" && first.Code != c.code || first.Span.Position().Line != c.line || !strings.Contains(first.Message, c.says) {
				t.Errorf("%s, code %s; want %s in line %d, saying %q", first.Render(), first.Code, c.code, c.line, c.says)
			}
		})
	}
}

// TestSolutionOfPartsAndStructures wants each part and each way to set the problem
// to have its own solution.
func TestSolutionOfPartsAndStructures(t *testing.T) {
	const parts = "ask:\n  - name: section\n    text: J\n    answer: π/32·d^4\n    unit: mm^4\n  - name: twist\n    text: The twist\n    answer: T·L/(G·π/32·d^4)\n"
	const both = "solution:\n  section: [J = π/32·d^4 because it is round]\n  twist:\n    - J = π/32·d^4 because it is round\n    - θ = T·L/(G·J) because it is uniform\n"
	const ways = "ask: {name: twist, text: The twist, answer: S.twist}\nshaft: |\n  G = G\n  solid d for l\n  hold at 0 mm\n  torque T at l\n" +
		"structures:\n  - name: long\n    given: {l: L}\n    solution: [T·L/(G·π/32·d^4) because it is uniform]\n  - name: short\n    given: {l: L/2}\n    solution: [T·l/(G·π/32·d^4) because it is uniform]\n"
	for _, c := range []struct{ name, block, says string }{
		{"by part", solvedGiven + parts + both, ""},
		{"with the parts", solvedGiven + strings.Replace(parts, "unit: mm^4\n", "unit: mm^4\n    solution: [J = π/32·d^4 because it is round]\n", 1), ""},
		{"a part that is not there", solvedGiven + parts + "solution:\n  bend: [J = π/32·d^4 because it is round]\n", "there is no part bend"},
		{"not said whose", solvedGiven + parts + "solution: [J = π/32·d^4 because it is round]\n", "has several parts"},
		{"by structure", solvedGiven + ways, ""},
		{"one structure wrong", solvedGiven + strings.Replace(ways, "T·l/", "T·L/", 1), "does not give the answer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, list := Parse("t", source.NewText("block", c.block))
			if !list.HasErrors() {
				proof, err := Prove(context.Background(), e)
				if err != nil {
					t.Fatal(err)
				}
				list = append(list, proof.Problems...)
			}
			switch first := list.FirstError(); {
			case first == nil && c.says != "" || first != nil && (c.says == "" || !strings.Contains(first.Message, c.says)):
				t.Errorf("%v, want %q", first, c.says)
			}
		})
	}
}
