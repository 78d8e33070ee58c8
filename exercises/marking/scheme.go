package marking

import (
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// A Scheme is the marking scheme of one part of an exercise: what is right, how
// far an answer may be from it, which wrong turns are recognised, and what is
// said about each. It is not changed after it was read.
type Scheme struct {
	Name    string // of the part
	Kind    Kind
	Points  float64
	Options []Option // of a Pick

	Question string // what is asked, in words
	Symbol   string // the name of what is asked, canonical, or empty
	Sign     string // which sense counts as positive, in the author's words; empty where no sign is asked

	Line      string // of a Line: what the author writes there
	Answer    notation.Expr
	Unit      *unit.Unit // the unit in which the author thinks of the answer, or nil
	Tolerance Tolerance
	Low, High notation.Expr // nil without bounds
	LowIs     string        // what the lower bound is, in the author's words
	HighIs    string
	Slips     []*Slip
	Why       string // the reason after a right answer, or empty
	Rough     bool   // whether a wrong answer is followed by roughly how far off it is
}

// A Kind is the form in which a part is answered.
type Kind int

// The kinds of parts.
const (
	Number  Kind = iota // a value with its unit, or a formula that has one
	Formula             // a formula in the given names, judged by its meaning
	Pick                // one of several sentences
	Line                // a line of a derivation, judged by whether it follows
)

var kindWords = [...]string{"number", "formula", "pick", "line"}

// ParseKind returns the kind that an exercise block calls by a word.
func ParseKind(word string) (Kind, bool) {
	i := slices.Index(kindWords[:], word)
	return Kind(i), i >= 0
}

// String returns the word of the block for the kind.
func (k Kind) String() string { return kindWords[k] }

// An Option is one sentence to pick.
type Option struct {
	Name, Text string
	Right      bool
	Reason     string // why it is right or wrong
}

// SlipWords returns slips in words, as they are kept with an answer: names parted
// by spaces where the answer cannot tell them apart. A part of sentences to pick
// gives the sentence. The scheme may be nil; the names are then all there is.
func (a *Scheme) SlipWords(kept string) string {
	list := strings.Fields(kept)
	for i, name := range list {
		list[i] = strings.ReplaceAll(name, "-", " ")
		if o := a.option(name); o != nil {
			list[i] = o.Text
		}
	}
	return words.Or(list)
}

// Said returns an answer as the learner saw it: the sentence that was picked, or
// the text as typed. The scheme may be nil.
func (a *Scheme) Said(answer string) string {
	if o := a.option(answer); o != nil {
		return o.Text
	}
	return answer
}

func (a *Scheme) option(name string) *Option {
	if a == nil {
		return nil
	}
	for i := range a.Options {
		if a.Options[i].Name == name {
			return &a.Options[i]
		}
	}
	return nil
}
