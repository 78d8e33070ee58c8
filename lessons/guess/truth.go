package guess

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Truth is what a guess is set beside, with the values that the lesson starts with.
type Truth struct {
	Value    float64 // of a Number, in SI base units
	Dim      unit.Dimension
	Text     string // of a Number with its unit, "0.6867 deg"; with kernel.Mark before an estimate
	Estimate string // why it is an estimate; empty where it is certain

	Order  []int    // of an Order: the items by number, in the right order
	Values []string // of an Order: the value of each item, as it is said

	Right int // of a Pick: the number of the right option

	Field *Field // of a Sketch
}

// Cell returns the cell that works out what is right, a statement for each answer, to
// be evaluated in the working of the lesson. ok is false where nothing is worked out.
func (g *Guess) Cell() (c kernel.Cell, ok bool) {
	answers := g.Answers()
	var lines []string
	if g.Curve != nil {
		lines = append(lines, strings.Join(strings.Fields(g.Curve.Span().Text.Content), " "))
		answers = g.Stations
	}
	if len(answers)+len(lines) == 0 {
		return kernel.Cell{}, false
	}
	for _, x := range answers {
		line := x.Span().Text.Content
		if g.Unit != nil {
			line += " in " + g.Unit.Text
		}
		lines = append(lines, strings.Join(strings.Fields(line), " "))
	}
	return kernel.Cell{ID: g.ID, Kind: kernel.Calc, Text: source.NewText(g.ID, strings.Join(lines, "\n"))}, true
}

// Truth reads what is right from the results of the guess's cell. It must not be used
// if the list holds an error.
func (g *Guess) Truth(results []kernel.Result) (Truth, source.List) {
	var list source.List
	for i, o := range g.Options {
		if o.Right {
			return Truth{Right: i}, nil
		}
	}
	if g.Kind == Sketch {
		f := g.field(&list, results)
		return Truth{Field: f}, list
	}
	answers := g.Answers()
	if len(results) != len(answers) {
		list.Addf(g.at, CodeValue, "what is right cannot be worked out").Repair = "write each answer as one expression of the lesson"
		return Truth{}, list
	}
	for i := range results {
		g.checkAnswer(&list, answers[i], &results[i])
	}
	if list.HasErrors() {
		return Truth{}, list
	}
	if g.Kind == Number {
		return g.numberTruth(&list, &results[0]), list
	}
	return g.orderTruth(&list, results), list
}

// checkAnswer reports an answer that is not one number. An error of the notation is
// reported at the place of the answer in the block.
func (g *Guess) checkAnswer(list *source.List, x notation.Expr, r *kernel.Result) {
	at := g.places.Span(x.Span())
	switch first := r.Diagnostics.FirstError(); {
	case first != nil:
		g.report(list, x.Span().Text, *first)
	case r.Value == nil:
		list.Addf(at, CodeValue, "%s has no value", at.Content()).Repair = "look at the line that defines it"
	case r.Value.IsBracket || r.Value.IsTruth:
		list.Addf(at, CodeValue, "what is guessed must be one number").Repair = "write an expression with one value, such as θ_n"
	}
}

// inBlock moves a place in the line of an answer, whose text is own, to the block.
func (g *Guess) inBlock(own *source.Text, s source.Span) source.Span {
	whole := g.places.Span(source.Span{Text: own, End: len(own.Content)})
	if s.Text == nil || s.Text.Name != g.ID {
		return whole
	}
	line := s.Text.Content[:s.Start]
	start := s.Start - (strings.LastIndexByte(line, '\n') + 1)
	end := min(start+s.End-s.Start, len(own.Content))
	if start > end {
		return whole
	}
	return g.places.Span(source.Span{Text: own, Start: start, End: end})
}

func (g *Guess) numberTruth(list *source.List, r *kernel.Result) Truth {
	if g.Unit == nil && (!r.Value.Dim.IsNumber() || strings.ContainsFunc(r.Text, isUnitRune)) {
		list.Addf(g.places.Span(g.Answer.Span()), CodeValue, "this is %s, so the guess needs a unit", unit.Describe(r.Value.Dim)).
			Repair = "write unit: deg, or another one of its kind"
	}
	if g.Count && r.Value.Number != math.Trunc(r.Value.Number) {
		list.Addf(g.places.Span(g.Answer.Span()), CodeValue, "this is %s, but a count is a whole number", r.Shown()).
			Repair = "leave out count, or count the things"
	}
	reason, _ := r.Estimated()
	return Truth{Value: r.Value.Number, Dim: r.Value.Dim, Text: r.Shown(), Estimate: reason}
}

// isUnitRune reports whether a letter in a shown value can only be of a unit: a number
// without one has digits and signs, and ∞ is refused by the kernel.
func isUnitRune(c rune) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == '°' }

// orderTruth puts the items in their order. Two that are equal, or so near that what is
// shown of them is the same, have none.
func (g *Guess) orderTruth(list *source.List, results []kernel.Result) Truth {
	t := Truth{Dim: results[0].Value.Dim}
	for i := range results {
		t.Order = append(t.Order, i)
		t.Values = append(t.Values, results[i].Shown())
		if results[i].Value.Dim != t.Dim {
			list.Addf(g.Items[i].at, CodeValue, "this is %s, and the first item is %s", unit.Describe(results[i].Value.Dim), unit.Describe(t.Dim)).
				Repair = "give all items values of one kind"
		}
	}
	slices.SortStableFunc(t.Order, func(a, b int) int {
		c := cmp.Compare(results[a].Value.Number, results[b].Value.Number)
		if g.Largest {
			c = -c
		}
		return c
	})
	for i := range t.Order[1:] {
		a, b := t.Order[i], t.Order[i+1]
		if results[a].Value.Number == results[b].Value.Number || t.Values[a] == t.Values[b] {
			list.Addf(g.Items[max(a, b)].at, CodeValue, "two items have the same value, %s: “%s” and “%s”", t.Values[a], g.Items[a].Text, g.Items[b].Text).
				Repair = "leave one of them out, or change the numbers"
		}
	}
	if !list.HasErrors() && slices.IsSorted(t.Order) {
		list.Addf(g.Items[0].at, CodeValue, "the items stand in their right order already").Repair = "list them in another order"
	}
	return t
}
