package reference

import (
	"strings"

	"go.yaml.in/yaml/v3"
)

// A Term is an entry of the glossary.
type Term struct {
	Word  string
	Also  []string // other words for the same thing
	Means Text
	See   []Place // where it is explained
}

// ID returns the anchor of the term on its page.
func (t *Term) ID() string {
	return strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r == '’':
			return -1
		}
		return '-'
	}, strings.ToLower(t.Word)), "-")
}

func (r *Reference) readGlossary(y *reader, root *yaml.Node) {
	owner := map[string]string{} // of a word or another word for it
	last := ""
	y.each(root, "a glossary", func(item *yaml.Node) {
		var t Term
		if !y.entry(item, "the glossary", field{"word", true, words(&t.Word)}, field{"also", false, wordList(&t.Also)},
			field{"means", true, y.markdown(&t.Means)}, field{"see", false, y.places(&t.See)}) {
			return
		}
		for _, w := range append([]string{t.Word}, t.Also...) {
			key := strings.ToLower(w)
			if other, ok := owner[key]; ok {
				y.list.Addf(y.yaml.Span(item), CodeSequence, "“%s” stands with “%s” too", w, other).Repair = "leave it with one of them"
			}
			owner[key] = t.Word
		}
		if key := strings.ToLower(t.Word); key < last {
			y.list.Addf(y.yaml.Span(item), CodeSequence, "“%s” is not in the order of the alphabet", t.Word).Repair = "move it up, before what follows it in the alphabet"
		} else {
			last = key
		}
		r.Terms = append(r.Terms, t)
	})
}
