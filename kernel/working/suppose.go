package working

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// supposition is a scope in which some names have other types than their lines
// give them: what the lines that use them would be if a line were another.
type supposition struct {
	scope
	symbols map[string]*check.Symbol
}

// Symbol implements check.Scope.
func (s supposition) Symbol(ident string) (*check.Symbol, bool) {
	if symbol, ok := s.symbols[ident]; ok {
		return symbol, true
	}
	return s.scope.Symbol(ident)
}

// An outcome is what checking finds under a supposition.
type outcome struct {
	wrong   map[*item]bool // items in error or waiting for one
	clashes []check.Clash
}

// suppose checks the users of an item as if its name had the dimension d.
// Users are in the order of evaluation.
func (w *Working) suppose(it *item, d unit.Dimension, users []*item) outcome {
	return w.supposeAll(map[*item]unit.Dimension{it: d}, users)
}

// supposeAll checks the users of several items as if the names of these had the given
// dimensions. Users are in the order of evaluation.
func (w *Working) supposeAll(dims map[*item]unit.Dimension, users []*item) outcome {
	s := supposition{scope: scope{w}, symbols: map[string]*check.Symbol{}}
	for it, d := range dims {
		s.symbols[it.defines] = supposed(it, d)
	}
	checker := check.New(s)
	out := outcome{wrong: map[*item]bool{}}
	for _, user := range users {
		info, list := checkWith(checker, user)
		out.clashes = append(out.clashes, checker.Clashes()...)
		wrong := list.HasErrors() || user.parsed.HasErrors() ||
			w.anyNeeded(user, func(needed *item) bool { return out.wrong[needed] })
		if wrong {
			out.wrong[user] = true
		}
		if user.symbol == nil {
			continue
		}
		symbol := *user.symbol
		symbol.Type = info.Type
		if wrong {
			symbol.Type = check.Type{}
		}
		s.symbols[user.defines] = &symbol
	}
	return out
}

// supposed returns the symbol of an item as if its name had the dimension d.
func supposed(it *item, d unit.Dimension) *check.Symbol {
	of := *it.symbol
	typ := check.Type{Kind: check.Number, Dim: d}
	if of.Kind == check.Function {
		of.Result = &typ
		return &of
	}
	if of.Type.Kind == check.Bracket {
		typ.Kind = check.Bracket
	}
	of.Type = typ
	return &of
}

// checkWith checks the node of an item.
func checkWith(c *check.Checker, it *item) (info check.Statement, list source.List) {
	switch n := it.node.(type) {
	case *notation.ShaftCell:
		info.Type, list = c.Shaft(n)
	case notation.Stmt:
		info, list = c.Stmt(n)
	}
	return info, list
}

// usersOf returns the items that need any of these, directly or through others, in the
// order of evaluation.
func (w *Working) usersOf(these ...*item) []*item {
	reached := map[*item]bool{}
	for _, it := range these {
		reached[it] = true
	}
	var users []*item
	for _, n := range w.order {
		user := w.items[n]
		if !reached[user] && w.anyNeeded(user, func(d *item) bool { return reached[d] }) {
			reached[user] = true
			users = append(users, user)
		}
	}
	return users
}

// needsOf returns the items that any of the given ones need, directly or through
// others.
func (w *Working) needsOf(items []*item) []*item {
	reached := map[*item]bool{}
	queue := slices.Clone(items)
	var found []*item
	for len(queue) > 0 {
		it := queue[0]
		queue = queue[1:]
		for _, ident := range it.needed() {
			d := w.definers[ident]
			if len(d) == 0 || reached[d[0]] {
				continue
			}
			reached[d[0]] = true
			found = append(found, d[0])
			queue = append(queue, d[0])
		}
	}
	return found
}

// unknown is a dimension that no quantity of a shaft has. A name that is supposed
// to have it leaves its mark in every clash that depends on the name.
var unknown = unit.Dimension{unit.Luminous: unit.Whole(1)}

// solved returns the dimension of the name that would settle a clash in which the
// unknown occurs: from u^k·a against u^l·b, u = (b/a)^(1/(k−l)).
func solved(c check.Clash) (unit.Dimension, bool) {
	ratio, ok := c.Need.Div(c.Have)
	if !ok {
		return unit.Dimension{}, false
	}
	k := ratio[unit.Luminous]
	if k.IsZero() {
		return unit.Dimension{}, false
	}
	ratio[unit.Luminous] = unit.Rational{}
	inverse, ok := unit.NewRational(-k.Den(), k.Num())
	if !ok {
		return unit.Dimension{}, false
	}
	return ratio.Pow(inverse)
}
