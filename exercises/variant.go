package exercises

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"shaftbook/exercises/marking"
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

	eval    *evaluator
	dims    []unit.Dimension  // of the given names
	markers []*marking.Marker // by part
	values  []int             // which value of each given
	way     int               // which structure
	said    []kernel.Value    // values that the words show
	reuse   *reuse            // workings it shares with those made before it, or nil

	worked map[string]Worked       // by part, once it was asked for
	turns  map[turnKey][]WrongTurn // likewise
}

// A Value is a given name with its value, as learners see it.
type Value struct {
	Name string   `json:"name"`
	Text string   `json:"text"` // "36 mm"; the right side for a function
	SI   *float64 `json:"si"`   // in SI base units; nil for a function
}

// mostDraws bounds how often a set of numbers that does not do is drawn again.
const mostDraws = 400

// ErrOneSet is the error of practice with an exercise that has no other numbers.
var ErrOneSet = errors.New("this exercise has only one set of numbers")

// Variant returns the copy of one learner. The same key, learner and series
// give the same copy on every machine. Numbers that fail a condition, that are
// degenerate, or whose slips cannot be told apart are passed over.
func (e *Exercise) Variant(ctx context.Context, key []byte, learner string, series int) (*Variant, error) {
	return e.variantBut(ctx, key, learner, series, nil)
}

// VariantBut is Variant, with other numbers than those of each of others. The error is
// ErrOneSet if none were found.
func (e *Exercise) VariantBut(ctx context.Context, key []byte, learner string, series int, others ...*Variant) (*Variant, error) {
	if !e.Varies() {
		return nil, ErrOneSet
	}
	return e.variantBut(ctx, key, learner, series, others)
}

func (e *Exercise) variantBut(ctx context.Context, key []byte, learner string, series int, others []*Variant) (*Variant, error) {
	d := newDrawer(key, e.ID, learner, series)
	var last source.List
	passed := false
	for range mostDraws {
		structure, values := d.choice(e)
		if slices.ContainsFunc(others, func(o *Variant) bool { return o.isOf(structure, values) }) {
			passed = true
			continue
		}
		v, list, err := e.lay(ctx, nil, structure, values)
		if err != nil {
			return nil, err
		}
		if v != nil && len(list) == 0 {
			v.Learner, v.Series = learner, series
			return v, nil
		}
		last = list
	}
	if passed {
		return nil, ErrOneSet
	}
	if len(last) > 0 {
		return nil, fmt.Errorf("no numbers can be drawn for the exercise %s: %w", e.ID, last)
	}
	return nil, fmt.Errorf("no numbers can be drawn for the exercise %s: its conditions never hold", e.ID)
}

// isOf reports whether a variant has the numbers of a choice. Values that are listed
// twice in a list to draw from are refused by Parse, so that different choices are
// different numbers.
func (v *Variant) isOf(structure int, values []int) bool {
	return v.way == structure && slices.Equal(v.values, values)
}

// lay makes the variant of one choice of numbers. It is nil if a condition does
// not hold. The list has why the numbers cannot be used; err is ctx's.
func (e *Exercise) lay(ctx context.Context, r *reuse, structure int, values []int) (*Variant, source.List, error) {
	s := e.Structures[structure]
	v := &Variant{Exercise: e, Structure: s, eval: r.evaluator(e, structure, values), way: structure, values: slices.Clone(values), reuse: r}
	list, err := v.eval.evaluate(ctx)
	if err != nil || list.HasErrors() {
		return v, list, err
	}
	for _, x := range s.where {
		holds, problems := v.eval.Truth(ctx, x)
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
		if value, shown, ok := v.eval.GivenValue(i); ok {
			dim, si = value.Dim, &value.Number
			if g.Derived {
				text = shown
			}
		}
		v.Given = append(v.Given, Value{Name: g.Head, Text: text, SI: si})
		v.dims = append(v.dims, dim)
	}
	if list, err = v.putWords(ctx); err != nil || list.HasErrors() {
		return v, list, err
	}
	list = v.makeKeys(ctx)
	return v, list, ctx.Err()
}

// makeKeys works out every number part, with its bounds and slips.
func (v *Variant) makeKeys(ctx context.Context) source.List {
	var list source.List
	for i, a := range v.Structure.Parts {
		m := &marking.Marker{Scheme: &a.Scheme, Numbers: v.eval, Random: func() func() uint64 {
			return newDrawer(HeadlessKey, v.Exercise.ID, "points", i).next
		}}
		v.markers = append(v.markers, m)
		if a.Kind == marking.Line {
			m.Lines = func(ctx context.Context, answer string) marking.Verdict { return v.Structure.markLine(ctx, a, answer) }
			continue
		}
		if a.Kind == marking.Pick {
			continue
		}
		problems := v.setKey(ctx, m, a)
		list = append(list, problems...)
	}
	return list
}

// setKey works out what answers to a part are compared with. The marker gets no
// key if the answer has no value.
func (v *Variant) setKey(ctx context.Context, m *marking.Marker, a *Part) source.List {
	at := v.Exercise.spanOf(a.Answer)
	x, list := v.eval.Value(ctx, a.Answer)
	if list.HasErrors() {
		return list
	}
	k := &marking.Key{Value: x.Value.Number, Dim: x.Value.Dim, Angle: x.Type.Angle == check.IsAngle, Factor: 1}
	if math.IsNaN(k.Value) || math.IsInf(k.Value, 0) || k.Value == 0 {
		list.Addf(at, CodeDraw, "the answer is %s with these numbers: %s", degenerate(k.Value), v.numbers()).
			Repair = "add a condition under where that keeps such numbers out"
		return list
	}
	m.Key = k
	list = append(list, v.setUnit(k, a)...)
	list = append(list, v.setBounds(ctx, k, a)...)
	if a.Kind == marking.Number {
		list = append(list, v.setSlips(ctx, m, a)...)
	}
	return list
}

func degenerate(x float64) string {
	if x == 0 {
		return "0"
	}
	return "no finite number"
}

func (v *Variant) setUnit(k *marking.Key, a *Part) source.List {
	var list source.List
	if a.Unit != nil {
		k.Factor = a.Unit.Factor
		k.Angle = k.Angle || a.Unit.Text == "deg" || a.Unit.Text == "rad" || a.Unit.Text == "°"
		if a.Unit.Dim != k.Dim {
			list.Addf(v.Exercise.spanOf(a.Answer), CodeValue, "the answer is %s and its unit that of %s", unit.Describe(k.Dim), unit.Describe(a.Unit.Dim)).
				Repair = "correct the answer or the unit"
		}
	}
	switch t := a.Tolerance; {
	case t.Bare && (k.Factor != 1 || k.Angle || !k.Dim.IsNumber()):
		what := "the answer is " + marking.Describe(k.Dim, k.Angle)
		if k.Dim.IsNumber() && !k.Angle {
			what = "the answer is given in " + a.Unit.Text
		}
		list.Addf(a.toleranceAt, CodeValue, "%s, and its tolerance has no unit", what).
			Repair = "write a share of the answer (1 %), an amount with its unit (0.01 " + k.Unit(&a.Scheme).Text + "), or a rounding (3 figures)"
	case t.Absolute > 0 && t.Dim != k.Dim:
		list.Addf(a.at, CodeValue, "the answer is %s and its tolerance %s", unit.Describe(k.Dim), unit.Describe(a.Tolerance.Dim)).
			Repair = "write the tolerance in a unit of the answer, or as a share: 1 %"
	}
	return list
}

func (v *Variant) setBounds(ctx context.Context, k *marking.Key, a *Part) source.List {
	if a.Low == nil || a.High == nil {
		return nil
	}
	low, list := v.eval.Value(ctx, a.Low)
	high, more := v.eval.Value(ctx, a.High)
	if list = append(list, more...); list.HasErrors() {
		return list
	}
	if low.Value.Dim != k.Dim || high.Value.Dim != k.Dim {
		list.Addf(v.Exercise.spanOf(a.Low), CodeBounds, "the bounds are not %s, as the answer is", unit.Describe(k.Dim)).Repair = "correct the bounds"
		return list
	}
	k.Low, k.High, k.Bounded = low.Value.Number, high.Value.Number, true
	return nil
}

// setSlips works out what each slip evaluates to, and reports which cannot be told
// from the answer or from another slip with these numbers.
func (v *Variant) setSlips(ctx context.Context, m *marking.Marker, a *Part) source.List {
	k := m.Key
	var list source.List
	for _, s := range a.Slips {
		values, err := m.SlipValues(ctx, s)
		if err != nil {
			list.Addf(s.At, CodeSlip, "the slip %s cannot be worked out: %s", s.Name, err).
				Repair = "give its wrong formula as {name: " + s.Name + ", formula: …}, or leave it out"
			continue
		}
		k.Slips = append(k.Slips, marking.SlipValues{Slip: s, Values: values})
	}
	if list.HasErrors() {
		return list
	}
	return v.apart(k, a)
}

// apart reports slips that lie within twice the tolerance of the answer, or of
// a slip with which they do not share their value.
func (v *Variant) apart(k *marking.Key, a *Part) source.List {
	var list source.List
	for i, s := range k.Slips {
		for _, value := range s.Values {
			if math.Abs(value-k.Value) <= 2*a.Tolerance.Widest(k.Value) {
				list.Addf(s.Slip.At, CodeSlip, "the slip %s cannot be told from the right answer: %s", s.Slip.Name, v.numbers()).
					Repair = "choose other numbers, a tighter tolerance, or leave the slip out"
			}
		}
		for _, t := range k.Slips[:i] {
			if !s.Slip.SharesWith(t.Slip) && meet(s.Values, t.Values, a.Tolerance) {
				list.Addf(s.Slip.At, CodeSlip, "the slips %s and %s come to the same value: %s", s.Slip.Name, t.Slip.Name, v.numbers()).
					Repair = "choose other numbers, or let one say shares: [" + t.Slip.Name + "], and the learner is asked which it was"
			}
		}
	}
	return list
}

func meet(a, b []float64, t marking.Tolerance) bool {
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
func (v *Variant) Part(name string) (*Part, error) {
	i, err := v.partIndex(name)
	if err != nil {
		return nil, err
	}
	return v.Structure.Parts[i], nil
}

func (v *Variant) partIndex(name string) (int, error) {
	if name == "" && len(v.Structure.Parts) == 1 {
		return 0, nil
	}
	names := ""
	for i, a := range v.Structure.Parts {
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
	results, list, err := v.eval.figures(ctx)
	if err == nil {
		err = list.Err()
	}
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(results, func(r kernel.Result) bool { return r.Figure == nil }), nil
}

// Mark judges an answer to a part. The error is for a part that does not exist,
// an exercise that Prove refuses, and ctx; whatever the answer is, there is a
// verdict on it.
func (v *Variant) Mark(ctx context.Context, part, answer string) (marking.Verdict, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return marking.Verdict{}, err
	}
	return v.markers[i].Mark(ctx, answer)
}

// MarkText judges an answer to a part by the reading of it that was kept or
// chosen; see [marking.Marker.MarkText]. The error is as for Mark.
func (v *Variant) MarkText(ctx context.Context, part, text, answer string) (marking.Verdict, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return marking.Verdict{}, err
	}
	return v.markers[i].MarkText(ctx, text, answer)
}

// Same reports whether two answers to a part, in the notation, are the same value,
// formula or option. It is false for a part that does not exist.
func (v *Variant) Same(ctx context.Context, part, a, b string) bool {
	i, err := v.partIndex(part)
	return err == nil && v.markers[i].Same(ctx, a, b)
}

// Read returns how an answer to a part is understood, and nothing about whether
// it is right. The error is for a part that does not exist, and ctx.
func (v *Variant) Read(ctx context.Context, part, answer string) (marking.Reading, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return marking.Reading{}, err
	}
	return v.markers[i].Read(ctx, answer)
}

// Solution returns the right answer to a part. The error is for a part that
// does not exist.
func (v *Variant) Solution(part string) (marking.Solution, error) {
	i, err := v.partIndex(part)
	if err != nil {
		return marking.Solution{}, err
	}
	return v.markers[i].Solution(), nil
}

// Relative returns the value of an answer to a number part, and the bounds of
// the part, as multiples of the right value; both bounds are 0 where there are
// none. ok is false for an answer that is not a value of the dimension that is
// asked, and for a part that does not exist or does not ask for a number. The
// error is ctx's.
func (v *Variant) Relative(ctx context.Context, part, answer string) (value, low, high float64, ok bool, err error) {
	i, err := v.partIndex(part)
	if err != nil {
		return 0, 0, 0, false, nil
	}
	return v.markers[i].Relative(ctx, answer)
}
