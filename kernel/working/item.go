package working

import (
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/program"
	"shaftbook/kernel/source"
)

// An item is one statement of a working, or a whole shaft cell, with all that
// is known of it. Items outlive edits: a statement whose text has not changed
// keeps its item, and with it its value.
type item struct {
	// from the text
	cell    *cellState
	index   int
	node    notation.Node // a notation.Stmt or *notation.ShaftCell
	key     string        // text of the statement; equal text means equal item
	defines string        // the name it defines, or ""
	uses    []string      // names it needs
	parsed  source.List

	// what its text alone does not decide
	doubtful  bool            // it has to be chosen how it is read
	units     []string        // unit symbols in it that a name of that spelling makes doubtful
	symbols   []string        // these, and the names that together spell one of them
	plainUses []string        // names it needs whatever they are
	only      map[string]bool // symbols that stay units, since the names need this item
	read      bool            // node is not the plain reading of the text
	choice    []notation.Choice

	// train is the shafts that gears join, this one among them, in the order of
	// the lesson; nil if none. They are solved together, so each is evaluated
	// again when another is edited. refused are the gear lines that join nothing,
	// by their number among the gear lines of the cell.
	train   []*item
	refused map[int]refusal

	// what the reader does
	varied    float64 // value of a vary, if hasVaried
	hasVaried bool
	formula   notation.Expr // the value of a vary as it is written or shown
	isShown   bool          // varied is in the slider's unit, which is not known yet; else SI

	// what checking found
	symbol  *check.Symbol // nil if it defines nothing
	info    check.Statement
	checked source.List

	// what findCauses found
	cause     *item       // to blame for what is wrong here; nil if the item is itself, or is right
	causeName string      // what it misses of the cause
	blamed    source.List // errors of others that are mended here

	// the outcome of evaluation
	object           program.Object // the meaning of its name; nil if it failed or defines nothing
	result           Result
	waitsOn          *item // what has no value, so that this one has none; nil if it waits for nothing
	annotation       annotation
	cut              bool      // its evaluation took long and was cut off
	emittedIn        int       // the round of Evaluate in which it was last emitted
	unsent           bool      // the result has changed since it was last emitted
	enclosed         enclosure // of the exact value of its text, found when it is asked for
	stamp, stampedAt int       // see stampOf
	tried            trialsKept
	noise            float64 // first-order bound of the relative rounding error of its number

	// freshness: dirty asks for a new evaluation and recheck for a new check,
	// whether or not a dependency changed; otherwise an item is evaluated again if
	// something it needs has changed since, and checked again if the type of
	// something it needs has.
	dirty, recheck        bool
	evaluatedAt, valueRev int
	checkedAt, typeRev    int
}

// span returns the place of the statement.
func (it *item) span() source.Span { return it.node.Span() }

// readCalc turns the text of a calculation cell into items.
func (w *Working) readCalc(cell *cellState) []*item {
	parsed, list := notation.ParseCellInSteps(cell.text, func() { w.step(readWork) })
	items := make([]*item, 0, len(parsed.Stmts))
	for _, s := range parsed.Stmts {
		w.step(itemWork)
		items = append(items, newItem(cell, s))
	}
	if len(items) == 0 && len(list) > 0 {
		items = append(items, newItem(cell, &notation.BadStmt{}))
	}
	attach(items, list)
	for i, it := range items {
		it.index = i
	}
	return items
}

func newItem(cell *cellState, s notation.Stmt) *item {
	it := &item{cell: cell, node: s, key: s.Span().Content(), dirty: true, recheck: true}
	it.defines = definedName(s)
	it.uses = usedNames(s)
	it.doubts()
	return it
}

// attach gives each diagnostic to the statement that holds it, or to the last
// one that starts before it.
func attach(items []*item, list source.List) {
	for _, d := range list {
		at := 0
		for i, it := range items {
			if s := it.span(); s.IsValid() && s.Start <= d.Span.Start {
				at = i
			}
		}
		items[at].parsed = append(items[at].parsed, d)
	}
}

// readShaft turns the text of a shaft cell into its one item.
func readShaft(cell *cellState) []*item {
	parsed, list := notation.ParseShaft(cell.text)
	it := &item{cell: cell, node: parsed, key: cell.text.Content, parsed: list, dirty: true, recheck: true}
	it.defines = cell.name
	it.uses = usedNames(parsed)
	it.doubts()
	return []*item{it}
}

func definedName(s notation.Stmt) string {
	switch s := s.(type) {
	case *notation.Define:
		return s.Name.Ident
	case *notation.DefineFunc:
		return s.Name.Ident
	case *notation.Vary:
		return s.Name.Ident
	case *notation.Readings:
		return s.Name.Ident
	case *notation.Line:
		return s.Name.Ident
	}
	return ""
}

// usedNames lists every name in a node and is not bound there,
// functions and shafts included.
func usedNames(n notation.Node) []string {
	var names []string
	for _, name := range notation.Uses(n) {
		if !slices.Contains(names, name.Ident) {
			names = append(names, name.Ident)
		}
	}
	return names
}

// needed lists the names the item needs: its own and, for a shaft that gears
// join to others, theirs.
func (it *item) needed() []string {
	names := it.uses
	for _, other := range it.train {
		if other != it {
			names = slices.Concat(names, other.uses)
		}
	}
	return names
}

// markDirty asks for a new check and a new evaluation.
func (it *item) markDirty() { it.dirty, it.recheck = true, true }

// reuse takes over what is known of an old item whose text was the same; only
// its place may have moved.
func (it *item) reuse(old *item) *item {
	from, to := old.span(), it.span()
	move := mover{from: from.Text, to: to.Text, by: to.Start - from.Start}
	parsed := it.parsed
	if old.read {
		parsed = move.list(old.parsed)
	}
	old.cell, old.index, old.node, old.parsed = it.cell, it.index, it.node, parsed
	if old.read {
		old.choose(old.choice)
		old.parsed = parsed
	}
	old.checked, old.blamed = move.list(old.checked), move.list(old.blamed)
	old.result.Diagnostics = move.list(old.result.Diagnostics)
	old.result.Trials = move.trials(old.result.Trials)
	old.result.Index, old.result.Node, old.result.Span = it.index, it.node, to
	if old.symbol != nil {
		old.refreshSymbol()
	}
	return old
}

// refreshSymbol points the symbol at the item's present tree.
func (it *item) refreshSymbol() {
	s := it.symbol
	switch n := it.node.(type) {
	case *notation.Define:
		s.At, s.Expr = n.Name.Span(), n.Expr
	case *notation.DefineFunc:
		s.At, s.Func = n.Name.Span(), n
		if it.object != nil {
			it.object = functionObject(n)
		}
	case *notation.Vary:
		s.At = n.Name.Span()
	case *notation.Readings:
		s.At = n.Name.Span()
	case *notation.Line:
		s.At = n.Name.Span()
	case *notation.ShaftCell:
		s.At = source.Span{Text: n.Text, Start: 0, End: strings.IndexByte(n.Text.Content+"\n", '\n')}
	}
}

// newSymbol returns the symbol an item defines, before it has been checked.
func (it *item) newSymbol() {
	if it.defines == "" {
		return
	}
	it.symbol = &check.Symbol{Ident: it.defines}
	switch it.node.(type) {
	case *notation.DefineFunc:
		it.symbol.Kind = check.Function
	case *notation.ShaftCell:
		it.symbol.Kind = check.ShaftName
	case *notation.Readings:
		it.symbol.Kind = check.ReadingsName
	case *notation.Line:
		it.symbol.Kind = check.LineName
	}
	it.refreshSymbol()
}

func functionObject(n *notation.DefineFunc) program.Object {
	params := make([]string, len(n.Params))
	for i, p := range n.Params {
		params[i] = p.Ident
	}
	return &program.Function{Params: params, Body: n.Body}
}

// A mover moves diagnostics from one text to another by a number of bytes.
type mover struct {
	from, to *source.Text
	by       int
}

func (m mover) span(s source.Span) source.Span {
	if s.Text != m.from {
		return s
	}
	return source.Span{Text: m.to, Start: s.Start + m.by, End: s.End + m.by}
}

// trials moves the places of the changes that trials offer.
func (m mover) trials(t *Trials) *Trials {
	if t == nil {
		return nil
	}
	moved := *t
	for _, fix := range []**source.Fix{&moved.Add, &moved.Clear} {
		if *fix != nil {
			*fix = &source.Fix{Span: m.span((*fix).Span), Text: (*fix).Text}
		}
	}
	if t.Next != nil {
		next := *t.Next
		next.Place, moved.Next = m.span(next.Place), &next
	}
	return &moved
}

func (m mover) list(l source.List) source.List {
	for i := range l {
		d := &l[i]
		d.Span = m.span(d.Span)
		if d.Fix != nil {
			d.Fix = &source.Fix{Span: m.span(d.Fix.Span), Text: d.Fix.Text}
		}
		d.Choices = slices.Clone(d.Choices)
		for j := range d.Choices {
			d.Choices[j].Span = m.span(d.Choices[j].Span)
		}
	}
	return l
}
