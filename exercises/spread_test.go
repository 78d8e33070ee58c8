package exercises

import (
	"context"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

// Values in the words that give the answer away are reported: the answer itself in either
// sense, and what is always so many times it. So is an answer that never changes.
func TestSpreads(t *testing.T) {
	const block = "title: t\ngiven: {T: {from: 300 N·m, to: 400 N·m, by: 5 N·m}, k: 5000 N·m}\nwork: |\n  θ = T/k\n  half = θ/2\n  other = θ + 0.02\nask: {text: \"WORDS How far does it turn?\", answer: ANSWER, unit: deg}\n"
	for _, c := range []struct {
		words, answer, says string
		severity            source.Severity
	}{
		{"{−θ in deg}", "θ", "is the answer", source.Error},
		{"{θ in rad}", "θ", "is the answer", source.Error},
		{"{60·θ in deg}", "θ", "fixed ratio", source.Note},
		{"{θ/(1 deg)}", "θ", "fixed ratio", source.Note},
		{"{half in deg}", "θ", "fixed ratio", source.Note},
		{"{other in deg}", "θ", "", source.Note},
		{"{T}", "θ", "", source.Note},
		{"{T}", "100 N·m/k", "same with all numbers", source.Note},
	} {
		e, list := Parse("t", source.NewText("block", strings.NewReplacer("WORDS", c.words, "ANSWER", c.answer).Replace(block)))
		if list.HasErrors() {
			t.Fatal(c.words, list.Err())
		}
		proof, err := Prove(context.Background(), e)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, d := range proof.Problems {
			about := strings.Contains(d.Message, "answer")
			found = found || about && d.Severity == c.severity && c.says != "" && strings.Contains(d.Message, c.says)
			if about && c.says == "" {
				t.Errorf("%s: %s", c.words, d.Message)
			}
		}
		if !found && c.says != "" {
			t.Errorf("%s is not reported as %q: %v", c.words, c.says, proof.Problems)
		}
	}
}
