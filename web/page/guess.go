package page

import (
	"html/template"

	"shaftbook/kernel/unit"
	"shaftbook/lessons/guess"
)

// A Guess asks for a guess before its result is shown, and shows both afterwards.
type Guess struct {
	ID     string // of the cell
	Action string // address of its form; empty where nothing is kept

	FormToken, Submission string
	Series                int // how often it was guessed before

	Ask     template.HTML
	Kind    string        // the word of the block
	Help    string        // what may be typed
	Options []GuessOption // of a pick
	Items   []GuessOption // of an order, as the block lists them
	First   string        // of an order: which value stands at the top, "Largest"
	Last    string        // and which at the bottom, "smallest"
	By      string        // of an order: what the values are; may be empty
	Sketch  *Sketch

	Open    bool // whether a guess is asked for; else the truth is shown
	Typed   string
	Trouble string
	Notice  string   // about a guess that was not taken, beside the one that stands
	Choices []Choice // the ways to read what was typed

	Made  []GuessMade // what was guessed, the first one first
	Seen  bool        // the result was asked for, without a guess
	Truth template.HTML
	Drawn template.HTML // of a sketch: the figure of what is right and of what was drawn
	Says  template.HTML
	Why   string // why the truth is an estimate; empty where it is certain
	Again string // address at which it can be guessed again
}

// A GuessOption is one thing to choose or to put in order.
type GuessOption struct {
	Letter string
	Text   template.HTML
	Picked bool
	Place  string // in the order, as it was typed
}

// A GuessMade is a guess with what is said of it.
type GuessMade struct {
	Text  template.HTML
	Words string
	Says  template.HTML // of the option that was picked
}

// NewGuess asks for a guess. What is right and what was guessed are not in it yet; of the
// truth it has the field of a sketch, on which nothing is drawn.
func NewGuess(g *guess.Guess, t guess.Truth) Guess {
	view := Guess{ID: g.ID, Ask: Inline(g.Ask), Kind: g.Kind.String(), Open: true}
	for i, o := range g.Options {
		view.Options = append(view.Options, GuessOption{Letter: guess.Letter(i), Text: Inline(o.Text)})
	}
	for i, item := range g.Items {
		view.Items = append(view.Items, GuessOption{Letter: guess.Letter(i), Text: Inline(item.Text)})
	}
	if g.Kind == guess.Order {
		view.First, view.Last = "Smallest", "largest"
		if g.Largest {
			view.First, view.Last = "Largest", "smallest"
		}
		view.By = g.By
	}
	if t.Field != nil {
		view.Sketch = NewSketch(t.Field)
	}
	if g.Kind == guess.Number {
		view.Help = "A number with its unit. A rough one will do."
		if g.Unit == nil || *g.Unit == (unit.Unit{}) {
			view.Help = "A number. A rough one will do."
		}
	}
	return view
}

// Show adds what is right to a guess, which then is not asked for any more.
func (v *Guess) Show(g *guess.Guess, t guess.Truth) {
	v.Open = false
	v.Truth = Inline(shown(g.TruthInWords(t)))
	v.Why = t.Estimate
	if g.Says != "" {
		v.Says = Inline(g.Says)
	}
}

// Draw adds the figure of a sketch: what is right, and what was drawn, as it is kept.
func (v *Guess) Draw(rows *Rows, g *guess.Guess, t guess.Truth, sketches []string) error {
	p, ok := g.Picture(t, sketches)
	if !ok {
		return nil
	}
	var err error
	v.Drawn, err = rows.Picture(p, v.ID)
	return err
}

// Add adds one guess that was made.
func (v *Guess) Add(c guess.Comparison) {
	made := GuessMade{Text: Inline(shown(c.Guess)), Words: c.Words}
	if c.Says != "" {
		made.Says = Inline(c.Says)
	}
	v.Made = append(v.Made, made)
}

// Said is what is new, for the ear.
func (v *Guess) Said(g *guess.Guess, t guess.Truth) string {
	said := "The lesson gives: " + shown(g.TruthInWords(t)) + "."
	if n := len(v.Made); n > 0 {
		said += " " + v.Made[n-1].Words
	}
	return said
}
