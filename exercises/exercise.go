package exercises

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// An Exercise is one exercise block, read. It is not changed after Parse and
// may be used by many goroutines.
type Exercise struct {
	ID         string // the name after the fence; part of every record
	Title      string
	Attempts   int // graded tries, 3 unless the block says otherwise
	Structures []*Structure
	Text       *source.Text

	places map[*source.Text]place
}

// A Structure is one way in which the problem is set: hollow or solid, one
// torque or two, this unknown or that. An exercise without the key structures
// has one.
type Structure struct {
	Name     string
	Text     string // what is set, Markdown within one paragraph; may be empty
	Given    []*Given
	Asks     []*Part
	Predicts []*Predict

	at     source.Span
	where  []notation.Expr
	work   *source.Text // statements that learners do not see, or nil
	shaft  *source.Text // the shaft cell S, or nil
	figure *source.Text // statements that draw, or nil
}

// A Given is one given name with the values it can have.
type Given struct {
	Name    string // canonical
	Derived bool   // follows from the names above it

	head   string     // "d_0", or "J(x)" for a function
	ends   [2]float64 // of a range, in SI units; both 0 for anything else
	values []string   // as text; one for fixed and derived givens
	uses   []string   // names in the expression of a derived given
	at     source.Span
	isFunc bool
}

// A Kind says in which form a part is answered.
type Kind int

// The kinds of parts.
const (
	Number  Kind = iota // a value with its unit, or a formula that has one
	Formula             // a formula in the given names, judged by its meaning
	Pick                // one of several sentences
)

var kindWords = [...]string{"number", "formula", "pick"}

// String returns the word of the block for the kind.
func (k Kind) String() string { return kindWords[k] }

// An Part is one part of an exercise.
type Part struct {
	Name    string
	Text    string // what is asked, Markdown within one paragraph
	Kind    Kind
	Hints   []string // at most three: the principle, the place, a worked step
	Points  float64
	Options []Option // of a Pick

	at        source.Span
	answer    notation.Expr
	route     notation.Expr // a second way to the answer, or nil
	unit      *unit.Unit    // the unit in which the author thinks of the answer, or nil
	Tolerance Tolerance
	low, high notation.Expr // nil without bounds
	lowIs     string        // what the lower bound is, in the author's words
	highIs    string
	slips     []*Slip
	why       string // said after a right answer
	rough     bool   // whether a wrong answer is told roughly how far off it is
}

// An Option is one sentence to pick. Says is the reason why it is wrong, or,
// for the right one, why it is right.
type Option struct {
	Name, Text string

	right bool
	says  string
}

// A Slip is a wrong turn that an answer can be recognised by.
type Slip struct {
	Name string

	says    string // "It looks as though …", without the next step
	next    string
	formula notation.Expr // its value, or nil for one of the catalogue's
	general *general      // how the catalogue computes it, or nil
	factor  notation.Expr // of a dropped factor, or nil
	of      []string      // the names it acts on; nil for those of the usual letter
	shares  []string      // slips whose value may be the same
	at      source.Span
}

// SlipWords says slips in words, as they are kept with an answer: names parted
// by spaces where the answer cannot tell them apart. A part of sentences to pick
// says the sentence. It may be asked of no part, whose names are all there is.
func (a *Part) SlipWords(kept string) string {
	words := strings.Fields(kept)
	for i, name := range words {
		words[i] = strings.ReplaceAll(name, "-", " ")
		if o := a.option(name); o != nil {
			words[i] = o.Text
		}
	}
	return strings.Join(words, " or ")
}

// Said is an answer as the learner saw it: the sentence that was picked, or the
// text as typed. It may be asked of no part.
func (a *Part) Said(answer string) string {
	if o := a.option(answer); o != nil {
		return o.Text
	}
	return answer
}

func (a *Part) option(name string) *Option {
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
