package working

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/toposort"
	"shaftbook/kernel/unit"
)

// index derives from the items who defines what and in which order to
// evaluate.
func (w *Working) index() {
	w.items = w.items[:0]
	w.unsure = true
	w.proofs = nil
	w.definers = make(map[string][]*item, len(w.definers))
	number := map[*item]int{}
	for _, c := range w.cells {
		for _, it := range c.items {
			number[it] = len(w.items)
			w.items = append(w.items, it)
			if it.defines != "" {
				w.definers[it.defines] = append(w.definers[it.defines], it)
			}
			if it.symbol == nil {
				it.newSymbol()
			}
		}
	}
	w.joinTrains()
	order, cycles := w.sorted(number)
	w.order = order
	w.nameCycles(cycles, number)
	w.collectPreferred()
}

// sorted orders the items. A symbol that could be a name is left a unit where the
// name would need the item itself.
func (w *Working) sorted(number map[*item]int) (order []int, cycles [][]int) {
	before := make(map[*item]map[string]bool)
	for _, it := range w.items {
		if it.only != nil {
			before[it], it.only = it.only, nil
		}
	}
	for {
		order, cycles = toposort.Order(len(w.items), func(i int) []int { return w.needs(w.items[i], number) })
		if !w.keepUnits(cycles) {
			break
		}
	}
	for _, it := range w.items {
		if (it.only != nil || before[it] != nil) && !maps.Equal(it.only, before[it]) {
			it.markDirty()
		}
	}
	return order, cycles
}

// keepUnits leaves the doubtful symbols on cycles units, and reports whether there
// were any.
func (w *Working) keepUnits(cycles [][]int) bool {
	found := false
	for _, c := range cycles {
		for _, n := range c {
			it := w.items[n]
			for _, s := range it.symbols {
				if len(w.definers[s]) == 0 || it.only[s] || slices.Contains(it.plainUses, s) {
					continue
				}
				if it.only == nil {
					it.only = map[string]bool{}
				}
				it.only[s], found = true, true
			}
		}
	}
	return found
}

func (w *Working) needs(it *item, number map[*item]int) []int {
	var deps []int
	names := it.waitsFor()
	for _, other := range it.train {
		if other != it {
			names = slices.Concat(names, other.waitsFor())
		}
	}
	for _, u := range names {
		if d := w.definers[u]; len(d) > 0 {
			deps = append(deps, number[d[0]])
		}
	}
	return deps
}

// shortened leaves out the middle of the path of a long cycle: each item on it
// prints the path, and what is read is how it begins and closes.
func shortened(path string) string {
	const arrow, head, tail = " → ", 5, 3
	names := strings.Split(path, arrow)
	if len(names) <= head+tail+1 {
		return path
	}
	between := fmt.Sprintf("… %d more …", len(names)-head-tail)
	return strings.Join(slices.Concat(names[:head], []string{between}, names[len(names)-tail:]), arrow)
}

// nameCycles marks the items that are on a cycle or wait for one.
func (w *Working) nameCycles(cycles [][]int, number map[*item]int) {
	before := w.cycles
	w.cycles = map[*item]string{}
	for _, c := range cycles {
		names := make([]string, len(c))
		for i, n := range c {
			names[i] = w.items[n].defines
		}
		path := strings.Join(names, " → ")
		for _, n := range c {
			w.cycles[w.items[n]] = path
		}
	}
	ordered := make([]bool, len(w.items))
	for _, n := range w.order {
		ordered[n] = true
	}
	for n, it := range w.items {
		if !ordered[n] {
			// It has no value now, and nothing may be worked out with the one
			// it had.
			w.order = append(w.order, n)
			it.object = nil
			if it.symbol != nil {
				it.symbol.Type = check.Type{} // nor be checked with the type that it had
			}
			it.markDirty()
		}
		if w.cycles[it] != before[it] {
			it.markDirty()
		}
	}
}

func (w *Working) collectPreferred() {
	var preferred []unit.Unit
	for _, it := range w.items {
		if p, ok := it.node.(*notation.Prefer); ok {
			for _, u := range p.Units {
				preferred = append(preferred, u.Unit)
			}
		}
	}
	if !sameUnits(preferred, w.preferred) {
		w.preferred = preferred
		for _, it := range w.items {
			it.dirty = true
		}
	}
}

func sameUnits(a, b []unit.Unit) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Text != b[i].Text {
			return false
		}
	}
	return true
}
