package exercises

import (
	"context"
	"math"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A Reading is an answer as it is understood, before it is marked: what a
// learner checks before handing it in.
type Reading struct {
	OK      bool
	Message string        // why it cannot be read, if it is not OK
	Formula notation.Expr // what was typed; nil for a pick
	Value   string        // of a number, "0.971 deg"; the sentence of a pick
	Kind    string        // what it is: "an angle"
}

// Read says how an answer to a part is understood, and nothing about whether
// it is right. The error is for a part that does not exist, and ctx.
func (v *Variant) Read(ctx context.Context, part, answer string) (Reading, error) {
	a, err := v.Ask(part)
	if err != nil {
		return Reading{}, err
	}
	answer = strings.TrimSpace(answer)
	switch {
	case answer == "":
		return Reading{Message: "Nothing is written here yet."}, nil
	case len([]rune(answer)) > MaxAnswer:
		return Reading{Message: "This is too long. Give the result in one line."}, nil
	case a.Kind == Pick:
		for _, o := range a.Options {
			if strings.EqualFold(o.Name, answer) || strings.EqualFold(o.Text, answer) {
				return Reading{OK: true, Value: o.Text}, nil
			}
		}
		return Reading{Message: "This is none of the sentences to pick."}, nil
	}
	x, refused := v.read(answer)
	if refused != nil {
		return Reading{Message: refused.Message}, nil
	}
	if a.Kind == Formula {
		return Reading{OK: true, Formula: x}, nil
	}
	got, refused := v.evaluate(ctx, x)
	if refused != nil {
		return Reading{Message: refused.Message, Formula: x}, ctx.Err()
	}
	kind := "a pure number"
	if !got.Value.Dim.IsNumber() {
		kind = unit.Describe(got.Value.Dim)
	} else if hasAngleUnit(x) {
		kind = describe(got.Value.Dim, true)
	}
	return Reading{OK: true, Formula: x, Value: got.Text, Kind: kind}, ctx.Err()
}

// A Solution is the right answer to a part with this learner's numbers. It is
// for showing after the last try only.
type Solution struct {
	Formula notation.Expr // of a formula part, else nil
	Value   string        // of a number, or the sentence of a pick
	Why     string        // the reason that the author gives, or empty
}

// Solution returns the right answer to a part.
func (v *Variant) Solution(part string) (Solution, error) {
	i, err := v.askIndex(part)
	if err != nil {
		return Solution{}, err
	}
	a := v.Structure.Asks[i]
	switch a.Kind {
	case Formula:
		return Solution{Formula: a.answer, Why: a.why}, nil
	case Pick:
		for _, o := range a.Options {
			if o.right {
				return Solution{Value: o.Text, Why: o.says}, nil
			}
		}
	}
	k := v.keys[i]
	return Solution{Value: k.shown(a, k.value), Why: a.why}, nil
}

// Varies reports whether another learner, or another series, can have other
// numbers.
func (e *Exercise) Varies() bool {
	if len(e.Structures) > 1 {
		return true
	}
	for _, g := range e.Structures[0].Given {
		if len(g.values) > 1 {
			return true
		}
	}
	return false
}

// GivesAway returns the parts whose answer the result of a prediction would
// show: until they are done, the result must be held back.
func (v *Variant) GivesAway(ctx context.Context, prediction string) ([]string, error) {
	var parts []string
	for _, q := range v.Structure.Predicts {
		if q.Name != prediction {
			continue
		}
		for _, x := range []notation.Expr{q.result, q.before} {
			if x == nil {
				continue
			}
			shown, list := v.desk.value(ctx, x)
			if list.HasErrors() {
				return nil, list.Err()
			}
			for i, a := range v.Structure.Asks {
				k := v.keys[i]
				if k != nil && a.Kind == Number && k.dim == shown.Value.Dim &&
					math.Abs(math.Abs(k.value)-math.Abs(shown.Value.Number)) <= a.Tolerance.Widest(k.value) {
					parts = append(parts, a.Name)
				}
			}
		}
	}
	return parts, ctx.Err()
}
