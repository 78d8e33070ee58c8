package working

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
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

// The dimensions that the trade's usual symbols have; what follows an underscore
// does not matter. A symbol of another meaning is simply another case of "not
// known".
var usual = map[string]unit.Dimension{
	"T": unit.Base(2, 1, -2), "M": unit.Base(2, 1, -2),
	"L": unit.Base(1, 0, 0), "l": unit.Base(1, 0, 0), "d": unit.Base(1, 0, 0), "D": unit.Base(1, 0, 0), "r": unit.Base(1, 0, 0), "x": unit.Base(1, 0, 0),
	"G": unit.Base(-1, 1, -2), "E": unit.Base(-1, 1, -2), "τ": unit.Base(-1, 1, -2), "σ": unit.Base(-1, 1, -2),
	"J": unit.Base(4, 0, 0), "I": unit.Base(4, 0, 0),
	"θ": {}, "φ": {}, "ϑ": {}, "n": {}, "i": {}, "z": {},
}

func usualDimension(ident string) (unit.Dimension, bool) {
	base, _, _ := strings.Cut(strings.TrimPrefix(ident, "Δ"), "_")
	d, ok := usual[base]
	return d, ok
}

const (
	mostSuspects = 40   // items that are looked at for one set of errors
	mostChecks   = 4000 // statements that are checked again for all suspicions together
)

// A suspicion is a dimension that a name would need for its users to be right.
type suspicion struct {
	of      *item
	dim     unit.Dimension
	settles int // users that would be right then, in error or waiting now
	direct  int // of these, those that are in error themselves
	rank    int
}

// isBetter reports whether a suspicion explains more than another, or as much and is
// likelier.
func (s suspicion) isBetter(than suspicion) bool {
	return s.settles > than.settles || s.settles == than.settles && s.rank > than.rank
}

// blameDimensions looks for one definition whose dimension is to blame for errors
// elsewhere: with another dimension of its name, users that are wrong now would be
// right, and none that is right now would be wrong. It does so until no more such
// definition is found, so that several mistakes are found one by one.
func (w *Working) blameDimensions() {
	left := mostChecks
	for {
		failing := w.failing()
		if len(failing) == 0 {
			return
		}
		best, tied := suspicion{}, false
		suspects := w.needsOf(failing)
		for _, it := range suspects[:min(len(suspects), mostSuspects)] {
			s, ok := w.suspect(it, &left)
			switch {
			case !ok:
			case s.isBetter(best):
				best, tied = s, false
			case !best.isBetter(s):
				tied = true
			}
		}
		if best.of == nil || tied {
			return
		}
		w.blame(best)
	}
}

// failing lists the items with an error of dimensions that nothing is to blame for
// yet.
func (w *Working) failing() []*item {
	var failing []*item
	for _, it := range w.items {
		if it.cause == nil && !it.parsed.HasErrors() && slices.ContainsFunc(it.checked, isDimensional) {
			failing = append(failing, it)
		}
	}
	return failing
}

func isDimensional(d source.Diagnostic) bool {
	return d.Severity == source.Error && (d.Code == check.CodeDimension || d.Code == check.CodeUnitShown || d.Code == check.CodeExponent)
}

// suspect works out whether another dimension of an item's name would settle
// errors of its users.
func (w *Working) suspect(it *item, left *int) (suspicion, bool) {
	if it.symbol == nil || it.symbol.Kind == check.ShaftName || it.blamed.HasErrors() || it.cause != nil || it.parsed.HasErrors() || it.checked.HasErrors() {
		return suspicion{}, false
	}
	isFunction := it.symbol.Kind == check.Function
	if !isFunction && !it.symbol.Type.IsQuantity() {
		return suspicion{}, false
	}
	has := it.symbol.Type.Dim
	wants, known := usualDimension(it.defines)
	if !isFunction && known && wants == has {
		return suspicion{}, false // it is what its symbol says
	}
	given := w.isGiven(it)
	if !given && !known {
		return suspicion{}, false
	}
	users := w.usersOf(it)
	if *left -= 2 * len(users); *left < 0 {
		return suspicion{}, false
	}
	wrong := w.wrongNow(users)
	candidates := []unit.Dimension{}
	if known {
		candidates = append(candidates, wants)
	}
	if given {
		for _, c := range w.suppose(it, unknown, users).clashes {
			if d, ok := solved(c); ok && !slices.Contains(candidates, d) && isNamed(d) {
				candidates = append(candidates, d)
			}
		}
	}
	for _, d := range [...]unit.Dimension{unit.Base(1, 1, -2), unit.Base(2, 1, -2)} {
		if pounds, _ := check.Pounds(definitionOf(it), d); pounds != nil && !slices.Contains(candidates, d) {
			candidates = append(candidates, d)
		}
	}
	best := suspicion{}
	for _, d := range candidates {
		if d == has && !isFunction {
			continue
		}
		if *left -= len(users); *left < 0 {
			break
		}
		s := suspicion{of: it, dim: d}
		then := w.suppose(it, d, users).wrong
		worse := false
		for _, user := range users {
			switch {
			case then[user] && !wrong[user]:
				worse = true
			case wrong[user] && !then[user]:
				s.settles++
				if user.checked.HasErrors() {
					s.direct++
				}
			}
		}
		if worse || s.settles == 0 {
			continue
		}
		if s.rank = rankOf(s, has, known && wants == d, given); s.rank > 0 && s.isBetter(best) {
			best = s
		}
	}
	return best, best.rank > 0
}

// rankOf returns how likely a suspicion is, 0 for not likely enough: a bare number
// that needs the dimension of its symbol comes before a unit that contradicts it,
// and a name without a usual meaning is blamed only if it lacks its unit or
// several lines agree.
func rankOf(s suspicion, has unit.Dimension, isUsual, given bool) int {
	_, known := usualDimension(s.of.defines)
	pounds, _ := check.Pounds(definitionOf(s.of), s.dim)
	switch {
	case pounds != nil || isUsual && given && has.IsNumber():
		return 6
	case isUsual && given:
		return 5
	case isUsual:
		return 4
	case known:
		return 0
	case has.IsNumber():
		return 3
	case s.direct > 1:
		return 2
	}
	return 0
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

func isNamed(d unit.Dimension) bool {
	return !strings.HasPrefix(unit.Describe(d), "a quantity in ")
}

// blame writes the message of a suspicion and lets the users that it settles wait.
func (w *Working) blame(s suspicion) {
	users := w.usersOf(s.of)
	wrong := w.wrongNow(users)
	for user := range w.suppose(s.of, s.dim, users).wrong {
		delete(wrong, user)
	}
	var first source.Span
	for _, user := range users {
		if wrong[user] && user.checked.HasErrors() {
			if !first.IsValid() {
				first = useSpan(user, s.of.defines)
			}
			user.waitFor(s.of, s.of.defines)
		}
	}
	word := strings.TrimPrefix(strings.TrimPrefix(unit.Describe(s.dim), "an "), "a ")
	number := literalOf(s.of)
	of := &s.of.blamed
	if number != nil && s.of.symbol.Type.Dim.IsNumber() && !s.dim.IsNumber() {
		d := of.Addf(number.At, CodeMisfit, "the %s %s has no unit", word, s.of.defines)
		w.offerUnit(d, number, number.At, s)
		return
	}
	if texts, symbol := check.Pounds(definitionOf(s.of), s.dim); texts != nil {
		needed := "a torque"
		if len(texts) == 1 {
			needed = "a force"
		}
		d := check.NeedsWeight(definitionOf(s.of).Span(), fmt.Sprintf("%s is used as %s, and %s is a mass", s.of.defines, needed, symbol), texts)
		d.Code = CodeMisfit
		*of = append(*of, d)
		relateUse(of, first, needed)
		return
	}
	at, is := nameSpan(s.of), "gives"
	switch n := s.of.node.(type) {
	case *notation.Define:
		at = n.Expr.Span()
		if w.isGiven(s.of) {
			is = "is"
		}
	case *notation.DefineFunc:
		at = n.Body.Span()
	}
	if s.of.symbol.Kind == check.Function {
		of.Addf(at, CodeMisfit, "%s is used as %s, and its formula does not give one", s.of.defines, unit.Describe(s.dim)).
			Repair = "look for a factor or a power that is missing or too many"
	} else {
		d := of.Addf(at, CodeMisfit, "%s %s %s here, and is used as %s", s.of.defines, is, unit.Describe(s.of.symbol.Type.Dim), unit.Describe(s.dim))
		d.Repair = "look for a factor or a power that is missing or too many"
		if is == "is" {
			d.Repair = fmt.Sprintf("write it in a unit such as %s", tradeUnit(s.dim))
			switch {
			case s.dim.IsNumber():
				d.Repair = "leave the unit out"
			case number != nil:
				w.offerUnit(d, number, at, s)
			}
		}
	}
	relateUse(of, first, unit.Describe(s.dim))
}

// relateUse points from the last message to the first use, where something is needed.
func relateUse(list *source.List, first source.Span, needed string) {
	if first.IsValid() {
		d := &(*list)[len(*list)-1]
		d.Related = append(d.Related, source.Related{Span: first, Message: needed + " is needed here"})
	}
}

// definitionOf returns the expression that defines an item, nil if there is none.
func definitionOf(it *item) notation.Expr {
	if n, ok := it.node.(*notation.Define); ok {
		return n.Expr
	}
	return nil
}

// offerUnit repairs a given whose number lacks its unit or has a wrong one; at is the
// place of the number with what is to be replaced.
func (w *Working) offerUnit(d *source.Diagnostic, number *notation.Number, at source.Span, s suspicion) {
	u, sure := w.likelyUnit(number.Value, s.dim, s.of)
	d.Repair = fmt.Sprintf("%s %s?", number.At.Content(), u)
	if sure {
		d.Fix = &source.Fix{Span: at, Text: number.At.Content() + " " + u}
		return
	}
	for _, choice := range givenUnits[s.dim] {
		d.Choose(at, number.At.Content()+" "+choice)
	}
}

// givenUnits are the units in which the trade writes givens of a dimension.
var givenUnits = map[unit.Dimension][]string{
	unit.Base(1, 0, 0):   {"mm", "m", "in"},
	unit.Base(2, 1, -2):  {"N·m", "N·mm", "kN·m", "lbf·in"},
	unit.Base(1, 1, -2):  {"N", "kN", "N·m/m", "lbf"},
	unit.Base(-1, 1, -2): {"GPa", "MPa", "psi"},
}

// literalOf returns the number of the literal that defines an item, nil if it is
// defined otherwise.
func literalOf(it *item) *notation.Number {
	n, ok := it.node.(*notation.Define)
	if !ok {
		return nil
	}
	x := notation.Unparen(n.Expr)
	if u, isSign := x.(*notation.Unary); isSign && it.symbol.Type.Dim.IsNumber() {
		x = notation.Unparen(u.X)
	}
	switch x := x.(type) {
	case *notation.Number:
		return x
	case *notation.Quantity:
		return x.Number
	}
	return nil
}

// likelyUnit returns the unit that a bare number of a dimension lacks, and whether
// that is sure: all values of like size (within a factor of 10) that the lesson
// writes in that dimension have this unit.
func (w *Working) likelyUnit(number float64, d unit.Dimension, not *item) (text string, sure bool) {
	text, counted := "", false
	for _, it := range w.items {
		if it == not {
			continue
		}
		notation.Inspect(it.node, func(n notation.Node) bool {
			q, ok := n.(*notation.Quantity)
			if !ok || q.Unit.Unit.Dim != d || number == 0 || q.Number.Value == 0 {
				return true
			}
			if size := math.Abs(q.Number.Value / number); size < 0.1 || size > 10 {
				return true
			}
			switch {
			case !counted:
				text, sure, counted = q.Unit.Text, true, true
			case text != q.Unit.Text:
				sure = false
			}
			return true
		})
	}
	if text == "" {
		text = tradeUnit(d)
	}
	if d == unit.Base(1, 0, 0) && math.Abs(number) < 10 {
		sure = false // L = 1.2 may be metres beside a radius of 5 mm
	}
	return text, sure
}

// tradeUnit returns the unit in which the trade writes a given of a dimension:
// lengths in mm, moduli in GPa.
func tradeUnit(d unit.Dimension) string {
	switch d {
	case unit.Base(1, 0, 0):
		return "mm"
	case unit.Base(-1, 1, -2):
		return "GPa"
	case unit.Base(4, 0, 0):
		return "mm⁴"
	}
	return unit.Choose(1, d, nil, unit.NoHint).Text
}

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
