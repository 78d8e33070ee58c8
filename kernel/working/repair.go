package working

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/repair"
	"shaftbook/kernel/source"
)

const mostProved = 1 << 18 // bytes of text that are read again to prove repairs, in one evaluation

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
	if fix.Span.Text != it.cell.text {
		return false
	}
	if d.Code == CodeMisfit || d.Code == CodeHidesUnit || d.Code == check.CodeUndefined && it.defines == fix.Span.Content() {
		// findCauses has tried it on all the lines that use the name.
		return d.Severity == source.Error
	}
	return repair.Proves(d, fix, func(text *source.Text) (repair.Trial, bool) {
		if *left -= len(text.Content); *left < 0 {
			return repair.Trial{}, false
		}
		again := &cellState{id: it.cell.id, kind: it.cell.kind, name: it.cell.name, text: text}
		again.items = w.read(again)
		if len(again.items) != len(it.cell.items) || !w.othersStay(it.cell.items, again.items, it.index) {
			return repair.Trial{}, false
		}
		mended := again.items[it.index]
		return repair.Trial{Parsed: mended.parsed, IsRight: func() bool {
			isGuess := isMultiple(mended) && (d.Code == notation.MissingMultiply || d.Code == notation.ImplicitProduct)
			return !isGuess && w.isRight(mended)
		}}, true
	})
}

// othersStay reports whether all items but one have the same text, and the one
// defines the same name, or one that nothing else defines where it could not be read.
func (w *Working) othersStay(before, after []*item, but int) bool {
	for i := range before {
		if i != but && before[i].key != after[i].key {
			return false
		}
	}
	is, will := before[but], after[but]
	return is.defines == will.defines || is.defines == "" && is.parsed.HasErrors() && len(w.definers[will.defines]) == 0
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
