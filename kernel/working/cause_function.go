package working

import (
	"slices"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// This file moves errors inside the body of a function from its uses to the body.

// blameFunctions moves an error inside a function's body, which shows where the
// function is used, to the body, if no use of the function is without it and none
// gives it a bare number, which may be what is wrong.
func (w *Working) blameFunctions() {
	isInside := func(d source.Diagnostic) bool { return d.Origin != nil }
	if !slices.ContainsFunc(w.items, func(it *item) bool { return slices.ContainsFunc(it.checked, isInside) }) {
		return
	}
	for _, it := range w.items {
		n, ok := it.node.(*notation.DefineFunc)
		if !ok || it.parsed.HasErrors() || it.checked.HasErrors() {
			continue
		}
		users := w.usersOf(it)
		wrong := w.wrongNow(users)
		var inside *source.Diagnostic
		var failing []*item
		for _, user := range users {
			if _, isFunction := user.node.(*notation.DefineFunc); isFunction || user.cause != nil {
				continue
			}
			found := originIn(user, n)
			if found == nil && wrong[user] {
				continue
			}
			if found == nil || w.givesBareNumber(user) {
				inside = nil
				break
			}
			inside, failing = found, append(failing, user)
		}
		if inside == nil {
			continue
		}
		d := *inside
		d.Related = []source.Related{{Span: useSpan(failing[0], it.defines), Message: it.defines + " is used here"}}
		it.blamed = append(it.blamed, d)
		for _, user := range failing {
			user.waitFor(it, it.defines)
		}
	}
}

// givesBareNumber reports whether an item calls a function of the lesson with a
// number that has no unit.
func (w *Working) givesBareNumber(it *item) bool {
	found := false
	notation.Inspect(it.node, func(n notation.Node) bool {
		call, ok := n.(*notation.Call)
		if !ok || len(w.definers[call.Fun.Ident]) == 0 {
			return true
		}
		for _, arg := range call.Args {
			if _, bare := notation.Unparen(arg).(*notation.Number); bare {
				found = true
			}
		}
		return true
	})
	return found
}

// originIn returns the error of an item that began inside the body of a function.
func originIn(it *item, f *notation.DefineFunc) *source.Diagnostic {
	for i := range it.checked {
		d := &it.checked[i]
		if d.Severity != source.Error || d.Origin == nil {
			continue
		}
		first := d.First()
		body := f.Body.Span()
		if first.Span.Text == body.Text && first.Span.Start >= body.Start && first.Span.End <= body.End {
			return first
		}
	}
	return nil
}
