package working

import (
	"slices"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// CodeMisfit: a name has no unit, or one of another dimension than every line
// that uses it needs.
const CodeMisfit source.Code = "does-not-fit-its-uses"

// findCauses decides which items are to blame for the errors that checking has
// found. It gives them the messages, and the others the item that they wait for.
func (w *Working) findCauses() {
	before := make([]verdict, len(w.items))
	for i, it := range w.items {
		before[i] = verdict{it.cause, it.causeName, it.blamed}
		it.cause, it.causeName, it.blamed = nil, "", nil
	}
	w.foldCycles()
	w.blameNames()
	w.blameHiddenUnits()
	w.blameDimensions()
	w.blameFunctions()
	for i, it := range w.items {
		if !before[i].same(verdict{it.cause, it.causeName, it.blamed}) {
			it.dirty = true
		}
	}
}

// A verdict is what findCauses has found of one item.
type verdict struct {
	cause  *item
	name   string
	blamed source.List
}

func (v verdict) same(other verdict) bool {
	return v.cause == other.cause && v.name == other.name && slices.EqualFunc(v.blamed, other.blamed,
		func(a, b source.Diagnostic) bool {
			return a.Span == b.Span && a.Code == b.Code && a.Message == b.Message && a.Repair == b.Repair &&
				slices.Equal(a.Related, b.Related)
		})
}

// waitFor lets an item wait for another, which is to blame for its errors. name is
// what it misses.
func (it *item) waitFor(cause *item, name string) {
	if it != cause && it.cause == nil {
		it.cause, it.causeName = cause, name
	}
}

// foldCycles leaves one message for each cycle, at its first line.
func (w *Working) foldCycles() {
	first := map[string]*item{}
	for _, it := range w.items {
		path, ok := w.cycles[it]
		if !ok {
			continue
		}
		if first[path] == nil {
			first[path] = it
			continue
		}
		it.waitFor(first[path], first[path].defines)
	}
}

// wrongNow returns which of the items are in error or wait for one, in the order
// of evaluation.
func (w *Working) wrongNow(users []*item) map[*item]bool {
	wrong := map[*item]bool{}
	for _, user := range users {
		if user.parsed.HasErrors() || user.checked.HasErrors() || w.anyNeeded(user, func(d *item) bool { return wrong[d] }) {
			wrong[user] = true
		}
	}
	return wrong
}

// isGiven reports whether an item defines a name by numbers alone.
func (w *Working) isGiven(it *item) bool {
	switch it.node.(type) {
	case *notation.Define, *notation.Vary:
		return !slices.ContainsFunc(it.uses, func(ident string) bool { return len(w.definers[ident]) > 0 })
	}
	return false
}
