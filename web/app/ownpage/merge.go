package ownpage

import "slices"

// Merge joins what two windows made of the same blocks. A block that one of them
// changed, added, moved or removed is as that window has it; one that both changed is as
// mine has it, and both is true. What both added at one place is all kept.
func Merge(was, mine, theirs []string) (out []string, both bool) {
	if slices.Equal(mine, theirs) || slices.Equal(was, theirs) {
		return mine, false
	}
	if slices.Equal(was, mine) {
		return theirs, false
	}
	a, b := editsOf(was, mine), editsOf(was, theirs)
	follow(a, b, was)
	follow(b, a, was)
	for i, raw := range was {
		if a.of[i].moved && b.of[i].moved {
			b.drop(raw)
		}
	}
	for i := range len(was) + 1 {
		out = append(out, b.added[i]...)
		for _, raw := range a.added[i] {
			if !slices.Contains(b.added[i], raw) {
				out = append(out, raw)
			}
		}
		if i == len(was) {
			break
		}
		x, y := a.of[i], b.of[i]
		chosen := x
		switch {
		case x == y:
		case x.same(was[i]):
			chosen = y
		case !y.same(was[i]):
			both = true
		}
		if !chosen.removed {
			out = append(out, chosen.raw)
		}
	}
	return out, both
}

// edits is what a window made of blocks: of each block, and what it added above each.
type edits struct {
	of    []edit
	added [][]string // one more than blocks; the last is what was added below all
}

type edit struct {
	raw     string
	removed bool
	moved   bool // removed here, and added as it was somewhere else
}

func (e edit) same(was string) bool { return !e.removed && e.raw == was }

// editsOf compares two lists of blocks. Between blocks that are the same in both, the
// changed ones are paired in their order; what is left over was added or removed, and so
// was what is found as it was at another place.
func editsOf(was, now []string) *edits {
	e := &edits{of: make([]edit, len(was)), added: make([][]string, len(was)+1)}
	i, j := 0, 0
	for _, m := range append(common(was, now), [2]int{len(was), len(now)}) {
		for ; j < m[1]; j++ {
			next := i
			for next < m[0] && slices.Contains(now, was[next]) {
				next++
			}
			if next == m[0] || slices.Contains(was, now[j]) {
				e.added[i] = append(e.added[i], now[j])
				continue
			}
			for ; i < next; i++ {
				e.of[i].removed = true
			}
			e.of[i].raw = now[j]
			i++
		}
		for ; i < m[0]; i++ {
			e.of[i].removed = true
		}
		if j = m[1]; i < len(was) {
			e.of[i].raw = now[j]
			i, j = i+1, j+1
		}
	}
	for i, x := range e.of {
		e.of[i].moved = x.removed && slices.ContainsFunc(e.added, func(list []string) bool { return slices.Contains(list, was[i]) })
	}
	return e
}

// drop takes back one addition of a block.
func (e *edits) drop(raw string) {
	for i, list := range e.added {
		if at := slices.Index(list, raw); at >= 0 {
			e.added[i] = slices.Delete(list, at, at+1)
			return
		}
	}
}

// follow gives the blocks that one window has moved the text that the other one gave
// them, and leaves nothing of them at their old place.
func follow(moving, changing *edits, was []string) {
	for i, x := range moving.of {
		y := changing.of[i]
		if !x.moved || y.removed || y.same(was[i]) {
			continue
		}
		for _, list := range moving.added {
			if at := slices.Index(list, was[i]); at >= 0 {
				list[at], changing.of[i] = y.raw, x
				break
			}
		}
	}
}

// common returns a longest list of pairs of places at which both lists have the same, in
// rising order.
func common(a, b []string) [][2]int {
	first, last := 0, 0
	for first < len(a) && first < len(b) && a[first] == b[first] {
		first++
	}
	for last < len(a)-first && last < len(b)-first && a[len(a)-1-last] == b[len(b)-1-last] {
		last++
	}
	x, y := a[first:len(a)-last], b[first:len(b)-last]
	longest := make([][]int, len(x)+1) // of the pieces from here on
	for i := range longest {
		longest[i] = make([]int, len(y)+1)
	}
	for i := len(x) - 1; i >= 0; i-- {
		for j := len(y) - 1; j >= 0; j-- {
			longest[i][j] = max(longest[i+1][j], longest[i][j+1])
			if x[i] == y[j] {
				longest[i][j] = longest[i+1][j+1] + 1
			}
		}
	}
	var pairs [][2]int
	for i := range first {
		pairs = append(pairs, [2]int{i, i})
	}
	for i, j := 0, 0; i < len(x) && j < len(y); {
		switch {
		case x[i] == y[j]:
			pairs = append(pairs, [2]int{first + i, first + j})
			i, j = i+1, j+1
		case longest[i+1][j] >= longest[i][j+1]:
			i++
		default:
			j++
		}
	}
	for i := last; i > 0; i-- {
		pairs = append(pairs, [2]int{len(a) - i, len(b) - i})
	}
	return pairs
}
