package exercises

import (
	"context"
	"fmt"
	"math"
	"slices"

	"shaftbook/kernel"
	"shaftbook/kernel/check"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// A Variant is one learner's copy of an exercise, with numbers. It is not safe
// for concurrent use.
type Variant struct {
	Exercise  *Exercise
	Structure *Structure
	Learner   string
	Series    int // attempt series: 0 for the first, further ones for practice
	Given     []Value

	desk    *evaluator
	dims    []unit.Dimension // of the given names
	keys    []*answerKey     // by part; nil for picks
	formula []*formulaKey    // by part, made when first needed
}

// A Value is a given name with its value, as learners see it.
type Value struct {
	Name string   `json:"name"`
	Text string   `json:"text"` // "36 mm"; the right side for a function
	SI   *float64 `json:"si"`   // in SI base units; nil for a function
}

// An answerKey is what an answer to a number part is held against.
type answerKey struct {
	value     float64
	dim       unit.Dimension
	angle     bool
	factor    float64 // of the unit in which the author thinks of the answer
	low, high float64
	bounded   bool
	slips     []slipValues
}

type slipValues struct {
	slip   *Slip
	values []float64
}

// mostDraws bounds how often a set of numbers that does not do is drawn again.
const mostDraws = 400

// Variant returns the copy of one learner. The same key, learner and series
// give the same copy on every machine. Numbers that fail a condition, that are
// degenerate, or whose slips cannot be told apart are passed over.
func (e *Exercise) Variant(ctx context.Context, key []byte, learner string, series int) (*Variant, error) {
	d := newDrawer(key, e.ID, learner, series)
	var last source.List
	for range mostDraws {
		structure, values := d.choice(e)
		v, list, err := e.lay(ctx, structure, values)
		if err != nil {
			return nil, err
		}
		if v != nil && len(list) == 0 {
			v.Learner, v.Series = learner, series
			return v, nil
		}
		last = list
	}
	if len(last) > 0 {
		return nil, fmt.Errorf("no numbers can be drawn for the exercise %s: %w", e.ID, last)
	}
	return nil, fmt.Errorf("no numbers can be drawn for the exercise %s: its conditions never hold", e.ID)
}

// lay makes the variant of one choice of numbers. It is nil if a condition does
// not hold. The list says why the numbers do not do; err is ctx's.
func (e *Exercise) lay(ctx context.Context, structure int, values []int) (*Variant, source.List, error) {
	s := e.Structures[structure]
	v := &Variant{Exercise: e, Structure: s, desk: newDesk(e, s, values)}
	list, err := v.desk.evaluate(ctx)
	if err != nil || list.HasErrors() {
		return v, list, err
	}
	for _, x := range s.where {
		holds, problems := v.desk.truth(ctx, x)
		if problems.HasErrors() {
			return v, problems, ctx.Err()
		}
		if !holds {
			return nil, nil, nil
		}
	}
	for i, g := range s.Given {
		text := g.values[values[i]]
		var si *float64
		dim := unit.Dimension{}
		if value, shown, ok := v.desk.given(i); ok {
			dim, si = value.Dim, &value.Number
			if g.Derived {
				text = shown
			}
		}
		v.Given = append(v.Given, Value{Name: g.head, Text: text, SI: si})
		v.dims = append(v.dims, dim)
	}
	list = v.makeKeys(ctx)
	return v, list, ctx.Err()
}

// makeKeys works out every number part, with its bounds and slips.
func (v *Variant) makeKeys(ctx context.Context) source.List {
	var list source.List
	v.keys = make([]*answerKey, len(v.Structure.Asks))
	v.formula = make([]*formulaKey, len(v.Structure.Asks))
	for i, a := range v.Structure.Asks {
		if a.Kind == Pick {
			continue
		}
		k, problems := v.key(ctx, a)
		list = append(list, problems...)
		v.keys[i] = k
	}
	return list
}

func (v *Variant) key(ctx context.Context, a *Part) (*answerKey, source.List) {
	at := v.Exercise.spanOf(a.answer)
	x, list := v.desk.value(ctx, a.answer)
	if list.HasErrors() {
		return nil, list
	}
	k := &answerKey{value: x.Value.Number, dim: x.Value.Dim, angle: x.Type.Angle == check.IsAngle, factor: 1}
	if math.IsNaN(k.value) || math.IsInf(k.value, 0) || k.value == 0 {
		list.Addf(at, CodeDraw, "the answer is %s with these numbers: %s", degenerate(k.value), v.numbers()).
			Repair = "add a condition under where that keeps such numbers out"
		return nil, list
	}
	list = append(list, v.setUnit(k, a)...)
	list = append(list, v.setBounds(ctx, k, a)...)
	if a.Kind == Number {
		list = append(list, v.setSlips(ctx, k, a)...)
	}
	return k, list
}

func degenerate(x float64) string {
	if x == 0 {
		return "0"
	}
	return "no finite number"
}

func (v *Variant) setUnit(k *answerKey, a *Part) source.List {
	var list source.List
	if a.unit != nil {
		k.factor = a.unit.Factor
		k.angle = k.angle || a.unit.Text == "deg" || a.unit.Text == "rad" || a.unit.Text == "°"
		if a.unit.Dim != k.dim {
			list.Addf(v.Exercise.spanOf(a.answer), CodeValue, "the answer is %s and its unit that of %s", unit.Describe(k.dim), unit.Describe(a.unit.Dim)).
				Repair = "mend the answer or the unit"
		}
	}
	if a.Tolerance.Absolute > 0 && a.Tolerance.dim != k.dim {
		list.Addf(a.at, CodeValue, "the answer is %s and its tolerance %s", unit.Describe(k.dim), unit.Describe(a.Tolerance.dim)).
			Repair = "write the tolerance in a unit of the answer, or as a share: 1 %"
	}
	return list
}

func (v *Variant) setBounds(ctx context.Context, k *answerKey, a *Part) source.List {
	if a.low == nil || a.high == nil {
		return nil
	}
	low, list := v.desk.value(ctx, a.low)
	high, more := v.desk.value(ctx, a.high)
	if list = append(list, more...); list.HasErrors() {
		return list
	}
	if low.Value.Dim != k.dim || high.Value.Dim != k.dim {
		list.Addf(v.Exercise.spanOf(a.low), CodeBounds, "the bounds are not %s, as the answer is", unit.Describe(k.dim)).Repair = "mend the bounds"
		return list
	}
	k.low, k.high, k.bounded = low.Value.Number, high.Value.Number, true
	return nil
}

// setSlips works out what each slip comes to, and says which cannot be told
// from the answer or from another slip with these numbers.
func (v *Variant) setSlips(ctx context.Context, k *answerKey, a *Part) source.List {
	var list source.List
	for _, s := range a.slips {
		c := slipCase{ctx: ctx, d: v.desk, ask: a, slip: s, right: k.value, dim: k.dim}
		values, err := c.values()
		if err != nil {
			list.Addf(s.at, CodeSlip, "the slip %s cannot be worked out: %s", s.Name, err).
				Repair = "give its wrong formula as {name: " + s.Name + ", formula: …}, or leave it out"
			continue
		}
		k.slips = append(k.slips, slipValues{s, values})
	}
	if list.HasErrors() {
		return list
	}
	return v.apart(k, a)
}

// apart reports slips that lie within twice the tolerance of the answer, or of
// a slip with which they do not share their value.
func (v *Variant) apart(k *answerKey, a *Part) source.List {
	var list source.List
	for i, s := range k.slips {
		for _, value := range s.values {
			if math.Abs(value-k.value) <= 2*a.Tolerance.Widest(k.value) {
				list.Addf(s.slip.at, CodeSlip, "the slip %s cannot be told from the right answer: %s", s.slip.Name, v.numbers()).
					Repair = "choose other numbers, a tighter tolerance, or leave the slip out"
			}
		}
		for _, t := range k.slips[:i] {
			if !s.slip.sharesWith(t.slip) && meet(s.values, t.values, a.Tolerance) {
				list.Addf(s.slip.at, CodeSlip, "the slips %s and %s come to the same value: %s", s.slip.Name, t.slip.Name, v.numbers()).
					Repair = "choose other numbers, or let one say shares: [" + t.slip.Name + "], and the learner is asked which it was"
			}
		}
	}
	return list
}

func (s *Slip) sharesWith(t *Slip) bool {
	return slices.Contains(s.shares, t.Name) || slices.Contains(t.shares, s.Name)
}

func meet(a, b []float64, t Tolerance) bool {
	for _, x := range a {
		for _, y := range b {
			if math.Abs(x-y) <= 2*max(t.Widest(x), t.Widest(y)) {
				return true
			}
		}
	}
	return false
}

// numbers lists the given values on one line, for messages to authors.
func (v *Variant) numbers() string {
	text := ""
	for i, g := range v.Given {
		if i > 0 {
			text += ", "
		}
		text += g.Name + " = " + g.Text
	}
	if v.Structure.Name != "" {
		text = v.Structure.Name + ", " + text
	}
	return text
}

// Part returns the part of a name; the name may be left out where there is one
// part only.
func (v *Variant) Ask(name string) (*Part, error) {
	i, err := v.askIndex(name)
	if err != nil {
		return nil, err
	}
	return v.Structure.Asks[i], nil
}

func (v *Variant) askIndex(name string) (int, error) {
	if name == "" && len(v.Structure.Asks) == 1 {
		return 0, nil
	}
	names := ""
	for i, a := range v.Structure.Asks {
		if a.Name == name {
			return i, nil
		}
		names += " " + a.Name
	}
	return 0, fmt.Errorf("the exercise %s has no part %q; its parts are%s", v.Exercise.ID, name, names)
}

// Figures returns the drawings and curves of the exercise with this learner's
// numbers.
func (v *Variant) Figures(ctx context.Context) ([]kernel.Result, error) {
	results, list, err := v.desk.figures(ctx)
	if err == nil {
		err = list.Err()
	}
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(results, func(r kernel.Result) bool { return r.Figure == nil }), nil
}
