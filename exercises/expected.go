package exercises

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"shaftbook/exercises/marking"
	"shaftbook/kernel"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/typeset"
	"shaftbook/kernel/unit"
)

// An Expected holds everything that marking compares an answer to one part with,
// with one learner's numbers and ready to be read: for the person who marks by hand.
// It is never for the learner.
type Expected struct {
	Value  string // the right value, or the right sentence of a pick
	From   string // the least and the greatest value that is marked right; both
	To     string // are empty for a formula and a pick
	Within string // the tolerance as the author wrote it: "1 %"
	Steps  []Step // the working; the last step gives the value. None for a pick

	// Shaft are the lines of the shaft that the working takes values from, or
	// none if it takes none.
	Shaft []string

	Route *Step  // a second way to the value, or nil
	Low   *Bound // nil without bounds
	High  *Bound
	Slips []Wrong // what each wrong turn evaluates to; for a pick, the reason against each wrong option
	Why   string  // the reason that is said after a right answer, or empty
}

// A Step is one line of a hand calculation: symbol = formula = numbers = result.
type Step struct {
	Symbol  string        // "stiff", "J(x)"; empty for the answer itself
	Formula notation.Expr // what is worked out
	Numbers notation.Node // the formula with values in place of names; nil where no name has one
	Result  string        // with its unit; empty for a function
}

// A Bound is a value that an answer certainly lies above or below.
type Bound struct {
	Formula notation.Expr
	Value   string
	Is      string // what it is, in the author's words, or empty
}

// A Wrong is a wrong turn with what it leads to.
type Wrong struct {
	Name    string
	Words   string        // the name in words
	Formula notation.Expr // where the author gives one, else nil
	Values  []string      // none for a pick
	Says    string
}

// Expected returns what is expected of a part. The error is for a part that
// does not exist, a working that has no value with these numbers, and ctx.
func (v *Variant) Expected(ctx context.Context, part string) (Expected, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return Expected{}, err
	}
	a := v.Structure.Parts[i]
	switch a.Kind {
	case marking.Pick:
		return expectedPick(a), nil
	case marking.Line:
		return Expected{Value: a.Line, Why: a.Why}, nil
	}
	k := v.markers[i].Key
	e := Expected{Value: k.Shown(&a.Scheme, k.Value), Why: a.Why}
	e.setSteps(v, a.Answer)
	e.finish(v, a)
	if a.Kind == marking.Number {
		e.setTolerance(a, k)
	}
	if e.Route, err = v.route(ctx, a, k); err != nil {
		return Expected{}, err
	}
	if k.Bounded {
		e.Low = &Bound{a.Low, k.Shown(&a.Scheme, k.Low), a.LowIs}
		e.High = &Bound{a.High, k.Shown(&a.Scheme, k.High), a.HighIs}
	}
	e.Slips, err = v.wrongs(ctx, i)
	return e, err
}

func expectedPick(a *Part) Expected {
	var e Expected
	for _, o := range a.Options {
		if o.Right {
			e.Value, e.Why = o.Text, o.Reason
			continue
		}
		e.Slips = append(e.Slips, Wrong{Name: o.Text, Words: o.Text, Says: o.Reason})
	}
	return e
}

func (e *Expected) setTolerance(a *Part, k *marking.Key) {
	u, t := k.Unit(&a.Scheme), a.Tolerance
	width := t.Width(k.Value, u.Factor)
	edge := func(value float64) string {
		return unit.Format(value, u, unit.Rounding{Figures: max(5, t.Figures+1)})
	}
	e.From, e.To = edge(k.Value-width), edge(k.Value+width)
	switch {
	case t.Absolute > 0:
		e.Within = unit.Format(t.Absolute, u, unit.Rounding{})
	case t.Figures > 0:
		e.Within = fmt.Sprintf("%d figures", t.Figures)
	default:
		e.Within = unit.FormatNumber(100*t.Relative, unit.Rounding{}) + " %"
	}
}

// setSteps lists the statements that learners do not see and a formula needs, in
// the order of the block, and the lines of the shaft if it needs that.
func (e *Expected) setSteps(v *Variant, x notation.Expr) {
	needed := map[string]bool{}
	need := func(names []*notation.Name) {
		for _, n := range names {
			needed[n.Ident] = true
		}
	}
	need(notation.FreeNames(x))
	if needed[marking.ShaftName] {
		for _, r := range v.eval.results(shaftCell) {
			need(notation.Uses(r.Node))
			for _, line := range r.Node.(*notation.ShaftCell).Lines {
				e.Shaft = append(e.Shaft, notation.Print(line))
			}
		}
	}
	results := v.eval.results(workCell)
	// What a statement needs may be above it or below it.
	for before := -1; before != len(needed); {
		before = len(needed)
		for _, r := range results {
			if needed[r.Name] {
				need(notation.Uses(r.Node))
			}
		}
	}
	for _, r := range results {
		if !needed[r.Name] {
			continue
		}
		switch n := r.Node.(type) {
		case *notation.Define:
			step := v.step(r.Name, n.Expr)
			step.Result = r.Text
			e.Steps = append(e.Steps, step)
		case *notation.DefineFunc:
			head, _, _ := strings.Cut(notation.Print(n), " = ")
			e.Steps = append(e.Steps, Step{Symbol: head, Formula: n.Body})
		}
	}
}

// finish puts the answer below the steps, unless it is a name whose own step gives
// it already.
func (e *Expected) finish(v *Variant, a *Part) {
	if n, ok := notation.Unparen(a.Answer).(*notation.Name); ok {
		i := slices.IndexFunc(e.Steps, func(s Step) bool { return s.Symbol == n.Ident })
		if i >= 0 {
			named := e.Steps[i]
			named.Result = e.Value
			e.Steps = append(slices.Delete(e.Steps, i, i+1), named)
			return
		}
	}
	last := v.step("", a.Answer)
	last.Result = e.Value
	e.Steps = append(e.Steps, last)
}

// step puts numbers into a formula.
func (v *Variant) step(symbol string, x notation.Expr) Step {
	s := Step{Symbol: symbol, Formula: x}
	if with, changed := typeset.WithNumbers(x, v.shownValue); changed {
		s.Numbers = with
	}
	return s
}

// shownValue returns a given or hidden name as it is displayed.
func (v *Variant) shownValue(ident string) (string, bool) {
	i := slices.IndexFunc(v.Structure.Given, func(g *Given) bool { return g.Name == ident })
	if i >= 0 && !v.Structure.Given[i].IsFunc {
		return v.Given[i].Text, true
	}
	results := v.eval.results(workCell)
	i = slices.IndexFunc(results, func(r kernel.Result) bool { return r.Name == ident && r.Text != "" })
	if i < 0 {
		return "", false
	}
	return results[i].Text, true
}

func (v *Variant) route(ctx context.Context, a *Part, k *marking.Key) (*Step, error) {
	if a.route == nil {
		return nil, ctx.Err()
	}
	x, list := v.eval.Value(ctx, a.route)
	if list.HasErrors() {
		return nil, list.Err()
	}
	step := v.step("", a.route)
	step.Result = k.Shown(&a.Scheme, x.Value.Number)
	return &step, ctx.Err()
}

// wrongs returns what each slip evaluates to. A slip of a formula may have no value
// with one set of numbers; it then has no value.
func (v *Variant) wrongs(ctx context.Context, i int) ([]Wrong, error) {
	a, k := v.Structure.Parts[i], v.markers[i].Key
	var list []Wrong
	for _, s := range a.Slips {
		w := Wrong{Name: s.Name, Words: a.SlipWords(s.Name), Formula: s.Formula, Says: s.Says}
		values, err := v.markers[i].SlipValues(ctx, s)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil {
			for _, value := range values {
				w.Values = append(w.Values, k.Shown(&a.Scheme, value))
			}
		}
		list = append(list, w)
	}
	return list, nil
}
