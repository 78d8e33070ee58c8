package marking

import (
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// asksTurning reports whether a rotational speed is asked, and not a frequency.
func (m *Marker) asksTurning() bool {
	return m.Scheme.Kind == Number && unit.SpeedOf(m.Key.Unit(m.Scheme)) == unit.Turning
}

// turning returns the ways to read values where a rotational speed is asked: hertz
// count turns, and what is written per time alone may count turns or radians. A turn
// is 2·π rad, so each is taken only as what it is.
func (m *Marker) turning(ways [][]spelling) [][]spelling {
	if !m.asksTurning() {
		return ways
	}
	var all [][]spelling
	for _, way := range ways {
		options := [][]spelling{nil}
		for _, s := range way {
			var longer [][]spelling
			for _, before := range options {
				for _, t := range asTurns(s) {
					longer = append(longer, append(slices.Clone(before), t))
				}
			}
			options = longer[:min(len(longer), mostWays)]
		}
		all = append(all, options...)
	}
	return all
}

// asTurns returns a spelling with turns or radians for what counts neither.
func asTurns(s spelling) []spelling {
	x, list := notation.ParseExpr(source.NewText("answer", s.text))
	sign := ""
	if u, ok := notation.Unparen(x).(*notation.Unary); ok {
		x, sign = u.X, "−"
	}
	q, ok := notation.Unparen(x).(*notation.Quantity)
	if list.HasErrors() || !ok || unit.SpeedOf(q.Unit.Unit) != unit.Cycling {
		return []spelling{s}
	}
	number := sign + q.Number.Text
	if strings.Contains(q.Unit.Text, "Hz") {
		turns := spelling{text: number + " rev/s", why: s.why, notes: s.notes}
		if f := q.Unit.Unit.Factor; f != 1 {
			turns.text = number + "·(" + unit.FormatNumber(f, unit.Rounding{}) + " rev/s)"
		}
		return []spelling{turns.with("", "the hertz counts turns a second here")}
	}
	per := "s"
	switch q.Unit.Unit.Factor {
	case 1:
	case 1.0 / 60:
		per = "min"
	case 1.0 / 3600:
		per = "h"
	default:
		return []spelling{s}
	}
	bare := spelling{text: number, why: s.why, notes: s.notes}
	return []spelling{bare.with(" rev/"+per, "turns"), bare.with(" rad/"+per, "radians")}
}
