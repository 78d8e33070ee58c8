package guess

import (
	"slices"
	"strings"
	"testing"

	"shaftbook/kernel/source"
)

func guessOf(t *testing.T, id, text string) *Guess {
	g, list := Parse(id, source.NewText(id, text))
	if list.HasErrors() {
		t.Fatal(list)
	}
	return g
}

// TestCoverRule reads statements as "name: uses", with a star for one that shows nothing.
func TestCoverRule(t *testing.T) {
	pick := "ask: Which?\nkind: pick\noptions: [{text: a}, {text: b, right: yes}]\ncovers: "
	for name, c := range map[string]struct {
		guesses    []string
		statements []string
		want       []string // the guesses of each statement
	}{
		"a name, and what uses it": {
			[]string{pick + "[a]"}, []string{"a: x", "b: a", "c: b", ": a", ": x", "x:*"}, []string{"1", "1", "1", "1", "", ""},
		},
		"what shows nothing stays open, what follows from it does not": {
			[]string{pick + "[a]"}, []string{"a: x", "f:* a", ": f"}, []string{"1", "", "1"},
		},
		"a shaft by its name": {
			[]string{pick + "[quill]"}, []string{"quill: d", ": quill", "θ: quill", "d:*"}, []string{"1", "1", "1", ""},
		},
		"the answer, where it is a name": {
			[]string{"ask: How far?\nanswer: (θ)\nunit: deg\n"}, []string{"θ: T", ": θ", "T:*"}, []string{"1", "1", ""},
		},
		"an answer that is given stays open": {
			[]string{"ask: Which?\nkind: order\norder: largest first\nitems: [{text: a, value: T}, {text: b, value: U}]\n"}, []string{"T:*", "U: L", ": T", ": U"}, []string{"", "1", "", "1"},
		},
		"not the names of an answer that is worked out": {
			[]string{"ask: How much?\nanswer: θ/φ\n"}, []string{"θ: T", "φ: T"}, []string{"", ""},
		},
		"two guesses": {
			[]string{pick + "[a]", pick + "[b]"}, []string{"a:", "b:", ": a b", "c: b"}, []string{"1", "2", "1 2", "2"},
		},
		"a circle ends": {
			[]string{pick + "[a]"}, []string{"a: b", "b: a", "c:"}, []string{"1", "1", ""},
		},
		"nothing covered": {
			[]string{pick + "[z]"}, []string{"a: b", "b:"}, []string{"", ""},
		},
	} {
		t.Run(name, func(t *testing.T) {
			var guesses []*Guess
			for i, text := range c.guesses {
				guesses = append(guesses, guessOf(t, string(rune('1'+i)), text))
			}
			var statements []Statement
			for _, line := range c.statements {
				head, uses, _ := strings.Cut(line, ":")
				uses, plain := strings.CutPrefix(uses, "*")
				statements = append(statements, Statement{Name: head, Uses: strings.Fields(uses), Plain: plain})
			}
			rule := NewCoverRule(guesses, statements)
			var got []string
			for _, s := range statements {
				got = append(got, strings.Join(rule.Of(s), " "))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("covered by %q, want %q", got, c.want)
			}
		})
	}
}
