package marking

import (
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/pattern"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

const whyBehind = "the unit behind it does not change the value"

var inUnitAt = pattern.New(`^(.*\S)\s+in\s+(\S.*)$`)

// inUnit reads a value with the unit in words behind it: 46.7 in mm is 46.7 mm, and
// T·L/(G·J) in deg has the value of the formula. It is false where no unit of what is
// asked is behind the word, and where in is the inch: 5078 in lb.
func (p typedPart) inUnit(mark commaMark, asked unit.Dimension) (all []spelling, ok bool) {
	m := inUnitAt().FindStringSubmatch(p.text)
	if m == nil {
		return nil, false
	}
	units := unitSpellings(strings.TrimSpace(m[2]), asked)
	if len(units) == 0 || units[0].unit.Dim != asked {
		return nil, false
	}
	v, isValue := cutValue(m[1])
	if isValue && v.tail == "" {
		if inches := unitSpellings("in "+m[2], asked); len(inches) > 0 && inches[0].unit.Dim == asked {
			return nil, false
		}
		return typedPart{m[1] + " " + strings.TrimSpace(m[2])}.spellings(mark, asked), true
	}
	front := typedPart{m[1]}.spellings(mark, asked)
	for _, s := range front {
		x, list := notation.ParseExpr(source.NewText("answer", s.text))
		isBare := !hasUnit(x) && !hasNames(x)
		switch {
		case !list.HasErrors() && (isBare || asked.IsNumber() && convertsAngle(x)):
			for _, u := range units {
				all = append(all, s.with("", u.why).times(u.text))
			}
			if !isBare {
				all = append(all, s.times("rad"))
			}
		default:
			all = append(all, s.with("", whyBehind))
		}
	}
	return all, true
}

// behind reads the unit of an angle behind a formula: it is the unit in which the angle
// is said, or counts what the formula gives.
func (p typedPart) behind(mark commaMark, asked unit.Dimension) (all []spelling, ok bool) {
	front, symbol, ok := behindFormula(p.text, asked)
	if !ok {
		return nil, false
	}
	s := respell(front, mark)
	x, list := notation.ParseExpr(source.NewText("answer", s.text))
	switch {
	case !list.HasErrors() && convertsAngle(x) && symbol != "rad":
		return []spelling{s.times(symbol), s.times("rad")}, true
	case !list.HasErrors() && convertsAngle(x):
		return []spelling{s.times(symbol)}, true
	}
	all = []spelling{s.with("", whyBehind)}
	if symbol != "rad" {
		all = append(all, s.with("", "so many "+symbol).times(symbol))
	}
	return all, true
}

// times writes an expression as so many of a unit.
func (s spelling) times(symbol string) spelling {
	s.text = "(" + s.text + ")·(1 " + symbol + ")"
	return s
}

// refuseUnit returns the verdict on a value that is said to be in a unit of another
// quantity than the one that is asked, a + b in kg; nil for any other.
func (m *Marker) refuseUnit(a splitTyped) *Verdict {
	for _, v := range a.values {
		at := inUnitAt().FindStringSubmatch(v.text)
		if at == nil {
			continue
		}
		if whole, ok := cutValue(v.text); ok && whole.unitOK() {
			continue // 5 in lb
		}
		units := unitSpellings(strings.TrimSpace(at[2]), m.Key.Dim)
		if len(units) > 0 && units[0].unit.Dim != m.Key.Dim {
			return &Verdict{Kind: WrongDimension, Message: "“in " + strings.TrimSpace(at[2]) + "” is a unit of " + unit.Describe(units[0].unit.Dim) +
				", but the question asks for " + m.wanted() + ". Write “in” with a unit of that, or nothing behind the formula."}
		}
	}
	return nil
}
