package working

import (
	"slices"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
)

// This file keeps how items are read whose text alone does not decide it. The
// order of evaluation takes every symbol that could be a name for one, so that its
// type is known when package check chooses.

// doubts notes what the plain reading of an item leaves open.
func (it *item) doubts() {
	d := notation.DoubtsOf(it.node)
	it.doubtful, it.units, it.plainUses = d.Any(), slices.Concat(d.Symbols, d.Common), it.uses
	it.symbols = it.units
	for _, s := range d.Symbols {
		if first, rest, ok := notation.PrefixedPair(s); ok {
			it.symbols = append(slices.Clip(it.symbols), notation.Canonical(first), notation.Canonical(rest))
		}
	}
}

// waitsFor lists the names whose items come before this one.
func (it *item) waitsFor() []string {
	if len(it.symbols) == 0 {
		return it.plainUses
	}
	names := slices.Clone(it.plainUses)
	for _, s := range it.symbols {
		if s != it.defines && !it.only[s] {
			names = append(names, s)
		}
	}
	return names
}

// choose takes the reading of an item for each choice that was made: one for a
// statement, one for each line of a shaft cell.
func (it *item) choose(choices []notation.Choice) {
	it.choice, it.read = choices, false
	switch n := it.node.(type) {
	case notation.Stmt:
		if len(choices) == 1 && !isPlain(choices[0]) {
			it.node, it.parsed = notation.RereadStmt(n, choices[0])
			it.read = true
		}
	case *notation.ShaftCell:
		cell := &notation.ShaftCell{Text: n.Text, Lines: slices.Clone(n.Lines)}
		for i, c := range choices {
			if i >= len(cell.Lines) || isPlain(c) {
				continue
			}
			line, list := notation.RereadShaftLine(n.Lines[i], c)
			cell.Lines[i] = line
			it.parsed = replaced(it.parsed, line.Span(), list)
			it.read = true
		}
		if it.read {
			it.node = cell
		}
	}
	it.uses = it.plainUses
	if it.read {
		it.uses = usedNames(it.node)
	}
}

// said returns what reading and checking found. How a product without signs was
// read is not worth saying of words that turn out to be none.
func (it *item) said() source.List {
	list := slices.Concat(it.parsed, it.checked)
	if !it.checked.HasErrors() {
		return list
	}
	return slices.DeleteFunc(list, func(d source.Diagnostic) bool {
		return d.Severity == source.Note && d.Code == notation.ImplicitProduct
	})
}

func isPlain(c notation.Choice) bool {
	return c.Names == nil && !c.Force && !c.Fraction && !c.Exp
}

// replaced returns a list in which the messages within a place are others.
func replaced(list source.List, at source.Span, others source.List) source.List {
	list = slices.DeleteFunc(slices.Clone(list), func(d source.Diagnostic) bool {
		return d.Span.Text == at.Text && at.Start <= d.Span.Start && d.Span.End <= at.End
	})
	return append(list, others...)
}

// chooseReading chooses how an item is read, now that the types of the names it may
// use are known.
func (w *Working) chooseReading(it *item) {
	if !it.doubtful {
		return
	}
	if it.read {
		it.choose(nil)
		w.rereadPlain(it)
	}
	if it.parsed.HasErrors() {
		return
	}
	isUnit := func(ident string) bool { return ident == it.defines || it.only[ident] }
	switch n := it.node.(type) {
	case *notation.ShaftCell:
		choices := make([]notation.Choice, len(n.Lines))
		notes := make([]source.List, len(n.Lines))
		for i, line := range n.Lines {
			r := w.checker.ChooseLine(line, isUnit)
			it.checked = append(it.checked, r.Asked...)
			choices[i], notes[i] = r.Choice, r.Parsed
		}
		it.choose(choices)
		for i, list := range notes {
			if !isPlain(choices[i]) {
				it.parsed = replaced(it.parsed, n.Lines[i].Span(), list)
			}
		}
	case notation.Stmt:
		r := w.checker.ChooseStmt(n, isUnit)
		it.checked = append(it.checked, r.Asked...)
		it.choose([]notation.Choice{r.Choice})
		if it.read {
			it.parsed = r.Parsed
		}
	}
	if it.symbol != nil {
		it.refreshSymbol()
	}
}

// rereadPlain gives an item the plain reading of its text again.
func (w *Working) rereadPlain(it *item) {
	switch n := it.node.(type) {
	case *notation.ShaftCell:
		it.node, it.parsed = notation.ParseShaft(n.Text)
	case notation.Stmt:
		it.node, it.parsed = notation.RereadStmt(n, notation.Choice{})
	}
	it.uses = it.plainUses
}
