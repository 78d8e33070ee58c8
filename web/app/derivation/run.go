package derivation

import (
	"context"
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel"
	"shaftbook/kernel/derive"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// run gives every line its value, if there are numbers.
func (o *Outcome) run(ctx context.Context, data map[string]string) {
	o.Run.Parts = -1
	si := map[string]float64{}
	for _, name := range derive.Givens(o.Cell, derive.Settings{}) {
		g := Given{GivenName: name, Value: strings.TrimSpace(strings.Map(oneLine, data[name.Name]))}
		if g.Value != "" {
			o.Run.Asked = true
			var value float64
			value, g.Said = number(ctx, name, g.Value)
			if g.Said == "" {
				si[name.Name] = value
			}
		}
		o.Givens = append(o.Givens, g)
	}
	if !o.Run.Asked {
		return
	}
	if missing := o.missing(si); missing != "" {
		o.Run.Said = missing
		return
	}
	values, list := derive.Values(ctx, o.Cell, si, derive.Settings{})
	if d := list.FirstError(); d != nil {
		o.Run.Said = d.Message
		if d.Repair != "" {
			o.Run.Said += "; " + d.Repair
		}
		return
	}
	o.Run.Ready = true
	for i := range values {
		at := o.lineOf(values[i].Span)
		if at < 0 {
			continue
		}
		o.Lines[at].Value = &values[i]
		if values[i].Parts && o.Run.Parts < 0 {
			o.Run.Parts = at
		}
	}
}

// Offer puts numbers into the fields that are empty, as far as they fit; it
// runs nothing.
func (o *Outcome) Offer(ctx context.Context, numbers map[string]string) {
	for i := range o.Givens {
		g := &o.Givens[i]
		text := numbers[g.Name]
		if g.Value != "" || text == "" {
			continue
		}
		if _, wrong := number(ctx, g.GivenName, text); wrong == "" {
			g.Value = text
		}
	}
}

func (o *Outcome) missing(si map[string]float64) string {
	var names []string
	for _, g := range o.Givens {
		if _, ok := si[g.Name]; !ok {
			names = append(names, g.Name)
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0] + " still needs a number"
	}
	return words.And(names) + " still need numbers"
}

// number reads one number with its unit and says what is wrong with it.
func number(ctx context.Context, name derive.GivenName, text string) (float64, string) {
	e, list := kernel.NewWorking(kernel.Limits{}).Eval(ctx, source.NewText("", text))
	v := e.Value
	switch d := list.FirstError(); {
	case d != nil && d.Repair != "":
		return 0, d.Message + "; " + d.Repair
	case d != nil:
		return 0, d.Message
	case v.IsBracket || v.IsTruth:
		return 0, "enter a single number"
	case v.Dim != name.Dim && v.Dim == (unit.Dimension{}):
		return 0, fmt.Sprintf("%s is %s, so its number needs a unit, for example %s", name.Name, unit.Describe(name.Dim), name.Unit)
	case v.Dim != name.Dim:
		return 0, fmt.Sprintf("%s is %s, but this is %s", name.Name, unit.Describe(name.Dim), unit.Describe(v.Dim))
	case name.Whole && v.Number != math.Trunc(v.Number):
		return 0, name.Name + " counts terms: take a whole number"
	}
	return v.Number, ""
}
