package page

import (
	"html/template"

	"shaftbook/lessons/guess"
)

// A Guess asks for a guess before its result is shown.
type Guess struct {
	ID      string
	Ask     template.HTML
	Options []GuessOption // of a pick
	Items   []GuessOption // of an order, as the block lists them
	Truth   template.HTML
	Says    template.HTML
}

// A GuessOption is one thing to choose or to put in order.
type GuessOption struct {
	Letter string
	Text   template.HTML
}

// NewGuess shows a guess with what is right.
func NewGuess(g *guess.Guess, truth guess.Truth) Guess {
	view := Guess{ID: g.ID, Ask: Inline(g.Ask)}
	for i, o := range g.Options {
		view.Options = append(view.Options, GuessOption{guess.Letter(i), Inline(o.Text)})
	}
	for i, item := range g.Items {
		view.Items = append(view.Items, GuessOption{guess.Letter(i), Inline(item.Text)})
	}
	if g.Says != "" {
		view.Says = Inline(g.Says)
	}
	view.Truth = Inline(g.TruthInWords(truth))
	return view
}
