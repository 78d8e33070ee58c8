package working

import (
	"math"

	"shaftbook/kernel/interval"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// markedWhole writes a value of the shaft as a whole, with Mark before an estimate.
func (v shaftValue) markedWhole(name string, value float64, u unit.Unit) string {
	if name == "length" {
		b, err := v.lengthBounds()
		return marked(value, b, err, 1, u)
	}
	c, err := v.s.Certain()
	var b interval.Interval
	if err == nil {
		b, err = v.certainWhole(c, name)
	}
	return marked(value, b, err, 1, u)
}

// markGiven puts Mark before the text of a number that the line at a span gives, if
// the expression it comes from is an estimate at the digits shown.
func (e *evaluation) markGiven(v shaftValue, at source.Span, value float64, text string) string {
	for _, n := range v.read {
		span := n.x.Span()
		if n.v != value || span.Start < at.Start || span.End > at.End {
			continue
		}
		b, err := e.w.encloseExpr(n.x, scope{e.w})
		if err != nil || !(b.Hi-b.Lo <= digitsShown*math.Abs(value)) {
			return Mark + text
		}
	}
	return text
}

// digitsShown is how closely a number must be known for the four figures of a label.
const digitsShown = 1e-5

// provesAll reports whether the values of a field at some places are certain at the
// digits that a figure shows. What is nothing beside the scale of a figure is taken
// to be 0, and may be off by as little.
func (v shaftValue) provesAll(field string, at []float64, scale float64) bool {
	c, err := v.s.Certain()
	if err != nil {
		return false
	}
	_, peak := v.s.StressMax()
	for _, x := range at {
		b, err := v.bounds(field, x)
		if field == "stress" && x == peak {
			b, err = v.certainWhole(c, "stress_max") // the diameter may jump just there
		}
		if err != nil {
			return false
		}
		if small := float64(nothing * scale); b.Lo >= -small && b.Hi <= small {
			continue
		}
		if b.Hi-b.Lo > digitsShown*math.Abs(b.Mid()) {
			return false
		}
	}
	return true
}

// nothing is how small a value beside the largest of a figure is 0 there.
const nothing = 1e-9

// turning returns the places of the least and the greatest value of a curve and those
// at its ends, whose values a figure writes.
func turning(xs, ys []float64) []float64 {
	lo, hi := 0, 0
	for i, y := range ys {
		if y < ys[lo] {
			lo = i
		}
		if y > ys[hi] {
			hi = i
		}
	}
	if len(xs) == 0 {
		return nil
	}
	return []float64{xs[0], xs[lo], xs[hi], xs[len(xs)-1]}
}
