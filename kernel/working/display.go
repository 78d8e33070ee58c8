package working

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// shownText is the display of a value: unit and rounding, nothing else. In
// this order: the unit a suffix asks for; a literal as it was written; the
// units the lesson prefers; the unit the reader wrote the parts in; the
// trade's habit for the dimension.
func (w *Working) shownText(v *Value, t check.Type, x notation.Expr, d notation.Display) string {
	if v.IsTruth {
		if v.Truth {
			return "true"
		}
		return "false"
	}
	rounding := roundingOf(d)
	if d == (notation.Display{}) && !v.IsBracket {
		if text, ok := literalText(x); ok {
			return text
		}
	}
	if v.IsBracket {
		return unit.FormatBracket(v.Low, v.High, w.unitOf(v.Number, t, d), rounding)
	}
	return unit.Format(v.Number, w.unitOf(v.Number, t, d), rounding)
}

// literalText returns a number or quantity as it was written.
func literalText(x notation.Expr) (string, bool) {
	switch x := x.(type) {
	case *notation.Number:
		return x.Text, true
	case *notation.Quantity:
		return notation.Print(x), true
	}
	return "", false
}

func (w *Working) unitOf(v float64, t check.Type, d notation.Display) unit.Unit {
	if d.Unit != nil {
		return d.Unit.Unit
	}
	return w.unitFor(v, t)
}

// unitFor chooses the unit in which a value of a type is shown: one the lesson
// prefers, the one the reader wrote, or the trade's habit.
func (w *Working) unitFor(v float64, t check.Type) unit.Unit {
	hint := unit.NoHint
	switch {
	case t.Angle == check.IsAngle:
		hint = unit.Angle
	case t.Speed == unit.Cycling:
		hint = unit.Frequency
	}
	if t.Dim.IsNumber() && t.Angle != check.IsAngle && t.Unit != nil {
		return *t.Unit
	}
	chosen := unit.Choose(v, t.Dim, w.preferred, hint)
	if t.Unit == nil || slices.ContainsFunc(w.preferred, func(p unit.Unit) bool { return p.Text == chosen.Text }) {
		return chosen
	}
	return *t.Unit
}

func roundingOf(d notation.Display) unit.Rounding {
	return unit.Rounding{Figures: d.Figures, Places: d.Places, HasPlaces: d.HasPlaces}
}
