// Package guess is about the guesses of a lesson: questions that a reader answers
// before a result can be seen. It reads their blocks, works out what is right from
// the working of the lesson, and says in words how a guess compares with it. What
// stays covered until the guess is made is the business of [Cover].
//
// Begin with Parse.
package guess

import (
	"shaftbook/exercises/yamltext"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Kind is the form in which a guess is made.
type Kind int

// The kinds of guesses.
const (
	Number Kind = iota // a value with its unit
	Pick               // one of several sentences
	Order              // things put in the order of their values
	Sketch             // a curve drawn by hand
)

var kindWords = [...]string{"number", "pick", "order", "sketch"}

// String returns the word of the block for the kind.
func (k Kind) String() string { return kindWords[k] }

// A Guess is one block, read. It is not changed after Parse and may be used by many
// goroutines.
type Guess struct {
	ID     string // of the cell; part of what is kept
	Ask    string // Markdown within one paragraph
	Says   string // shown beside guess and truth; may be empty
	Kind   Kind
	Covers []Cover

	Answer notation.Expr // of a Number
	Unit   *unit.Unit    // of a Number: the unit in which its value is said; nil for a pure number
	Symbol string        // of a Number: the name of what is asked, canonical, or empty
	Count  bool          // of a Number: whether it counts things or is the number of one in a list

	Options []Option // of a Pick

	Items   []Item // of an Order
	Largest bool   // of an Order: whether the largest comes first
	By      string // of an Order: what the values are, "distance from the truth"; may be empty

	Curve    *notation.Plot  // of a Sketch: one column over one range
	Stations []notation.Expr // of a Sketch: where its points are; none for even ones
	Jumps    bool            // of a Sketch: whether it has two values at each inner station
	scale    *fixedScale     // of a Sketch: nil where only the shape is asked for

	Text *source.Text

	at     source.Span
	places yamltext.Places
}

// A Cover is a name of the working that stays covered.
type Cover struct {
	Name string // canonical
	At   source.Span
}

// An Option is one sentence to pick. Its letter follows from its place: a, b, c.
type Option struct {
	Text  string
	Right bool
	Says  string // shown with the truth to those who picked it; may be empty
}

// An Item is one of the things to be put in order.
type Item struct {
	Text  string
	Value notation.Expr

	at source.Span
}

// Letter returns the letter of the option or item at a place, counted from 0.
func Letter(i int) string { return string(rune('a' + i)) }

// Answers returns the expressions of the working from which the truth follows; none
// for a pick.
func (g *Guess) Answers() []notation.Expr {
	var all []notation.Expr
	if g.Answer != nil {
		all = append(all, g.Answer)
	}
	for _, item := range g.Items {
		if item.Value != nil {
			all = append(all, item.Value)
		}
	}
	return all
}
