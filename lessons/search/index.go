package search

import (
	"slices"
	"strings"
	"unicode"

	"github.com/kljensen/snowball/english"
	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// An index is a text as words are looked for in it.
type index struct {
	folded string
	words  []string
	stems  []string // of the words
}

func indexOf(text string) index {
	folded := fold(text)
	words := wordsOf(folded)
	return index{folded, words, stemsOf(words)}
}

func (x *index) add(y index) {
	x.folded += " " + y.folded
	x.words = append(slices.Clip(x.words), y.words...)
	x.stems = append(slices.Clip(x.stems), y.stems...)
}

// fold makes texts comparable: no case, no marks on letters, and the Greek
// letters of the trade by their names, so that "theta" finds θ.
func fold(s string) string {
	s = greekNames.Replace(cases.Fold().String(norm.NFKD.String(s)))
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, s)
}

var greekNames = strings.NewReplacer("θ", "theta", "τ", "tau", "φ", "phi", "π", "pi", "γ", "gamma", "δ", "delta", "ω", "omega", "ν", "nu", "β", "beta", "σ", "sigma", "'", "’")

// wordsOf returns the runs of letters and digits of a folded text; Young’s is Young.
func wordsOf(folded string) []string {
	folded = strings.ReplaceAll(folded, "’s", "")
	return strings.FieldsFunc(folded, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// stemsOf returns what the forms of a word have in common, after M. F. Porter's
// second stemmer for English.
func stemsOf(words []string) []string {
	stems := make([]string, len(words))
	for i, w := range words {
		stems[i] = english.Stem(w, true)
	}
	return stems
}

// holds reports whether the words of a phrase, in any form, stand side by side.
func (x *index) holds(phrase []string) bool {
	if len(phrase) == 0 {
		return false
	}
	for i := 0; i+len(phrase) <= len(x.stems); i++ {
		if slices.Equal(x.stems[i:i+len(phrase)], phrase) {
			return true
		}
	}
	return false
}
