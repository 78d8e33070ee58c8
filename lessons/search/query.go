package search

import (
	"slices"
	"strings"
)

// A Query is what is looked for.
type Query struct {
	terms []term
	Also  []string // other words for the same things, which are looked for too
}

// A term is a word of the query, or a phrase that the trade has other words for.
type term struct {
	words []string // as typed, folded; all of them must be there
	stems [][]string
	other [][]string // stems of phrases that mean the same
}

// A distance is how far what was found is from what was looked for. An odd number is
// left between two for a word that is not in the heading.
type distance int

const (
	exact    distance = 0 // the words themselves
	within   distance = 2 // as a part of longer words
	form     distance = 4 // in another form
	meaning  distance = 6 // by another word for the same thing
	farthest distance = 8
)

// Read takes a query apart: words, and phrases of the table of synonyms.
func Read(query string) Query {
	var q Query
	folded := strings.Fields(fold(query))
	for i := 0; i < len(folded); {
		group, n := groupAt(folded[i:])
		t := term{words: folded[i : i+max(n, 1)]}
		for _, w := range t.words {
			t.stems = append(t.stems, stemsOf(wordsOf(w)))
		}
		i += len(t.words)
		if group != nil {
			typed := slices.Concat(t.stems...)
			for _, phrase := range group {
				if slices.Equal(phrase.stems, typed) {
					continue
				}
				t.other = append(t.other, phrase.stems)
				if !slices.Contains(q.Also, phrase.text) {
					q.Also = append(q.Also, phrase.text)
				}
			}
		}
		q.terms = append(q.terms, t)
	}
	return q
}

// in returns how near to the term the text comes, and whether it holds it at all.
func (t *term) in(x *index) (distance, bool) {
	best, all := exact, true
	for i, w := range t.words {
		switch {
		case slices.Contains(x.words, w):
		case strings.Contains(x.folded, w):
			best = max(best, within)
		case x.holds(t.stems[i]):
			best = max(best, form)
		default:
			all = false
		}
	}
	if all {
		return best, true
	}
	return meaning, slices.ContainsFunc(t.other, x.holds)
}

// at reports whether one of the words of the query is this word.
func (q Query) at(word string) bool {
	x := indexOf(word)
	for _, t := range q.terms {
		for i, w := range t.words {
			if strings.Contains(x.folded, w) || x.holds(t.stems[i]) {
				return true
			}
		}
	}
	return false
}

// beginsOther returns how many of the words, from the first, are another word for
// what the query looks for.
func (q Query) beginsOther(words []string) int {
	for _, t := range q.terms {
		for _, phrase := range t.other {
			if len(phrase) <= len(words) && slices.Equal(words[:len(phrase)], phrase) {
				return len(phrase)
			}
		}
	}
	return 0
}
