package working

import (
	"slices"
	"strings"

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
	line := lineOf(it, fix.Span)
	return repair.Proves(d, fix, func(text *source.Text) (repair.Trial, bool) {
		if *left -= len(text.Content); *left < 0 {
			return repair.Trial{}, false
		}
		again := &cellState{id: it.cell.id, kind: it.cell.kind, name: it.cell.name, text: text}
		again.items = w.read(again)
		if it.cell.kind == Shaft {
			return w.mendsLine(it, again.items, d, line)
		}
		if strings.Contains(fix.Text, "\n") {
			return w.splits(it, again.items)
		}
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

// lineOf returns the index of the line of a shaft cell in which a place is.
func lineOf(it *item, at source.Span) int {
	cell, ok := it.node.(*notation.ShaftCell)
	if !ok {
		return 0
	}
	line := 0
	for i, l := range cell.Lines {
		if l.Span().Start <= at.Start {
			line = i
		}
	}
	return line
}

// mendsLine tries a repair of one line of a shaft cell, or one that splits it. What is
// wrong in other lines does not matter. A unit that was missing may leave the line
// wrong elsewhere.
func (w *Working) mendsLine(it *item, again []*item, d *source.Diagnostic, line int) (repair.Trial, bool) {
	before, ok := it.node.(*notation.ShaftCell)
	if !ok || len(again) != 1 {
		return repair.Trial{}, false
	}
	mended := again[0]
	after := mended.node.(*notation.ShaftCell)
	more := len(after.Lines) - len(before.Lines)
	if more < 0 || line >= len(before.Lines) || slices.Contains(mended.uses, mended.defines) {
		return repair.Trial{}, false
	}
	for i, l := range before.Lines {
		at := i
		if i > line {
			at += more
		}
		if i != line && l.Span().Content() != after.Lines[at].Span().Content() {
			return repair.Trial{}, false
		}
	}
	end := len(after.Text.Content)
	if next := line + more + 1; next < len(after.Lines) {
		end = after.Lines[next].Span().Start
	}
	var parsed source.List
	for _, said := range mended.parsed {
		if after.Lines[line].Span().Start <= said.Span.Start && said.Span.Start < end || said.Span.Start == end && end == len(after.Text.Content) {
			parsed = append(parsed, said)
		}
	}
	return repair.Trial{Parsed: parsed, IsRight: func() bool {
		wrong := w.errorsOfLines(after, after.Lines[line:line+more+1])
		return wrong == 0 || d.Code == check.CodeDimension && more == 0 && wrong < w.errorsOfLines(before, before.Lines[line:line+1])
	}}, true
}

// errorsOfLines counts what is wrong in some lines of a shaft cell, and the units that
// may be names.
func (w *Working) errorsOfLines(cell *notation.ShaftCell, lines []notation.ShaftLine) int {
	_, list := w.checker.Shaft(&notation.ShaftCell{Text: cell.Text, Lines: lines})
	n := 0
	for _, d := range list {
		if d.Severity == source.Error || d.Code == check.CodeUnitOrName {
			n++
		}
	}
	return n
}

// splits tries a repair that makes several statements of one: each must be right and
// define a name that nothing else defines.
func (w *Working) splits(it *item, again []*item) (repair.Trial, bool) {
	before, more := it.cell.items, len(again)-len(it.cell.items)
	if more < 0 {
		return repair.Trial{}, false
	}
	for i := range before {
		if i < it.index && before[i].key != again[i].key || i > it.index && before[i].key != again[i+more].key {
			return repair.Trial{}, false
		}
	}
	parts := again[it.index : it.index+more+1]
	defined := map[string]bool{}
	for _, part := range parts {
		isNew := part.defines != "" && part.defines != it.defines && len(w.definers[part.defines]) > 0
		if part.parsed.HasErrors() || isNew || part.defines == "" || defined[part.defines] {
			return repair.Trial{}, false
		}
		defined[part.defines] = true
	}
	return repair.Trial{IsRight: func() bool {
		// One that uses another of them cannot be checked before they are there.
		return !slices.ContainsFunc(parts, func(part *item) bool {
			isAlone := !slices.ContainsFunc(part.uses, func(ident string) bool { return defined[ident] })
			return isAlone && !w.isRight(part)
		})
	}}, true
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
