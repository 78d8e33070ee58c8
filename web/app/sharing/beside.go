package sharing

import (
	"strings"

	"shaftbook/exercises/class"
)

// BlockHash is the name of a block's text by which an answer is bound to it. Empty lines
// around it do not count, so that what is added beside it changes nothing.
func BlockHash(raw string) string { return class.HashText(strings.TrimSpace(raw)) }

// A Placed is an answer with the block beside which it stands.
type Placed struct {
	class.PageNote
	Block   int  // number of the block, from 0; -1 if there is none like it any more
	Changed bool // the block is not as it was when the answer was written
}

// likeness is how much of the words of two texts must be common for one to be the other,
// changed.
const likeness = 0.5

// Place finds the block of each answer: the one with the text that was answered, or else
// the one that has most of its words, if at least half.
func Place(notes []class.PageNote, blocks []string) []Placed {
	hashes := make(map[string]int, len(blocks))
	for i := len(blocks) - 1; i >= 0; i-- {
		hashes[BlockHash(blocks[i])] = i // the first of two that are the same
	}
	placed := make([]Placed, 0, len(notes))
	for _, n := range notes {
		at, there := hashes[n.Block]
		if !there {
			at = likest(n.Quote, blocks)
		}
		placed = append(placed, Placed{n, at, !there})
	}
	return placed
}

// likest returns the number of the block that has most in common with a text, or -1.
func likest(text string, blocks []string) int {
	best, at := likeness, -1
	for i, raw := range blocks {
		if like := common(text, cut(raw, quoteBytes)); like > best || like == best && at < 0 {
			best, at = like, i
		}
	}
	return at
}

// common returns the share of the words of two texts that both have: twice those, by all
// of both (the coefficient of Dice, from memory).
func common(a, b string) float64 {
	x, y := strings.Fields(a), strings.Fields(b)
	if len(x)+len(y) == 0 {
		return 0
	}
	left := make(map[string]int, len(x))
	for _, w := range x {
		left[w]++
	}
	both := 0
	for _, w := range y {
		if left[w] > 0 {
			left[w]--
			both++
		}
	}
	return 2 * float64(both) / float64(len(x)+len(y))
}
