package working

import (
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// This file finds where a name that nothing defines is to be mended.

// blameNames finds the one place at which a name that nothing defines is to be
// mended: a line that cannot be read and begins with it, a definition that nothing
// uses and whose name is nearly the same, or else its first use.
func (w *Working) blameNames() {
	missing := map[string][]*item{}
	var names []string
	for _, it := range w.items {
		for _, ident := range undefinedNames(it) {
			if missing[ident] == nil {
				names = append(names, ident)
			}
			missing[ident] = append(missing[ident], it)
		}
	}
	for _, ident := range names {
		w.step(lookWork * int64(len(w.items)))
		users := missing[ident]
		at := w.brokenDefinition(ident)
		if at == nil && w.usesOf(ident) > 1 {
			at = w.misnamed(ident)
		}
		if at == nil {
			at = users[max(0, slices.IndexFunc(users, func(user *item) bool { return slices.Contains(user.uses, ident) }))]
		}
		for _, user := range users {
			if len(undefinedNames(user)) == 1 || at.parsed.HasErrors() {
				user.waitFor(at, ident)
			}
		}
	}
}

// undefinedNames lists the names of an item that nothing defines, if that is all
// that is wrong with it.
func undefinedNames(it *item) []string {
	var names []string
	for i := range it.checked {
		d := &it.checked[i]
		if d.Severity != source.Error {
			continue
		}
		if d.Code != check.CodeUndefined {
			return nil
		}
		ident := notation.Canonical(d.First().Span.Content())
		if !slices.Contains(names, ident) {
			names = append(names, ident)
		}
	}
	return names
}

// brokenDefinition returns the item that cannot be read and begins with a name, as
// a definition of it would.
func (w *Working) brokenDefinition(ident string) *item {
	for _, it := range w.items {
		if it.defines == "" && it.parsed.HasErrors() && it.cell.kind == Calc && firstName(it.span().Content()) == ident {
			return it
		}
	}
	return nil
}

func firstName(text string) string {
	end := strings.IndexFunc(text, func(r rune) bool { return strings.ContainsRune(" \t\n=(+−-·*/^,:", r) })
	if end < 0 {
		end = len(text)
	}
	return notation.Canonical(text[:end])
}

// usesOf counts the places at which a name is used.
func (w *Working) usesOf(ident string) int {
	n := 0
	for _, it := range w.items {
		if !slices.Contains(it.uses, ident) {
			continue
		}
		for _, name := range notation.Uses(it.node) {
			if name.Ident == ident {
				n++
			}
		}
	}
	return n
}

// misnamed returns the one definition that nothing uses and whose name is nearest
// to a name that is used and nowhere defined, and blames it.
func (w *Working) misnamed(ident string) *item {
	var near *item
	for _, name := range check.Nearest(ident, scope{w}.All()) {
		if w.usesOf(name) > 0 {
			continue
		}
		if near != nil {
			return nil
		}
		near = w.definers[name][0]
	}
	if near == nil || near.parsed.HasErrors() || near.checked.HasErrors() || near.cell.kind == Shaft {
		return nil
	}
	at := nameSpan(near)
	d := near.blamed.Addf(at, check.CodeUndefined, "%s is defined here and never used, and %s is used and nowhere defined", near.defines, ident)
	d.Repair = "is it " + ident + "?"
	d.Fix = &source.Fix{Span: at, Text: ident}
	return near
}
