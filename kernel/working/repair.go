package working

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

const (
	mostProved  = 1 << 18 // bytes of text that are read again to prove repairs, in one evaluation
	mostRepairs = 8       // of the same kind that one line may need
)

// isProved reports whether a repair is sure to mend what its message is about. A
// repair is offered only then. It is tried on the text of the cell: the statement
// must then be read and checked without an error, if need be after more repairs of
// the same kind, and nothing else of the cell may change its meaning.
func (w *Working) isProved(it *item, d *source.Diagnostic, fix *source.Fix, left *int) bool {
	if proved, ok := w.proofs[fix]; ok {
		return proved
	}
	proved := w.prove(it, d, fix, left)
	if w.proofs == nil {
		w.proofs = map[*source.Fix]bool{}
	}
	w.proofs[fix] = proved
	return proved
}

func (w *Working) prove(it *item, d *source.Diagnostic, fix *source.Fix, left *int) bool {
	if fix.Span.Text != it.cell.text || !meansOneThing(d.Code, fix) {
		return false
	}
	if d.Code == CodeMisfit || d.Code == check.CodeUndefined && it.defines == fix.Span.Content() {
		// findCauses has tried it on all the lines that use the name.
		return d.Severity == source.Error
	}
	before := it.cell.items
	for range mostRepairs {
		text := apply(it.cell.text, fix)
		if *left -= len(text.Content); *left < 0 {
			return false
		}
		again := &cellState{id: it.cell.id, kind: it.cell.kind, name: it.cell.name, text: text}
		again.items = w.read(again)
		if len(again.items) != len(before) || !othersStay(before, again.items, it.index) {
			return false
		}
		mended := again.items[it.index]
		next := mended.parsed.FirstError()
		if next == nil {
			return w.isRight(mended) && !repeats(mended.parsed, d) && !(isMultiple(mended) && (d.Code == notation.MissingMultiply || d.Code == notation.ImplicitProduct))
		}
		if next.Code != d.Code || next.Fix == nil || next.Span.Start < fix.Span.Start || !meansOneThing(next.Code, next.Fix) {
			return false
		}
		fix = next.Fix
		it = &item{cell: again, index: it.index, defines: it.defines}
		before = again.items
	}
	return false
}

// meansOneThing refuses a repair where something else may have been meant: what is
// seen in a text was written for something, and what is missing may be another sign.
func meansOneThing(code source.Code, fix *source.Fix) bool {
	found := fix.Span.Content()
	switch {
	case fix.Text == "":
		return strings.TrimFunc(found, isFiller) == ""
	case code == notation.MissingMultiply:
		// Two factors a space apart, the second a name. Before a number or a bracket
		// any operator may have been left out, and between two spaces one was.
		next, _ := utf8.DecodeRuneInString(fix.Span.Text.Content[fix.Span.End:])
		return found == " " && unicode.IsLetter(next)
	case code == notation.ImplicitProduct:
		return joinsNames(found, fix.Text)
	case code == check.CodeUndefined && isBehindNumber(fix.Span):
		return false // a mistyped unit rather than a name
	case code == check.CodeNotFunction:
		return false // any operator may be missing before the bracket
	case code == notation.UnknownUnit && strings.Contains(fix.Text, "·"):
		return slices.Contains(torques, fix.Text) && strings.ReplaceAll(fix.Text, "·", "") == found
	}
	return true
}

// joinsNames reports whether each · that a text has more than another stands before a
// name and in place of one space at most; see meansOneThing.
func joinsNames(found, text string) bool {
	old, fresh := []rune(found), []rune(text)
	i := 0
	for j := 0; j < len(fresh); j++ {
		if fresh[j] != '·' || i < len(old) && old[i] == '·' {
			i++
			continue
		}
		spaces := 0
		for i < len(old) && unicode.IsSpace(old[i]) {
			spaces++
			i++
		}
		if spaces > 1 || j+1 == len(fresh) || !unicode.IsLetter(fresh[j+1]) {
			return false
		}
	}
	return true
}

// isBehindNumber reports whether a word follows a number with nothing but a space
// between.
func isBehindNumber(s source.Span) bool {
	before := strings.TrimRight(s.Text.Content[:s.Start], " ")
	last, _ := utf8.DecodeLastRuneInString(before)
	return unicode.IsDigit(last)
}

// torques are the units that people write without their dot.
var torques = []string{"N·m", "kN·m", "MN·m", "N·mm", "kN·mm", "lbf·in", "lbf·ft"}

// isFiller reports a character that means nothing where it is: marks between the
// digits of a number, and what cannot be seen.
func isFiller(r rune) bool {
	return strings.ContainsRune("_' ,;.\u00a0\u2009\u202f\u200b\u200c\u200d\ufeff\u00ad", r)
}

func apply(t *source.Text, fix *source.Fix) *source.Text {
	start, end := fix.Span.Start, fix.Span.End
	return &source.Text{Name: t.Name, Content: t.Content[:start] + fix.Text + t.Content[end:], FirstLine: t.FirstLine}
}

// othersStay reports whether all items but one have the same text, and the one
// defines the same name.
func othersStay(before, after []*item, but int) bool {
	for i := range before {
		if i != but && before[i].key != after[i].key {
			return false
		}
	}
	return before[but].defines == after[but].defines
}

// isMultiple reports whether an item defines its name as a number of another, as in
// L = 1.2·b, which is more likely a quantity with a mistyped unit.
func isMultiple(it *item) bool {
	n, ok := it.node.(*notation.Define)
	if !ok {
		return false
	}
	product, ok := n.Expr.(*notation.Binary)
	if !ok {
		return false
	}
	_, isNumber := product.X.(*notation.Number)
	_, isName := product.Y.(*notation.Name)
	return isNumber && isName
}

// repeats reports whether a list still has a message of the same kind at its place.
func repeats(list source.List, d *source.Diagnostic) bool {
	return slices.ContainsFunc(list, func(again source.Diagnostic) bool {
		return again.Code == d.Code && again.Span.Start == d.Span.Start
	})
}

// isRight checks a mended item in the place of the one it comes from: without an
// error, without a unit that may be a name, and without need of itself.
func (w *Working) isRight(mended *item) bool {
	_, list := checkWith(w.checker, mended)
	if list.HasErrors() || slices.ContainsFunc(list, func(d source.Diagnostic) bool { return d.Code == check.CodeUnitOrName }) {
		return false
	}
	if mended.defines == "" {
		return true
	}
	if slices.Contains(mended.uses, mended.defines) {
		return false
	}
	for _, needed := range w.needsOf([]*item{mended}) {
		if needed.defines == mended.defines {
			return false
		}
	}
	return true
}
