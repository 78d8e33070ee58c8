package working

import (
	"slices"

	"shaftbook/kernel/check"
	"shaftbook/kernel/unit"
)

// This file finds several givens that are to blame together: of T = 420 and L = 1200,
// both without a unit, neither alone settles T·L/(J·G).

// blameSeveral blames the givens, two or more, whose names must all have their usual
// dimensions for lines that are wrong now to be right. With these no line that is
// right now may be wrong.
func (w *Working) blameSeveral(left *int) {
	failing := w.failing()
	if len(failing) == 0 {
		return
	}
	var suspects []*item
	dims := map[*item]unit.Dimension{}
	for _, it := range w.needsOf(failing) {
		if d, ok := w.isUnusual(it); ok && len(suspects) < mostSuspects {
			suspects = append(suspects, it)
			dims[it] = d
		}
	}
	// What waits for a failing line may need others, as the line that uses J needs G.
	for _, user := range w.usersOf(suspects...) {
		for _, it := range w.needsOf([]*item{user}) {
			if d, ok := w.isUnusual(it); ok && len(suspects) < mostSuspects && !slices.Contains(suspects, it) {
				suspects = append(suspects, it)
				dims[it] = d
			}
		}
	}
	if len(suspects) < 2 {
		return
	}
	slices.SortFunc(suspects, func(a, b *item) int { return w.rank(a) - w.rank(b) })
	users := w.usersOf(suspects...)
	if *left -= (len(suspects) + 2) * len(users); *left < 0 {
		return
	}
	wrong := w.wrongNow(users)
	then := w.supposeAll(dims, users).wrong
	for _, it := range slices.Backward(suspects) {
		d := dims[it]
		delete(dims, it)
		without := w.supposeAll(dims, users).wrong
		if worse(wrong, without) < worse(wrong, then) || len(without) <= len(then) && worse(wrong, without) == worse(wrong, then) {
			then = without
			continue // it may have the dimension that it has
		}
		dims[it] = d
	}
	if len(dims) < 2 || len(then) >= len(wrong) || worse(wrong, then) > 0 {
		return
	}
	for _, it := range suspects {
		if d, ok := dims[it]; ok {
			w.blameFor(suspicion{of: it, dim: d}, w.usersOf(it), then)
		}
	}
}

// rank returns where an item is in the order of evaluation.
func (w *Working) rank(it *item) int {
	return slices.IndexFunc(w.order, func(n int) bool { return w.items[n] == it })
}

// worse counts the items that are wrong then and right now.
func worse(now, then map[*item]bool) int {
	n := 0
	for it := range then {
		if !now[it] {
			n++
		}
	}
	return n
}

// isUnusual reports whether an item is a given whose name has another dimension than
// it usually has, d.
func (w *Working) isUnusual(it *item) (d unit.Dimension, ok bool) {
	if it.symbol == nil || it.symbol.Kind != check.Value || !it.symbol.Type.IsQuantity() || !w.isGiven(it) ||
		it.blamed.HasErrors() || it.cause != nil || it.parsed.HasErrors() || it.checked.HasErrors() {
		return d, false
	}
	d, ok = check.UsualDimension(it.defines)
	return d, ok && d != it.symbol.Type.Dim && literalOf(it) != nil
}
