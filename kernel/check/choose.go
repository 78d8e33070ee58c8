package check

import (
	"fmt"
	"slices"
	"strings"

	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// This file chooses between the readings of a statement whose text alone does not
// decide it: whether T is a tesla or the torque T of the lesson. Where one reading
// makes sense it is taken, and a note says so; where several do, the writer is
// asked, with each of them as a repair.

// A Reading is a statement as it is read where names are known.
type Reading[N notation.Node] struct {
	Node   N
	Choice notation.Choice // what was chosen; zero if the text was read as it is
	Parsed source.List     // what reading it so drew; not set for the zero choice
	Asked  source.List     // an error that asks, if several readings make sense
}

// IsPlain reports whether nothing was chosen.
func (r Reading[N]) IsPlain() bool {
	return r.Choice.Names == nil && !r.Choice.Force && !r.Choice.Fraction && !r.Choice.Exp
}

// Stmt chooses the reading of a statement, which was read with the zero Choice.
// Names for which not is true are left units.
func (c *Checker) ChooseStmt(s notation.Stmt, not func(ident string) bool) Reading[notation.Stmt] {
	return choose(c, s, not, notation.RereadStmt, c.senseOfStmt, false)
}

// ChooseLine is ChooseStmt for a line of a shaft cell.
func (c *Checker) ChooseLine(l notation.ShaftLine, not func(ident string) bool) Reading[notation.ShaftLine] {
	return choose(c, l, not, notation.RereadShaftLine, c.senseOfLine, false)
}

// ChooseDerived is ChooseStmt for a line of a derivation. typeOf returns the type of
// a line; where it knows none, a symbol is the name that is given.
func (c *Checker) ChooseDerived(l notation.DeriveLine, typeOf func(notation.DeriveLine) (Type, bool)) Reading[notation.DeriveLine] {
	judge := func(l notation.DeriveLine) sense {
		if d, ok := l.(*notation.DeriveDefine); ok && d.Params != nil {
			f := &notation.DefineFunc{Name: d.Name, Params: d.Params, Body: d.Expr}
			f.At = d.At
			return c.senseOfFunc(f)
		}
		t, ok := typeOf(l)
		if !ok {
			return fails
		}
		return senseOfType(t)
	}
	return choose(c, l, func(string) bool { return false }, notation.RereadDeriveLine, judge, true)
}

// sense is how much sense a reading makes.
type sense int

const (
	fails   sense = iota // it has an error
	unnamed              // of a dimension that the trade has no word for, or not known
	sound
)

// A candidate is one way to read a statement.
type candidate[N notation.Node] struct {
	choice notation.Choice
	node   N
	parsed source.List
	sense  sense
	text   string
}

const mostDoubts = 3 // symbols that are tried one by one

func choose[N notation.Node](c *Checker, n N, not func(string) bool, read func(N, notation.Choice) (N, source.List), judge func(N) sense, preferNames bool) Reading[N] {
	plain := Reading[N]{Node: n}
	doubts := notation.DoubtsOf(n)
	if !doubts.Any() {
		return plain
	}
	names := c.doubtfulNames(n, &doubts, not)
	isE := doubts.E != nil && !c.isKnown(n, "e")
	if len(names) == 0 && doubts.Fraction == nil && !isE && doubts.Pound == nil {
		return plain
	}
	try := func(choice notation.Choice) candidate[N] {
		choice.Pairs = c.pairsOf(n, choice.Names)
		t := candidate[N]{choice: choice}
		t.node, t.parsed = read(n, choice)
		t.text = notation.Print(t.node)
		switch first := t.parsed.FirstError(); {
		case first == nil:
			if t.sense = judge(t.node); t.sense == unnamed && choice.Pairs != nil {
				t.sense = sound // two names are no rarer than a prefix that they spell
			}
		case len(first.Choices) > 0:
			t.sense, t.text = sound, first.Error() // it asks itself
		default:
			t.text = first.Error()
		}
		return t
	}
	var all []candidate[N]
	pairs := len(c.pairsOf(n, toSet(names)))
	for _, set := range subsets(names) {
		if k := len(c.pairsOf(n, set)); k != 0 && k != pairs {
			continue
		}
		for _, fraction := range []bool{false, true} {
			if fraction && doubts.Fraction == nil {
				continue
			}
			t := try(notation.Choice{Names: set, Fraction: fraction, Exp: isE})
			if !slices.ContainsFunc(all, func(o candidate[N]) bool { return o.text == t.text && o.sense >= t.sense }) {
				all = append(all, t)
			}
		}
	}
	best := all[0].sense
	for _, t := range all {
		best = max(best, t.sense)
	}
	if last := all[len(all)-1]; best == fails && preferNames && len(last.choice.Names) > 0 && !last.parsed.HasErrors() {
		best = sound
		all = []candidate[N]{last}
		all[0].sense = sound
	}
	if best == fails {
		if doubts.Pound == nil {
			return plain
		}
		if t := try(notation.Choice{Force: true, Exp: isE}); t.sense != fails && all[0].sense == fails {
			plain.Asked = source.List{poundForForce(doubts.Pound)}
		}
		return plain
	}
	kept := all[:0:0]
	for _, t := range all {
		if t.sense == best {
			kept = append(kept, t)
		}
	}
	if strong := slices.DeleteFunc(slices.Clone(kept), func(t candidate[N]) bool {
		return slices.ContainsFunc(doubts.Weak, func(s string) bool { return t.choice.Names[s] })
	}); len(strong) > 0 {
		kept = strong
	}
	if len(kept) > 1 {
		kept = usualOnes(c, kept)
	}
	if len(kept) > 1 {
		plain.Asked = source.List{asked(c, kept, &doubts)}
		return plain
	}
	t := kept[0]
	r := Reading[N]{Node: t.node, Choice: t.choice, Parsed: t.parsed}
	if r.IsPlain() {
		return plain
	}
	if t.choice.Pairs == nil || !t.parsed.HasErrors() {
		c.noteNames(&r.Parsed, t.choice, &doubts)
	}
	return r
}

// usualOnes returns the readings of a definition that give its name the dimension that
// it usually has, if that tells names from units: L = 1.2 m is a length, whatever the
// name m may be, and φ = 420 N·m·L/(G·J) an angle. It returns all readings otherwise.
func usualOnes[N notation.Node](c *Checker, kept []candidate[N]) []candidate[N] {
	var usual []candidate[N]
	for _, t := range kept {
		d, ok := any(t.node).(*notation.Define)
		if !ok || t.parsed.HasErrors() || t.choice.Fraction != kept[0].choice.Fraction {
			return kept
		}
		wants, known := UsualDimension(d.Name.Ident)
		if info, _ := c.Stmt(d); known && info.Type.Dim == wants {
			usual = append(usual, t)
		}
	}
	if len(usual) == 0 {
		return kept
	}
	return usual
}

// subsets returns the sets of names to try, the empty one first; nil is that set.
func subsets(names []string) []map[string]bool {
	sets := []map[string]bool{nil}
	if len(names) > mostDoubts {
		all := map[string]bool{}
		for _, n := range names {
			all[n] = true
		}
		return append(sets, all)
	}
	for pattern := 1; pattern < 1<<len(names); pattern++ {
		set := map[string]bool{}
		for i, n := range names {
			if pattern>>i&1 == 1 {
				set[n] = true
			}
		}
		sets = append(sets, set)
	}
	return sets
}

// doubtfulNames returns the symbols that are names, of the lesson or bound within
// the statement.
func (c *Checker) doubtfulNames(n notation.Node, doubts *notation.Doubts, not func(string) bool) []string {
	var names []string
	add := func(s string) {
		if not(s) || notation.IsReserved(s) {
			return
		}
		if c.isKnown(n, s) || c.isTwoNames(n, s, not) {
			names = append(names, s)
		}
	}
	for _, s := range doubts.Symbols {
		add(s)
	}
	if len(names) == 0 {
		return nil
	}
	for _, s := range doubts.Common {
		if !slices.Contains(names, s) {
			add(s)
		}
	}
	return names
}

// isTwoNames reports whether a symbol is two names written together, as GJ where G and
// J are known.
func (c *Checker) isTwoNames(n notation.Node, symbol string, not func(string) bool) bool {
	cut := notation.PrefixedPair
	if _, ok := n.(notation.DeriveLine); ok {
		cut = notation.PairOfNames
	}
	first, rest, ok := cut(symbol)
	if !ok {
		return false
	}
	for _, s := range []string{notation.Canonical(first), notation.Canonical(rest)} {
		if not(s) || notation.IsReserved(s) || !c.isKnown(n, s) {
			return false
		}
	}
	return true
}

// pairsOf returns those of the names in a statement or a line of a shaft cell that
// stand for two names, nil if there are none.
func (c *Checker) pairsOf(n notation.Node, names map[string]bool) map[string]bool {
	if _, ok := n.(notation.DeriveLine); ok {
		return nil
	}
	var pairs map[string]bool
	for s := range names {
		if c.isKnown(n, s) {
			continue
		}
		if pairs == nil {
			pairs = map[string]bool{}
		}
		pairs[s] = true
	}
	return pairs
}

// isKnown reports whether a name is defined, or bound in the statement.
func (c *Checker) isKnown(n notation.Node, ident string) bool {
	if s, ok := c.scope.Symbol(ident); ok {
		return !s.HasFields()
	}
	found := false
	notation.Inspect(n, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Bind:
			found = found || n.Var.Ident == ident
		case *notation.Range:
			found = found || n.Var.Ident == ident
		case *notation.ShaftProfile:
			found = found || ident == profileName
		case *notation.DefineFunc:
			for _, p := range n.Params {
				found = found || p.Ident == ident
			}
		case *notation.DeriveDefine:
			for _, p := range n.Params {
				found = found || p.Ident == ident
			}
		}
		return !found
	})
	return found
}

func (c *Checker) senseOfStmt(s notation.Stmt) sense {
	if f, ok := s.(*notation.DefineFunc); ok {
		return c.senseOfFunc(f)
	}
	info, list := c.Stmt(s)
	if list.HasErrors() {
		return fails
	}
	switch s.(type) {
	case *notation.Define, *notation.Show:
		return senseOfType(info.Type)
	}
	return sound
}

func senseOfType(t Type) sense {
	if t.Kind == Truth || t.IsQuantity() && unit.IsNamed(t.Dim) {
		return sound
	}
	return unnamed
}

func (c *Checker) senseOfLine(l notation.ShaftLine) sense {
	c.begin()
	before := c.tolerance
	c.shaftLine(l)
	c.tolerance = before
	if c.list.HasErrors() {
		return fails
	}
	return sound
}

// triedDims are the dimensions of arguments with which the body of a function is
// tried, the likeliest first.
var triedDims = []unit.Dimension{lengthDim, {}, torqueDim, stressDim, unit.Base(1, 1, -2), unit.Base(0, 0, 1), speedDim}

const mostTried = 2 // parameters whose dimensions are tried independently

// senseOfFunc tries the body of a function with arguments of some dimensions.
func (c *Checker) senseOfFunc(f *notation.DefineFunc) sense {
	if _, list := c.Stmt(f); list.HasErrors() {
		return fails
	}
	best, n := fails, 1
	for range min(len(f.Params), mostTried) {
		n *= len(triedDims)
	}
	for i := range n {
		c.begin()
		k := i
		for j, p := range f.Params {
			if j > 0 && j < mostTried {
				k /= len(triedDims)
			}
			c.bind(p.Ident, number(triedDims[k%len(triedDims)]))
		}
		if t := c.quantity(f.Body); !c.list.HasErrors() {
			best = max(best, senseOfType(t))
		}
		if best == sound {
			break
		}
	}
	c.begin()
	free := notation.FreeNames(f.Body)
	for _, p := range f.Params {
		if !slices.ContainsFunc(free, func(n *notation.Name) bool { return n.Ident == p.Ident }) {
			best = min(best, unnamed)
		}
	}
	return best
}

// noteNames says which symbols were taken for names. A note about a product with
// one of them is taken over.
func (c *Checker) noteNames(list *source.List, choice notation.Choice, doubts *notation.Doubts) {
	for _, q := range doubts.Quantities {
		part, ok := firstName(q, choice.Names)
		if !ok {
			continue
		}
		symbol := notation.Canonical(part.Content())
		d := source.Diagnostic{Span: q.At, Code: CodeUnitOrName, Severity: source.Note, Reading: true}
		d.Fix = &source.Fix{Span: q.At, Text: c.asName(q, part)}
		i := slices.IndexFunc(*list, func(o source.Diagnostic) bool {
			return o.Fix != nil && o.Severity == source.Note && o.Span.Start <= q.At.Start && q.At.End <= o.Span.End
		})
		if i >= 0 {
			d.Fix = (*list)[i].Fix
			*list = slices.Delete(*list, i, i+1)
		}
		d.Message = "read as " + strings.TrimSpace(d.Fix.Text) + ": " + symbol + " is " + c.kindOf(symbol) + " here, not a unit"
		if part.Start > q.Unit.At.Start && isGivenAlone(q) {
			d.Fix = nil // 420 N·t may be 420 N·m mistyped
		}
		*list = append(*list, d)
	}
	list.Sort()
}

// isGivenAlone reports whether a quantity is all that a definition has.
func isGivenAlone(q *notation.Quantity) bool {
	text := q.At.Text.Content
	rest, _, _ := strings.Cut(text[q.At.End:], "\n")
	rest, _, _ = strings.Cut(rest, "#")
	return strings.HasSuffix(strings.TrimRight(text[:q.At.Start], " "), "=") && strings.TrimSpace(rest) == ""
}

// productOf returns G·J for GJ where that is two names written together, and a
// symbol that is a name by itself as it is.
func (c *Checker) productOf(symbol string) string {
	first, rest, ok := notation.TwoNames(symbol)
	if !ok {
		return symbol
	}
	for _, s := range []string{symbol, first, rest} {
		if _, known := c.scope.Symbol(notation.Canonical(s)); known == (s == symbol) {
			return symbol
		}
	}
	return first + "·" + rest
}

// kindOf returns what a name is: "a torque" if it has a value, "the product G·J" if it
// is two names, "a name" otherwise.
func (c *Checker) kindOf(ident string) string {
	if product := c.productOf(ident); product != ident {
		return "the product " + product
	}
	s, ok := c.scope.Symbol(ident)
	if !ok || s.Kind != Value || !s.Type.IsQuantity() {
		return "a name"
	}
	return wordOf(s.Type)
}

// firstName returns the first symbol of a unit that is taken for a name.
func firstName(q *notation.Quantity, names map[string]bool) (source.Span, bool) {
	for _, part := range q.Unit.Parts {
		if names[notation.Canonical(part.Content())] {
			return part, true
		}
	}
	return source.Span{}, false
}

// asName writes a quantity so that its unit is a name from part on: 2·T, 18 mm / L.
func (c *Checker) asName(q *notation.Quantity, part source.Span) string {
	text, from := q.At.Content(), q.At.Start
	if product := c.productOf(part.Content()); product != part.Content() {
		end := part.End - from
		text = text[:part.Start-from] + product + text[end:]
	}
	if part.Start == q.Unit.At.Start {
		return q.Number.At.Content() + "·" + text[part.Start-from:]
	}
	before := strings.TrimRight(text[:part.Start-from], " ")
	sign := before[len(strings.TrimRight(before, "/÷·*×⋅∙•∗")):]
	before = strings.TrimSuffix(before, sign)
	for _, p := range q.Unit.Parts {
		if _, known := c.scope.Symbol(notation.Canonical(p.Content())); known && p.Start < part.Start {
			// What stands before would be asked about again.
			number := q.Number.At.Content()
			before = unitAfter(q, number+"·(1 "+strings.TrimSpace(strings.TrimPrefix(before, number))+")")
			break
		}
	}
	return before + " " + sign + " " + text[part.Start-from:]
}

// asUnit writes a quantity so that its unit is one whatever names there are.
func asUnit(q *notation.Quantity) string {
	return unitAfter(q, q.Number.At.Content()+"·(1 "+q.Unit.At.Content()+")")
}

// unitAfter puts a product that takes the place of a quantity in brackets where a
// stroke stands before it.
func unitAfter(q *notation.Quantity, text string) string {
	before := strings.TrimRight(q.At.Text.Content[:q.At.Start], " ")
	if strings.HasSuffix(before, "/") || strings.HasSuffix(before, "÷") {
		return "(" + text + ")"
	}
	return text
}

// asked asks which of several readings is meant.
func asked[N notation.Node](c *Checker, kept []candidate[N], doubts *notation.Doubts) source.Diagnostic {
	at, code := source.Span{}, CodeUnitOrName
	var symbols []string
	for _, t := range kept {
		for s := range t.choice.Names {
			if !slices.Contains(symbols, s) {
				symbols = append(symbols, s)
			}
		}
	}
	slices.Sort(symbols)
	var q *notation.Quantity
	for _, x := range doubts.Quantities {
		if _, ok := firstName(x, toSet(symbols)); ok {
			q = x
			break
		}
	}
	if q != nil {
		at = q.At
	} else {
		at, code = doubts.Fraction.At, notation.TwoReadings
	}
	d := source.Diagnostic{Code: code, Span: at}
	slices.SortStableFunc(kept, func(a, b candidate[N]) int { return made(b.choice) - made(a.choice) })
	for _, t := range kept {
		switch first := t.parsed.FirstError(); {
		case first != nil:
			d.Choices = append(d.Choices, first.Choices...)
		default:
			span, text := c.spelled(&t.choice, q, doubts)
			d.Choose(span, text)
		}
	}
	texts := make([]string, len(d.Choices))
	for i, f := range d.Choices {
		texts[i] = f.Text
	}
	d.Repair = "write " + strings.Join(texts, " or ") + ", whichever is meant"
	d.Message = "this can be read in two ways"
	if q != nil {
		part, _ := firstName(q, toSet(symbols))
		symbol := notation.Canonical(part.Content())
		d.Message = symbol + " is " + c.kindOf(symbol) + " here, and also a unit"
		if name, ok := unit.PrefixedName(symbol); ok && len(kept[0].choice.Pairs) > 0 {
			d.Message += ", the " + name
		}
		if s, ok := c.scope.Symbol(symbol); ok {
			d.Related = relatedTo(s)
		}
	}
	return d
}

// made counts what a choice departs from the plain reading in.
func made(c notation.Choice) int {
	n := 2 * len(c.Names)
	if c.Fraction {
		n++
	}
	return n
}

func toSet(list []string) map[string]bool {
	set := map[string]bool{}
	for _, s := range list {
		set[s] = true
	}
	return set
}

// spelled returns how a reading is written at the place that is asked about.
func (c *Checker) spelled(choice *notation.Choice, q *notation.Quantity, doubts *notation.Doubts) (source.Span, string) {
	if q != nil {
		if part, ok := firstName(q, choice.Names); ok {
			return q.At, c.asName(q, part)
		}
	}
	f := doubts.Fraction
	if f == nil {
		return q.At, asUnit(q)
	}
	y := f.Y.(*notation.Quantity)
	if choice.Fraction {
		return f.At, fmt.Sprintf("(%s/%s)·(1 %s)", f.X.Span().Content(), y.Number.At.Content(), y.Unit.Text)
	}
	if q != nil {
		return f.At, f.X.Span().Content() + "/" + asUnit(y)
	}
	return f.At, fmt.Sprintf("%s/(%s)", f.X.Span().Content(), y.At.Content())
}
