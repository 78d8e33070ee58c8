package working

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/words"
)

// CodeHidesUnit: a name is defined that is a unit of lines above it.
const CodeHidesUnit source.Code = "name-hides-a-unit"

// blameHiddenUnits moves the question whether a symbol is a unit or a name to the
// definition of the name, if givens above it ask, such as a = 1.2 m: they had one
// meaning without it.
func (w *Working) blameHiddenUnits() {
	asking := map[*item][]*item{}
	var hiding []*item
	for i, it := range w.items {
		if _, isGiven := notation.Unparen(definitionOf(it)).(*notation.Quantity); it.cause != nil || !isGiven || !slices.ContainsFunc(it.checked, asksForUnit) {
			continue
		}
		for _, ident := range it.units {
			definers := w.definers[ident]
			if len(definers) == 0 || !slices.Contains(w.items[i+1:], definers[0]) || definers[0].parsed.HasErrors() {
				continue
			}
			if asking[definers[0]] == nil {
				hiding = append(hiding, definers[0])
			}
			asking[definers[0]] = append(asking[definers[0]], it)
			break
		}
	}
	for _, it := range hiding {
		w.blameHidingUnit(it, asking[it])
	}
}

func asksForUnit(d source.Diagnostic) bool {
	return d.Severity == source.Error && d.Code == check.CodeUnitOrName
}

// blameHidingUnit writes the message of a definition whose name is a unit in the
// lines that ask, and lets these wait for it.
func (w *Working) blameHidingUnit(it *item, asking []*item) {
	first := asking[0].checked[slices.IndexFunc(asking[0].checked, asksForUnit)]
	at, name := nameSpan(it), it.defines
	d := it.blamed.Addf(at, CodeHidesUnit, "%s is also a unit, and with this definition %s above can be read in two ways, first “%s”",
		name, words.Count(len(asking), "line"), first.Span.Content())
	d.Related = []source.Related{{Span: first.Span, Message: name + " may be the unit or the name here"}}
	other := name + "_1"
	d.Repair = "give it another name, perhaps " + other
	if w.usesOf(name) == 0 && w.usesOf(other) == 0 && len(w.definers[other]) == 0 {
		d.Fix = &source.Fix{Span: at, Text: other}
	}
	for _, user := range asking {
		user.waitFor(it, name)
	}
}
