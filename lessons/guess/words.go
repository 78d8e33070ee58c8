package guess

import (
	"fmt"
	"math"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Comparison is a guess beside what is right, in words.
type Comparison struct {
	Guess string // as it was made, Markdown within one paragraph
	Truth string // the same of what is right
	Words string // how the two compare, a sentence; may be empty
	Says  string // of the option that was picked; may be empty
}

// Compare sets a guess beside the truth. text and value are as in [Made].
func (g *Guess) Compare(t Truth, text string, value float64) Comparison {
	c := Comparison{Guess: text, Truth: g.TruthInWords(t)}
	switch g.Kind {
	case Number:
		c.Words = g.numberInWords(t, text, value)
	case Pick:
		c.Guess = "not one of these options"
		for i, o := range g.Options {
			if Letter(i) == text {
				c.Guess, c.Says = o.Text, o.Says
				if i == t.Right {
					c.Words = "As you guessed."
				}
			}
		}
	case Order:
		order := g.OrderOf(text)
		if order == nil {
			c.Guess = "an order of other items"
			break
		}
		var list []string
		for _, i := range order {
			list = append(list, g.Items[i].Text)
		}
		c.Guess, c.Words = strings.Join(list, ", then "), g.orderCompared(t, order)
	case Sketch:
		s, ok := t.Field.sketched(text)
		if !ok {
			c.Guess = "a sketch of another curve"
			break
		}
		c.Guess, c.Words = "a curve that "+s.words(t.Field), t.Field.compareSketch(s)
	}
	return c
}

// TruthInWords says what is right, Markdown within one paragraph.
func (g *Guess) TruthInWords(t Truth) string {
	switch g.Kind {
	case Pick:
		return g.Options[t.Right].Text
	case Order:
		var list []string
		for _, i := range t.Order {
			list = append(list, fmt.Sprintf("%s (%s)", g.Items[i].Text, t.Values[i]))
		}
		words := strings.Join(list, ", then ")
		if g.By != "" {
			words += "; in brackets: " + g.By
		}
		return words
	case Number:
		return t.Text
	}
	return "a curve that " + t.Field.truth().words(t.Field)
}

// alike is the largest relative difference that is said to be none: half a unit of the
// fourth figure, which is all that is shown.
const alike = 5e-4

// numberInWords says how a number compares with the truth. text is as in [Made].
func (g *Guess) numberInWords(t Truth, text string, guess float64) string {
	switch {
	case g.Count && guess == t.Value:
		return "As you guessed."
	case g.Count: // no share of it is of use: the ninth of a list is not 44 % more than the fifth
		return "It is " + t.Text + "."
	case guess == t.Value || math.Abs(guess-t.Value) <= alike*math.Abs(t.Value):
		return "Your guess is the same, to the figures shown."
	case roundsTo(text, t.Value):
		return "Your guess is right to the figures you gave."
	case t.Value == 0 && g.Unit != nil && g.Unit.Text == "%":
		return fmt.Sprintf("Your guess differs by %s percentage points.", strings.TrimSuffix(g.InUnit(t, guess), " %"))
	case t.Value == 0:
		return fmt.Sprintf("Your guess differs by %s.", g.InUnit(t, guess))
	case guess == 0:
		return "Your guess is nothing at all."
	case (guess < 0) != (t.Value < 0):
		return "Your guess has the opposite sign" + sizeOf(math.Abs(guess/t.Value)) + "."
	}
	if g.Unit != nil && g.Unit.Text == "%" { // 60 % is not “96 % more” than 30.65 %
		return "Your guess is " + points(guess-t.Value) + "."
	}
	return "Your guess is " + strings.TrimPrefix(sizeOf(guess/t.Value), " and is ") + "."
}

// coarsest is the largest share of a value that the rounding of a guess may account for:
// 1 for 1.4 is rounded as well, and is no good guess.
const coarsest = 1.0 / 20

// roundsTo reports whether a value, rounded to the figures of a guess, is the guess.
func roundsTo(guess string, value float64) bool {
	x, list := notation.ParseExpr(source.NewText("", guess))
	if list.HasErrors() {
		return false
	}
	written, half, ok := marking.Written(x)
	return ok && math.Abs(written-value) <= min(half, coarsest*math.Abs(value))
}

// points words a difference of two shares in percentage points.
func points(difference float64) string {
	size, way := 100*math.Abs(difference), "more"
	if difference < 0 {
		way = "less"
	}
	text := unit.FormatNumber(size, unit.Rounding{Figures: 2})
	if text == "1" || text == "1.0" {
		return "1 percentage point " + way
	}
	return text + " percentage points " + way
}

// farthest is the largest ratio that is said in figures.
const farthest = 1e6

// sizeOf words a ratio of guess to truth: a share up to double, times beyond.
func sizeOf(ratio float64) string {
	figures := unit.Rounding{Figures: 2}
	switch {
	case math.Abs(ratio-1) <= alike:
		return ""
	case !(ratio <= farthest):
		return " and is more than a million times as much"
	case ratio >= 2:
		return " and is " + unit.FormatNumber(ratio, figures) + " times as much"
	case ratio > 1:
		return " and is " + unit.FormatNumber(100*(ratio-1), figures) + " % more"
	case ratio > 0.5:
		return " and is " + unit.FormatNumber(100*(1-ratio), figures) + " % less"
	}
	if part := 1 / ratio; part <= farthest {
		return " and is the true value divided by " + unit.FormatNumber(part, figures)
	}
	return " and is less than a millionth of the true value"
}

func (g *Guess) orderCompared(t Truth, order []int) string {
	var moved []string
	for place, i := range order {
		if t.Order[place] != i {
			moved = append(moved, g.Items[i].Text)
		}
	}
	switch len(moved) {
	case 0:
		return "As you guessed."
	case len(order):
		return "Each of them belongs in another place."
	}
	return fmt.Sprintf("These belong in another place: %s.", strings.Join(moved, ", "))
}
