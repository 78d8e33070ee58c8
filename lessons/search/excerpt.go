package search

import (
	"strings"

	"shaftbook/lessons/markdown"
)

const excerptRunes = 130

// A Piece of an excerpt is some words, or a formula.
type Piece struct {
	Text   string
	Markup string // MathML of a formula, "" of words
	Found  bool   // it was looked for
}

// An atom is what an excerpt is never cut within: a word with what touches it, and
// the formulas within that.
type atom struct {
	pieces []Piece
	length int // in characters
	words  []string
	found  bool
}

// excerpt cuts out whole words around the first of those that were looked for.
func excerpt(pieces []markdown.Piece, q Query) []Piece {
	atoms := atomsOf(pieces)
	at := -1
	for i := range atoms {
		for _, w := range atoms[i].words {
			atoms[i].found = atoms[i].found || q.at(w)
		}
		if n := q.beginsOther(stemsFrom(atoms, i)); n > 0 {
			for j := i; j < len(atoms) && n > 0; j++ {
				atoms[j].found = true
				n -= len(atoms[j].words)
			}
		}
		if at < 0 && atoms[i].found {
			at = i
		}
	}
	from, n := max(at, 0), 0
	for from > 0 && n < excerptRunes/3 {
		from--
		n += atoms[from].length + 1
	}
	to := from
	for n = 0; to < len(atoms) && n < excerptRunes; to++ {
		n += atoms[to].length + 1
	}
	var out []Piece
	if from > 0 {
		out = append(out, Piece{Text: "… "})
	}
	for i, a := range atoms[from:to] {
		if i > 0 {
			out = append(out, Piece{Text: " "})
		}
		for _, p := range a.pieces {
			p.Found = a.found
			out = append(out, p)
		}
	}
	if to < len(atoms) {
		out = append(out, Piece{Text: " …"})
	}
	return joined(out)
}

// atomsOf cuts a passage at its spaces; those within a formula do not count.
func atomsOf(pieces []markdown.Piece) []atom {
	var atoms []atom
	open := false // the last atom goes on
	put := func(p Piece) {
		if !open {
			atoms = append(atoms, atom{})
		}
		a := &atoms[len(atoms)-1]
		a.pieces = append(a.pieces, p)
		a.length += len([]rune(p.Text))
		a.words = append(a.words, wordsOf(fold(p.Text))...)
		open = true
	}
	for _, p := range pieces {
		if p.Markup != "" {
			put(Piece{Text: p.Text, Markup: p.Markup})
			continue
		}
		for i, word := range strings.FieldsFunc(p.Text, isSpace) {
			if i > 0 || isSpace(rune(p.Text[0])) {
				open = false
			}
			put(Piece{Text: word})
		}
		if p.Text != "" && isSpace(rune(p.Text[len(p.Text)-1])) {
			open = false
		}
	}
	return atoms
}

func isSpace(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' }

// stemsFrom returns the stems of the words from an atom on, as far as a phrase can go.
func stemsFrom(atoms []atom, i int) []string {
	const longest = 6
	var words []string
	for ; i < len(atoms) && len(words) < longest; i++ {
		words = append(words, atoms[i].words...)
	}
	return stemsOf(words)
}

// joined puts neighbouring words that are alike into one piece.
func joined(pieces []Piece) []Piece {
	var out []Piece
	for _, p := range pieces {
		if n := len(out); n > 0 && p.Markup == "" && out[n-1].Markup == "" && out[n-1].Found == p.Found {
			out[n-1].Text += p.Text
			continue
		}
		out = append(out, p)
	}
	return out
}
