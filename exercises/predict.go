package exercises

import (
	"context"
	"fmt"
	"math"
	"strings"

	"go.yaml.in/yaml/v3"

	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A PredictionKind is the form of a prediction.
type PredictionKind int

// The kinds of guesses.
const (
	Change  PredictionKind = iota // more, less or same
	Bracket                       // a lower and an upper value
)

// A Prediction is a question that is answered before the result is shown. It
// carries no marks.
type Prediction struct {
	Name, Text string
	Kind       PredictionKind

	at     source.Span
	result notation.Expr // what is shown afterwards
	before notation.Expr // of a Change: what it is compared with
}

// A JudgedPrediction is a committed guess beside the result.
type JudgedPrediction struct {
	Held    bool   `json:"held"`
	Guess   string `json:"guess"`   // as understood
	Result  string `json:"result"`  // what is shown beside it
	Message string `json:"message"` // how the guess did

	// Low and High are the ends of a guessed bracket in SI base units; both are
	// 0 for a change.
	Low  float64 `json:"-"`
	High float64 `json:"-"`
}

// unchanged is the largest relative change that counts as the same.
const unchanged = 0.005

func (r *reader) predictions(n *yaml.Node) []*Prediction {
	var list []*Prediction
	for i, item := range r.Items(n) {
		p := &Prediction{Name: numbered("guess", i), at: r.Span(item), Kind: Bracket}
		found := r.Fields(item, "a prediction", map[string]func(*yaml.Node){
			"name":   r.name(&p.Name, "a prediction"),
			"text":   r.Words(&p.Text, "text"),
			"result": r.into(&p.result, "result"),
			"before": func(n *yaml.Node) { p.Kind, p.before = Change, r.expr(n, "before") },
		})
		if found["text"] == nil || found["result"] == nil {
			r.List.Addf(p.at, CodeKey, "a prediction has a text and a result").
				Repair = "write text: the question, result: the expression that is shown afterwards and, for more, less or same, before: what it is compared with"
		}
		list = append(list, p)
	}
	return list
}

// Prediction sets a committed guess beside the result. ok is false if the guess
// cannot be read; Message is then the reason, and the result is not shown.
func (v *Variant) Predict(ctx context.Context, name, guess string) (p JudgedPrediction, ok bool, err error) {
	for _, q := range v.Structure.Predictions {
		if q.Name == name {
			return v.judgePrediction(ctx, q, strings.TrimSpace(guess))
		}
	}
	return p, false, fmt.Errorf("the exercise %s has no prediction %q", v.Exercise.ID, name)
}

func (v *Variant) judgePrediction(ctx context.Context, q *Prediction, guess string) (JudgedPrediction, bool, error) {
	result, list := v.eval.Value(ctx, q.result)
	if list.HasErrors() {
		return JudgedPrediction{}, false, list.Err()
	}
	if q.Kind == Change {
		before, list := v.eval.Value(ctx, q.before)
		if list.HasErrors() {
			return JudgedPrediction{}, false, list.Err()
		}
		p, ok := judgeChange(guess, before.Value.Number, result.Value.Number)
		if ok {
			p.Result = fmt.Sprintf("%s before, %s after", before.Text, result.Text)
		}
		return p, ok, nil
	}
	p := JudgedPrediction{Guess: guess}
	x, refused := marking.ReadBracket(v.eval, result.Value.Dim, guess)
	if refused != nil {
		p.Message = refused.Message
		return p, false, nil
	}
	got, list := v.eval.Eval(ctx, x)
	switch {
	case list.HasErrors():
		p.Message = marking.Refuse(list, "Has no value").Message
	case !got.Value.IsBracket:
		p.Message = "A prediction is a bracket: a value you are sure is too small and one you are sure is too large, each with its unit."
	case got.Value.Dim != result.Value.Dim:
		p.Message = fmt.Sprintf("This is %s, but the prediction must be %s.", unit.Describe(got.Value.Dim), unit.Describe(result.Value.Dim))
	default:
		p.Guess, p.Result = got.Text, inUnitOf(x, result)
		p.Low, p.High = got.Value.Low, got.Value.High
		p.Held, p.Message = judgeBracket(got.Value.Low, got.Value.High, result.Value.Number)
		return p, true, nil
	}
	return p, false, nil
}

// inUnitOf writes the result in the unit in which the guess was made, so that
// the two can be compared.
func inUnitOf(guess notation.Expr, result kernel.Evaluated) string {
	text := result.Text
	notation.Inspect(guess, func(n notation.Node) bool {
		if q, ok := n.(*notation.Quantity); ok && q.Unit.Unit.Dim == result.Value.Dim {
			text = unit.Format(result.Value.Number, q.Unit.Unit, unit.Rounding{Figures: 4})
			return false
		}
		return true
	})
	return text
}

func judgeChange(guess string, before, after float64) (JudgedPrediction, bool) {
	p := JudgedPrediction{Guess: strings.ToLower(guess)}
	was := "same"
	switch change := math.Abs(after) - math.Abs(before); {
	case math.Abs(change) <= unchanged*math.Abs(before):
	case change > 0:
		was = "more"
	default:
		was = "less"
	}
	switch p.Guess {
	case "more", "less", "same":
	default:
		p.Message = "Choose more, less or the same."
		return p, false
	}
	p.Held = p.Guess == was
	p.Message = "As you predicted: " + was + "."
	if !p.Held {
		p.Message = "You predicted " + p.Guess + ", but it is " + was + ". Which part of the formula did you not expect to matter so much?"
	}
	return p, true
}

// judgeBracket returns how a bracket did: whether it holds, and whether it is
// narrow enough to be of use.
func judgeBracket(low, high, result float64) (held bool, message string) {
	switch {
	case result < low:
		return false, "The result lies below your bracket. What made the lower value seem certain?"
	case result > high:
		return false, "The result lies above your bracket. What made the upper value seem certain?"
	case low > 0 && high <= 2*low:
		return true, "Your bracket holds the result, and it is narrow."
	}
	return true, "Your bracket holds the result. Could you have made it narrower and still been sure?"
}

// PredictionResult returns the result that is shown beside a prediction, in SI base
// units. The error is for a prediction that does not exist, a result that has no
// value, and ctx.
func (v *Variant) PredictionResult(ctx context.Context, prediction string) (float64, error) {
	for _, q := range v.Structure.Predictions {
		if q.Name != prediction {
			continue
		}
		result, list := v.eval.Value(ctx, q.result)
		if list.HasErrors() {
			return 0, list.Err()
		}
		return result.Value.Number, ctx.Err()
	}
	return 0, fmt.Errorf("the exercise %s has no prediction %q", v.Exercise.ID, prediction)
}

// GivesAway returns the parts whose answer the result of a prediction would
// show: until they are done, the result must be held back.
func (v *Variant) GivesAway(ctx context.Context, prediction string) ([]string, error) {
	var parts []string
	for _, q := range v.Structure.Predictions {
		if q.Name != prediction {
			continue
		}
		for _, x := range []notation.Expr{q.result, q.before} {
			if x == nil {
				continue
			}
			shown, list := v.eval.Value(ctx, x)
			if list.HasErrors() {
				return nil, list.Err()
			}
			for i, a := range v.Structure.Parts {
				k := v.markers[i].Key
				if k != nil && a.Kind == marking.Number && k.Dim == shown.Value.Dim &&
					math.Abs(math.Abs(k.Value)-math.Abs(shown.Value.Number)) <= a.Tolerance.Widest(k.Value) {
					parts = append(parts, a.Name)
				}
			}
		}
	}
	return parts, ctx.Err()
}
