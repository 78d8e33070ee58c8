package exercises

import (
	"math"

	"shaftbook/exercises/marking"
	"shaftbook/kernel/notation"
)

// An OpenAnswer is an answer that a learner is still asked for with the marked numbers.
type OpenAnswer struct {
	part *Part
	key  *marking.Key // of a number, else nil
}

// OpenAnswer returns the answer of a part.
func (v *Variant) OpenAnswer(a *Part) OpenAnswer {
	o := OpenAnswer{part: a}
	if i, err := v.partIndex(a.Name); err == nil && a.Kind == marking.Number {
		o.key = v.markers[i].Key
	}
	return o
}

// Gives reports whether an open answer is also right with the numbers of this variant,
// so that its worked solution would give it away: the line or the formula, whatever the
// numbers are, or a number that does not depend on what was drawn. An option of a pick is
// one of a few and is not held back.
func (v *Variant) Gives(o OpenAnswer) bool {
	for i, a := range v.Structure.Parts {
		if a.Name != o.part.Name || a.Kind != o.part.Kind {
			continue
		}
		switch a.Kind {
		case marking.Line:
			return a.Line == o.part.Line
		case marking.Formula:
			return notation.Print(a.Answer) == notation.Print(o.part.Answer)
		case marking.Number:
			k := v.markers[i].Key
			return k != nil && o.key != nil && math.Abs(k.Value-o.key.Value) <= a.Tolerance.Widest(o.key.Value)
		}
	}
	return false
}
