package guess

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Made is a guess that a reader made, as it is understood.
type Made struct {
	// Text is of a Number as it was read, "0.7 deg"; of a Pick the letter; of an Order the
	// letters in order, "b a c"; of a Sketch the curve, as readSketch writes it.
	Text  string
	Value float64 // of a Number, in SI base units
}

// A Doubt is why a guess cannot be taken as it is typed: nothing was compared.
type Doubt struct {
	Message string
	Choices []marking.Choice // the ways to read it, if there are several
}

// readWork bounds what it costs to read one guess.
var readWork = kernel.Limits{Work: 50_000_000}

// Read reads a guess: for a Number what was typed, by the same rules as an answer to an
// exercise; for a Pick a letter, for an Order all letters, in order and parted by spaces,
// for a Sketch the values of its points, a line each.
// reading is the choice among the readings that were offered, or empty. A guess
// that is not taken has a doubt. The error is ctx's.
func (g *Guess) Read(ctx context.Context, t Truth, typed, reading string) (Made, *Doubt, error) {
	if g.Kind != Sketch {
		typed = strings.TrimSpace(typed)
	}
	switch g.Kind {
	case Number:
		return g.readNumber(ctx, t, typed, strings.TrimSpace(reading))
	case Pick:
		for i := range g.Options {
			if typed == Letter(i) {
				return Made{Text: typed}, nil, nil
			}
		}
		return Made{}, &Doubt{Message: "Choose one of these first."}, nil
	case Order:
		return g.readOrder(typed)
	}
	made, doubt := readSketch(t.Field, typed)
	return made, doubt, nil
}

func (g *Guess) readNumber(ctx context.Context, t Truth, typed, reading string) (Made, *Doubt, error) {
	w := kernel.NewWorking(readWork)
	m := &marking.Marker{
		Scheme: &marking.Scheme{
			Name: "guess", Kind: marking.Number, Question: g.Ask, Symbol: g.Symbol,
			Unit: g.Unit, Tolerance: marking.DefaultTolerance,
		},
		Key:     &marking.Key{Value: t.Value, Dim: t.Dim, Angle: g.isAngle(t), Factor: g.factor()},
		Numbers: nothingGiven{w},
	}
	var v marking.Verdict
	var err error
	if reading != "" {
		v, err = m.MarkText(ctx, reading, typed)
	} else {
		v, err = m.Mark(ctx, typed)
	}
	switch {
	case err != nil:
		return Made{}, nil, err
	case !v.Kind.IsTry():
		return Made{}, &Doubt{g.doubt(typed, &v), v.Choices}, nil
	}
	got, list := w.Eval(ctx, source.NewText("", v.Text))
	if list.HasErrors() || got.Value.IsBracket || got.Value.IsTruth {
		return Made{}, &Doubt{Message: "Give one number with its unit."}, ctx.Err()
	}
	return Made{Text: v.Text, Value: got.Value.Number}, nil, ctx.Err()
}

// doubt words why a number is not taken. The words of marking speak of tries and of given
// names, which a guess does not have.
func (g *Guess) doubt(typed string, v *marking.Verdict) string {
	first, _, _ := strings.Cut(v.Message, ". ")
	first = strings.TrimSuffix(first, ".") + "."
	want := "Write a number."
	if g.Unit != nil {
		want = "Write a number with its unit, in " + g.Unit.Text + " or another one of its kind."
	}
	switch {
	case typed == "":
		return want
	case v.Kind == marking.UnitMissing && len(v.Choices) > 0:
		return "“" + typed + "” has no unit. Which do you mean?"
	case v.Kind == marking.UnitMissing:
		return "“" + typed + "” has no unit. " + want
	case len(v.Choices) > 0:
		return "“" + typed + "” can be read in more than one way. Which do you mean?"
	case v.Kind == marking.WrongDimension:
		return first
	}
	return "There is no value in this. " + want
}

// isAngle reports whether the guess is of an angle, which has a unit although its
// dimension is that of a pure number.
func (g *Guess) isAngle(t Truth) bool {
	return g.Unit != nil && t.Dim.IsNumber() && g.Unit.Text != "%"
}

func (g *Guess) factor() float64 {
	if g.Unit == nil {
		return 1
	}
	return g.Unit.Factor
}

// nothingGiven is the numbers of a question in which no name is given: a guess is a
// value and not a formula of the lesson.
type nothingGiven struct{ w *kernel.Working }

func (nothingGiven) Givens() []*marking.Given { return nil }

func (nothingGiven) GivenValue(int) (kernel.Value, string, bool) { return kernel.Value{}, "", false }

func (n nothingGiven) Eval(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List) {
	return n.w.EvalExpr(ctx, x)
}

func (n nothingGiven) Value(ctx context.Context, x notation.Expr) (kernel.Evaluated, source.List) {
	return n.w.EvalExpr(ctx, x)
}

func (nothingGiven) Pieces(notation.Expr) []notation.Expr { return nil }

func (nothingGiven) Possible(context.Context) bool { return true }

func (nothingGiven) WithValues(_ context.Context, _ map[int]float64, f func() error) error {
	return f()
}

func (nothingGiven) WithEnclosures(_ context.Context, _ map[int]float64, f func() error) error {
	return f()
}

// readOrder reads letters in order; each item must be there once.
func (g *Guess) readOrder(typed string) (Made, *Doubt, error) {
	letters := strings.Fields(typed)
	for i := range g.Items {
		if !slices.Contains(letters, Letter(i)) {
			return Made{}, &Doubt{Message: "Give each of them a place of its own, from 1 to " + strconv.Itoa(len(g.Items)) + "."}, nil
		}
	}
	if len(letters) != len(g.Items) {
		return Made{}, &Doubt{Message: "Give each of them one place."}, nil
	}
	return Made{Text: strings.Join(letters, " ")}, nil, nil
}

// OrderOf returns the items of a kept guess by number, in its order; nil for a text that
// is not one of this guess as it is written today.
func (g *Guess) OrderOf(text string) []int {
	made, doubt, _ := g.readOrder(text)
	if doubt != nil {
		return nil
	}
	var order []int
	for _, letter := range strings.Fields(made.Text) {
		order = append(order, int(letter[0]-'a'))
	}
	return order
}

// InUnit writes a value of this guess in SI base units in the unit of the truth.
func (g *Guess) InUnit(t Truth, si float64) string {
	u := unit.Choose(si, t.Dim, nil, unit.NoHint)
	if g.Unit != nil {
		u = *g.Unit
	}
	return unit.Format(si, u, unit.Rounding{Figures: 4})
}
