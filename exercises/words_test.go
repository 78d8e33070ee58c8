package exercises

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// TestWordsWithNumbers wants the values between braces in the learner's own numbers, and
// formulas and code left alone.
func TestWordsWithNumbers(t *testing.T) {
	const block = `title: Can it be right?
text: "A bar, $\\frac{a}{b}$, of {2·d in mm}, ` + "`{d}`" + `."
given: {T: {one of: [300 N·m, 400 N·m]}, L: 1 m, d: 40 mm, G: 79 GPa}
work: claim = 2·T·L/(G·π/32·d^4)
ask:
  kind: pick
  text: "Somebody finds {claim in deg to 3 figures} under {T}. Can it be right?"
  options:
    - {text: "no, a bar of {0.9·d} turns by less", right: yes, says: "It is {claim/2 in deg to 3 figures}."}
    - {text: "yes", says: "A bar of {0.9·d} turns by less."}
`
	v := set(t, block)
	a := v.Structure.Parts[0]
	// 32·T·L/(π·G·d⁴): 1.732 deg for 600 N·m twice 300, by hand: 300·1/(79e9·2.51327e-7) = 0.015110 rad = 0.8657 deg
	want := map[string]string{"300 N·m": "1.73", "400 N·m": "2.31"}[v.Given[0].Text]
	for _, c := range []struct{ text, want string }{
		{v.Structure.Text, `$\frac{a}{b}$, of 80`}, {v.Structure.Text, "`{d}`"},
		{a.Text, "finds " + want}, {a.Text, "under " + v.Given[0].Text}, {a.Options[0].Text, "36"},
	} {
		if !strings.Contains(strings.ReplaceAll(c.text, "\u00a0", " "), c.want) {
			t.Errorf("%q lacks %q", c.text, c.want)
		}
	}
	if got := mark(t, v, "", "option-1"); got.Kind != "right" || strings.Contains(got.Message, "{") {
		t.Errorf("%+v", got)
	}
	if v.Exercise.Structures[0].Parts[0].Text == a.Text {
		t.Error("the words of everybody were changed")
	}
}

func TestWordsWithNumbersAreProved(t *testing.T) {
	const given = "title: t\ngiven: {T: {one of: [300 N·m, 400 N·m]}, L: 1 m, d: 40 mm, G: 79 GPa}\n"
	for _, c := range []struct{ name, block, says string }{
		{"no value", given + "text: \"Of {K}\"\nask: The twist\nanswer: T·L/(G·π/32·d^4)\n", "K"},
		{"not a value", given + "text: \"Of {k = 3}\"\nask: The twist\nanswer: T·L/(G·π/32·d^4)\n", "is not a value"},
		{"not an expression", given + "text: \"Of {2·}\"\nask: The twist\nanswer: T·L/(G·π/32·d^4)\n", ""},
		{"the answer", given + "text: \"It is {T·L/(G·π/32·d^4) in deg}\"\nask: The twist\nanswer: T·L/(G·π/32·d^4)\n", "is the answer"},
		{"options that read the same", given + "ask: {kind: pick, text: Which, options: [{text: \"{T}\", right: yes, says: x}, {text: \"{1·T}\", says: x}]}\n", "read the same"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, list := Parse("t", source.NewText("block", c.block))
			if !list.HasErrors() {
				proof, err := Prove(context.Background(), e)
				if err != nil {
					t.Fatal(err)
				}
				list = proof.Problems
			}
			if d := list.FirstError(); d == nil || !strings.Contains(d.Message, c.says) {
				t.Errorf("%v, want %q", d, c.says)
			}
		})
	}
}
