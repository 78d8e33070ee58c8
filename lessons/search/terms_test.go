package search_test

import (
	"strings"
	"testing"

	"shaftbook/lessons/reference"
	"shaftbook/lessons/search"
)

func TestFindTerms(t *testing.T) {
	terms := []reference.Term{
		{Word: "flexibility", Also: []string{"compliance", "softness"}},
		{Word: "Poisson’s ratio"},
		{Word: "shear modulus", Also: []string{"modulus of rigidity"}},
		{Word: "shear strain"},
		{Word: "shear stress"},
		{Word: "stress concentration"},
		{Word: "stress concentration factor"},
		{Word: "torsional rigidity"},
		{Word: "torsional stiffness"},
	}
	for _, c := range []struct{ name, query, want string }{
		{"the word", "shear strain", "shear strain"},
		{"another word for it", "compliance", "flexibility"},
		{"another form", "flexibilities", "flexibility"},
		{"a part of several, the shorter first", "stress concentration", "stress concentration, stress concentration factor"},
		{"all words must be there", "shear rigidity", ""},
		{"capital letters and the other apostrophe", "POISSON's", "Poisson’s ratio"},
		{"a word of the trade for the same", "stiffness", "torsional stiffness, torsional rigidity, shear modulus"},
		{"nothing", "zebra", ""},
		{"an empty query", " ", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var words []string
			for _, term := range search.FindTerms(terms, search.Read(c.query)) {
				words = append(words, term.Word)
			}
			if got := strings.Join(words, ", "); got != c.want {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}
