package search

import (
	"cmp"
	"slices"

	"shaftbook/lessons/reference"
)

const termLimit = 5 // terms shown

// FindTerms returns the terms of a glossary that a query looks for: those with all of its
// words among their own, the nearest first, and of these those with the fewest words
// beside. A query that is none of the words finds nothing here: it is looked for in the
// lessons.
func FindTerms(terms []reference.Term, q Query) []reference.Term {
	type ranked struct {
		reference.Term
		rank, words int
	}
	var found []ranked
	for _, t := range terms {
		best := ranked{rank: -1}
		for i, word := range append([]string{t.Word}, t.Also...) {
			x := indexOf(word)
			if rank, ok := q.rankIn(&x); ok && (best.rank < 0 || rank < best.rank) {
				best = ranked{t, rank + min(i, 1), len(x.words)}
			}
		}
		if best.rank >= 0 {
			found = append(found, best)
		}
	}
	slices.SortStableFunc(found, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.words, b.words))
	})
	var list []reference.Term
	for _, f := range found[:min(len(found), termLimit)] {
		list = append(list, f.Term)
	}
	return list
}

// rankIn says how far a text is from the very words of the query, 0 being best, and
// whether it holds all of them.
func (q Query) rankIn(x *index) (rank int, ok bool) {
	for _, t := range q.terms {
		in, ok := t.in(x)
		if !ok {
			return 0, false
		}
		rank = max(rank, int(in))
	}
	return rank, len(q.terms) > 0
}
