package marking

import (
	"fmt"
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

// refuseTurning returns the verdict on a rotational speed where a frequency is asked;
// nil for any other value.
func (m *Marker) refuseTurning(x notation.Expr) *Verdict {
	q, ok := notation.Unparen(x).(*notation.Quantity)
	if !ok || unit.SpeedOf(q.Unit.Unit) != unit.Turning || unit.SpeedOf(m.Key.Unit(m.Scheme)) != unit.Cycling {
		return nil
	}
	return &Verdict{Kind: WrongDimension, Message: fmt.Sprintf(
		"This reads as %s %s, which is an angular speed, but the question asks for a frequency: how often, not how fast it turns. A turn is 2·π rad. Divide by that, and write Hz or 1/s.", q.Number.Text, q.Unit.Text)}
}

// turning returns the ways to read values where a rotational speed is asked: hertz
// count turns, but are often written for radians a second, and what is written per
// time alone may count either. A turn is 2·π rad, so each is asked about.
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
				for _, t := range asTurns(s, len(way) > 1) {
					longer = append(longer, append(slices.Clone(before), t))
				}
			}
			options = longer[:min(len(longer), mostWays)]
		}
		all = append(all, options...)
	}
	return all
}

// asTurns returns a spelling with turns or radians for what counts neither. Beside
// an equal value hertz are what they are.
func asTurns(s spelling, hasEqual bool) []spelling {
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
		radians := spelling{text: strings.Replace(turns.text, "rev/s", "rad/s", 1), why: s.why, notes: s.notes}
		if hasEqual {
			return []spelling{turns.with("", "hertz count turns, each 2·π rad")}
		}
		return []spelling{turns.with("", "hertz count turns, each 2·π rad"), radians.with("", "radians a second, which hertz do not count")}
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
