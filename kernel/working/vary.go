package working

import (
	"math"
	"strconv"

	"shaftbook/kernel/check"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/unit"
)

// mostSteps bounds how fine a slider may be.
const mostSteps = 1e6

// vary evaluates a vary statement: its range, and the value the reader has
// chosen or the one it starts at.
func (e *evaluation) vary(n *notation.Vary) {
	from, ok1 := e.number(n.From)
	to, ok2 := e.number(n.To)
	if !ok1 || !ok2 {
		return
	}
	if !(from < to) {
		e.fail(n.From.Span().To(n.To.Span()), CodeRange, "the range is empty: it must go from a smaller to a larger value").
			Repair = "swap the two ends"
		return
	}
	step, ok := e.step(n, from, to)
	if !ok {
		return
	}
	low, high, ok := e.typedEnds(n, from, to)
	if !ok {
		return
	}
	start := from
	e.it.formula = n.From
	if n.Start != nil {
		if start, ok = e.number(n.Start); !ok {
			return
		}
		if start < low || start > high {
			e.fail(n.Start.Span(), CodeRange, "the starting value lies outside the range").
				Repair = "start between the two ends"
			return
		}
		e.it.formula = n.Start
	}
	u := e.sliderUnit(from, to)
	outside := false
	if e.it.hasVaried {
		if e.it.isShown {
			e.it.varied, e.it.isShown = u.SI(e.it.varied), false
		}
		start = min(max(e.it.varied, low), high)
		chosen := tidy(e.it.varied / u.Factor) // as the reader did, in the slider's unit
		outside = chosen < tidy(low/u.Factor) || chosen > tidy(high/u.Factor)
		switch {
		case start == from:
			e.it.formula = n.From
		case start == to:
			e.it.formula = n.To
		case start == low:
			e.it.formula = n.TypedFrom
		case start == high:
			e.it.formula = n.TypedTo
		default:
			e.it.formula = written(n, start, u)
		}
	}
	e.slide(n, u, from, to, step, start)
	e.r.Slider.Low, e.r.Slider.High = tidy(low/u.Factor), tidy(high/u.Factor)
	if outside {
		e.r.Slider.Outside = unit.Format(e.it.varied, u, unit.Rounding{})
	}
	e.obj = program.Scalar(start)
}

// typedEnds returns between what a value may be typed: the ends of the slider, where
// the statement does not say more.
func (e *evaluation) typedEnds(n *notation.Vary, from, to float64) (low, high float64, ok bool) {
	low, high = from, to
	if n.TypedFrom != nil {
		if low, ok = e.number(n.TypedFrom); !ok {
			return 0, 0, false
		}
		if low > from {
			e.fail(n.TypedFrom.Span(), CodeRange, "what may be typed begins above the slider’s lower end").
				Repair = "type from a value that is not above the lower end, or leave this out"
			return 0, 0, false
		}
	}
	if n.TypedTo != nil {
		if high, ok = e.number(n.TypedTo); !ok {
			return 0, 0, false
		}
		if high < to {
			e.fail(n.TypedTo.Span(), CodeRange, "what may be typed ends below the slider’s upper end").
				Repair = "type up to a value that is not below the upper end, or leave this out"
			return 0, 0, false
		}
	}
	return low, high, true
}

// written is a value of a slider as a number with its unit: the decimal that the
// reader chose, of which the SI value is only the nearest float64.
func written(n *notation.Vary, value float64, u unit.Unit) notation.Expr {
	shown := tidy(value / u.Factor)
	if u.SI(shown) != value {
		shown = value / u.Factor
	}
	number := &notation.Number{Text: strconv.FormatFloat(shown, 'g', -1, 64), Value: shown}
	number.At = n.Span()
	if u.Text == "" {
		return number
	}
	q := &notation.Quantity{Number: number, Unit: &notation.UnitRef{Text: u.Text, Unit: u}}
	q.At, q.Unit.At = n.Span(), n.Span()
	return q
}

// step returns the step of the slider: as written, or 1 for a count, or a
// hundredth of the range.
func (e *evaluation) step(n *notation.Vary, from, to float64) (float64, bool) {
	if n.Step == nil {
		if e.it.info.Type.Dim.IsNumber() && whole(from) && whole(to) && to-from >= 10 {
			return 1, true
		}
		return (to - from) / 100, true
	}
	step, ok := e.number(n.Step)
	if !ok {
		return 0, false
	}
	if step <= 0 || step > to-from || (to-from)/step > mostSteps {
		e.fail(n.Step.Span(), CodeRange, "the step must be above zero, fit into the range and divide it into at most a million parts").
			Repair = "choose a step between the two ends' distance and a millionth of it"
		return 0, false
	}
	return step, true
}

// sliderUnit is the unit in which the slider counts: as written, or one that
// suits the larger end.
func (e *evaluation) sliderUnit(from, to float64) unit.Unit {
	t := e.it.info.Type
	if t.Unit != nil {
		return *t.Unit
	}
	return e.w.unitFor(max(math.Abs(from), math.Abs(to)), t)
}

func (e *evaluation) slide(n *notation.Vary, u unit.Unit, from, to, step, value float64) {
	t := e.it.info.Type
	e.r.Value = &Value{Dim: t.Dim, Number: value, IsFrequency: t.Speed == unit.Cycling}
	e.r.Text = unit.Format(value, u, unit.Rounding{})
	e.r.Slider = &Slider{
		Name: n.Name.Ident, Unit: u.Text, Text: e.r.Text,
		Min: tidy(from / u.Factor), Max: tidy(to / u.Factor), Step: tidy(step / u.Factor), Value: tidy(value / u.Factor),
		Whole: isCount(t, from, to, step),
	}
	e.r.Slider.Free = n.Step == nil && !e.r.Slider.Whole
}

func isCount(t check.Type, from, to, step float64) bool {
	return t.Dim.IsNumber() && t.Angle != check.IsAngle && whole(from) && whole(to) && whole(step)
}

func whole(x float64) bool { return x == math.Trunc(x) && math.Abs(x) < 1<<53 }

// tidy removes the last digits' noise of a conversion, so that 36 mm reads 36
// in the number field. It is for controls only, never for values.
func tidy(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) {
		return x
	}
	digits := elementary.Pow(10, 12-math.Ceil(elementary.Log10(math.Abs(x))))
	if rounded := math.Round(x*digits) / digits; !math.IsInf(rounded, 0) && !math.IsNaN(rounded) {
		return rounded
	}
	return x
}
