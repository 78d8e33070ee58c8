package working

import (
	"fmt"
	"math"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
	"shaftbook/kernel/words"
)

// This file writes what is said of a definition whose dimension is to blame.

// blame writes the message of a suspicion and lets the users that it settles wait.
func (w *Working) blame(s suspicion) {
	users := w.usersOf(s.of)
	w.blameFor(s, users, w.suppose(s.of, s.dim, users).wrong)
}

// blameFor is blame where still is what stays wrong of the users.
func (w *Working) blameFor(s suspicion, users []*item, still map[*item]bool) {
	wrong := w.wrongNow(users)
	for user := range still {
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
	word := bareWord(s.of.defines, s.dim)
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
		of.Addf(at, CodeMisfit, "%s is used as %s, and its formula does not give one", s.of.defines, check.UsualWord(s.of.defines, s.dim)).
			Repair = "look for a factor or a power that is missing or too many"
	} else {
		d := of.Addf(at, CodeMisfit, "%s %s %s here, and is used as %s", s.of.defines, is, check.WordOf(definitionOf(s.of), s.of.symbol.Type), check.UsualWord(s.of.defines, s.dim))
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
	relateUse(of, first, check.UsualWord(s.of.defines, s.dim))
}

// bareWord returns what a name of a dimension is called, without an article: G is a
// shear modulus rather than a stress.
func bareWord(ident string, d unit.Dimension) string {
	word := check.UsualWord(ident, d)
	return strings.TrimPrefix(strings.TrimPrefix(word, "an "), "a ")
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
	choices := givenUnits[s.dim]
	if sure || len(choices) == 0 {
		d.Repair = fmt.Sprintf("%s %s?", number.At.Content(), u)
		if sure {
			d.Fix = &source.Fix{Span: at, Text: number.At.Content() + " " + u}
		}
		return
	}
	if isLong := s.of.defines[0] == 'L' || s.of.defines[0] == 'l'; isLong && s.dim == unit.Base(1, 0, 0) && math.Abs(number.Value) < 10 {
		choices = []string{"m", "mm", "in"}
	}
	var ways []string
	for _, choice := range choices {
		ways = append(ways, number.At.Content()+" "+choice)
		d.Choose(at, number.At.Content()+" "+choice)
	}
	d.Repair = words.Or(ways) + "?"
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
