package exercises

import (
	"context"
	"os"
	"strings"
	"testing"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/source"
)

// TestReadme reads and proves the examples of the README, and looks whether it
// names every slip and every verdict.
func TestReadme(t *testing.T) {
	content, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := string(content)
	blocks := strings.Split(readme, "```yaml\n")
	if len(blocks) != 3 {
		t.Fatalf("%d examples, want 2", len(blocks)-1)
	}
	for _, b := range blocks[1:] {
		block, _, _ := strings.Cut(b, "\n```")
		e, list := Parse("readme", source.NewText("README.md", block))
		for _, d := range list {
			t.Error(d.Render())
		}
		proof, err := Prove(context.Background(), e)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range proof.Problems {
			t.Error(d.Render())
		}
		t.Logf("%s: %d of %d usable, of %s", e.Title, proof.Usable, proof.Tried, proof.Combinations)
	}
	for _, name := range marking.Catalogue() {
		if !strings.Contains(readme, "`"+name+"`") {
			t.Errorf("the README does not name the slip %s", name)
		}
	}
	for _, kind := range marking.VerdictKinds() {
		if !strings.Contains(readme, "`"+string(kind)+"`") {
			t.Errorf("the README does not name the verdict %s", kind)
		}
	}
}

func TestProveFindsFaults(t *testing.T) {
	const given = "title: t\ngiven:\n  T: {from: 300 N·m, to: 400 N·m, by: 50 N·m}\n  L: 1 m\n  d: 40 mm\n  G: 79 GPa\nask: The twist\n"
	for _, c := range []struct {
		name, block string
		code        source.Code
		line        int
		says        string
	}{
		{"outside its bounds", given + "answer: T·L/(G·π/32·d^4)\nbounds:\n  low: 2·T·L/(G·π/32·d^4)\n  high: 3·T·L/(G·π/32·d^4)\n", CodeBounds, 10, "outside its own bounds: T = 300 N·m"},
		{"outside for one variant only", given + "answer: T·L/(G·π/32·d^4)\nbounds:\n  low: 0.1 deg\n  high: (390 N·m)·L/(G·π/32·d^4)\n", CodeBounds, 10, "T = 400 N·m"},
		{"too near to a bound", given + "answer: T·L/(G·π/32·d^4)\nbounds:\n  low: 0.99·T·L/(G·π/32·d^4)\n  high: 3·T·L/(G·π/32·d^4)\n", CodeBounds, 10, "within twice the tolerance"},
		{"bounds of another dimension", given + "answer: T·L/(G·π/32·d^4)\nbounds:\n  low: 1 mm\n  high: 3 mm\n", CodeBounds, 10, "not a pure number"},
		{"a slip that is the answer", given + "answer: T·L/(G·π/32·d^4)\nslips: [{name: same, formula: 1.001·T·L/(G·π/32·d^4), says: The same.}]\n", CodeSlip, 9, "cannot be told from the right answer"},
		{"two slips of one value", given + "answer: T·L/(G·π/32·d^4)\nslips: [torque-twice, bending-for-torsion]\n", CodeSlip, 9, "come to the same value"},
		{"a slip without its names", given + "answer: T·L/(G·π/32·d^4)\nslips: [mean-diameter]\n", CodeSlip, 9, "two end diameters"},
		{"a slip of another dimension", given + "answer: T·L/(G·π/32·d^4)\nslips: [{name: other, formula: L, says: A length.}]\n", CodeSlip, 9, "gives a length"},
		{"an answer of nothing", given + "answer: (T − T)·L/(G·d^4)\n", CodeDraw, 8, "the answer is 0"},
		{"routes that disagree", given + "answer: T·L/(G·π/32·d^4)\ncheck: T·L/(G·π/32·d^4)·1.0000001\n", CodeRoute, 9, "does not agree"},
		{"an answer that is given", strings.Replace(given, "  G:", "  G_L: 79 GPa\n  θ: T·L/(G·π/32·d^4)\n  G:", 1) + "answer: θ\n", CodeShown, 7, "is the answer"},
		{"conditions that never hold", given + "answer: T·L/(G·π/32·d^4)\nwhere: [T > 500 N·m]\n", CodeDraw, 1, "never hold"},
		{"a condition that is no comparison", given + "answer: T·L/(G·π/32·d^4)\nwhere: [T]\n", CodeValue, 9, "compares two values"},
		{"a unit of another dimension", given + "answer: T·L/(G·π/32·d^4)\nunit: mm\n", CodeValue, 8, "its unit that of a length"},
		{"a tolerance of another dimension", given + "answer: T·L/(G·π/32·d^4)\ntolerance: 1 mm\n", CodeValue, 7, "its tolerance a length"},
		{"a tolerance of an angle without a unit", given + "answer: T·L/(G·π/32·d^4)\nunit: deg\ntolerance: 1\n", CodeValue, 10, "an angle, and its tolerance has no unit"},
		{"a tolerance of a torque without a unit", given + "answer: T\ntolerance: 1\n", CodeValue, 9, "a torque, and its tolerance has no unit"},
		{"a tolerance of a percentage without a unit", given + "answer: L/(1 m)\nunit: \"%\"\ntolerance: 1\n", CodeValue, 10, "in %, and its tolerance has no unit"},
		{"a sign without its convention", given + "answer: −T·L/(G·π/32·d^4)\n", CodeValue, 8, "which sense counts as positive"},
		{"an undefined name", given + "answer: T·L/(G·J)\n", "undefined-name", 8, "J"},
		{"dimensions that do not go together", given + "answer: T + L\n", "dimension", 8, "add"},
		{"a given that cannot be", strings.Replace(given, "d: 40 mm", "d: 40 mm + 1 N", 1) + "answer: T\n", "dimension", 5, "add"},
		{"a shaft that cannot be", given + "answer: S.twist\nshaft: |\n  G = G\n  solid d for 0 mm\n  hold at 0 mm\n  torque T at L\n", "shaft-length", 11, "no piece"},
		{"a figure that cannot be", given + "answer: T·L/(G·π/32·d^4)\nfigure: draw R\n", "undefined-name", 9, "R"},
		{"a prediction that cannot be", given + "answer: T·L/(G·π/32·d^4)\npredict: {text: How far, result: J}\n", "undefined-name", 9, "J"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, list := Parse("t", source.NewText("t", c.block))
			if list.HasErrors() {
				t.Fatal(list[0].Render())
			}
			proof, err := Prove(context.Background(), e)
			if err != nil {
				t.Fatal(err)
			}
			for _, d := range proof.Problems {
				if d.Severity == source.Error && (c.code == "" || d.Code == c.code) && (c.line == 0 || d.Span.Position().Line == c.line) && strings.Contains(d.Message, c.says) {
					return
				}
			}
			for _, d := range proof.Problems {
				t.Log(d.Code, d.Render())
			}
			t.Errorf("not found: %s on line %d saying %q", c.code, c.line, c.says)
		})
	}
}

// TestProveSamples counts what is looked at.
func TestProveSamples(t *testing.T) {
	block := "title: t\ngiven:\n  T: {from: 1 N·m, to: 1000 N·m, by: 1 N·m}\n  L: {from: 1 m, to: 9 m, by: 1 m}\nask: The product\nanswer: T·L\n"
	e, list := Parse("t", source.NewText("t", block))
	if list.HasErrors() {
		t.Fatal(list)
	}
	proof, err := Prove(context.Background(), e)
	if err != nil || proof.Complete || proof.Tried != MostProved || proof.Usable != MostProved || proof.Combinations.Int64() != 9000 {
		t.Errorf("%+v, %v", proof, err)
	}
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Prove(cancelled, e); err == nil {
		t.Error("a cancelled proof is no proof")
	}
}
