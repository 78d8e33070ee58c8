package class

import (
	"unicode"
	"unicode/utf8"
)

// mostWords bounds the words of a line that is compared word by word.
const mostWords = 400

// markWords marks the words in which lines differ. Where lines are taken out and others
// put in at the same place, the first belongs to the first, the second to the second.
func markWords(all []Line) {
	for i := 0; i < len(all); {
		if all[i].Sign == ' ' {
			i++
			continue
		}
		var out, in []*Line
		for ; i < len(all) && all[i].Sign != ' '; i++ {
			if all[i].Sign == '-' {
				out = append(out, &all[i])
			} else {
				in = append(in, &all[i])
			}
		}
		for k := range min(len(out), len(in)) {
			markPair(out[k], in[k])
		}
	}
}

func markPair(out, in *Line) {
	a, b := lineWords(out.Text), lineWords(in.Text)
	if len(a) > mostWords || len(b) > mostWords {
		return
	}
	common := commonLengths(a, b)
	inA, inB := make([]bool, len(a)), make([]bool, len(b))
	shared, all := 0, 0
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			inA[i], inB[j] = true, true
			i++
			j++
		case common[i+1][j] >= common[i][j+1]:
			i++
		default:
			j++
		}
	}
	for i, w := range a {
		if isWord(w) {
			all++
			if inA[i] {
				shared++
			}
		}
	}
	if 3*shared < all || shared == 0 { // another line, and not this one changed
		return
	}
	out.Pieces, in.Pieces = linePieces(a, inA), linePieces(b, inB)
}

// linePieces joins words that are neighbours and both shared or both not.
func linePieces(words []string, shared []bool) (list []LinePiece) {
	for i, w := range words {
		if n := len(list); n > 0 && list[n-1].Changed == !shared[i] {
			list[n-1].Text += w
			continue
		}
		list = append(list, LinePiece{w, !shared[i]})
	}
	return list
}

func isWord(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return isLetter(r)
}

func isLetter(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) }

// lineWords cuts a line into words, stretches of white space and single other characters,
// which together are the line.
func lineWords(s string) (words []string) {
	kind := func(r rune) int {
		switch {
		case isLetter(r):
			return 1
		case unicode.IsSpace(r):
			return 2
		}
		return 0
	}
	start, last := 0, -1
	for i, r := range s {
		k := kind(r)
		if i > 0 && (k == 0 || k != last) {
			words = append(words, s[start:i])
			start = i
		}
		last = k
	}
	if start < len(s) {
		words = append(words, s[start:])
	}
	return words
}
