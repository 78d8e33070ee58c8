package working

import (
	"slices"
	"strings"

	"shaftbook/kernel/check"
	"shaftbook/kernel/source"
	"shaftbook/kernel/unit"
)

// This file finds the definition whose dimension is to blame for errors of the lines
// that use its name.

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
	w.blameSeveral(&left)
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
	wants, known := check.UsualDimension(it.defines)
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
	_, known := check.UsualDimension(s.of.defines)
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

func isNamed(d unit.Dimension) bool {
	return !strings.HasPrefix(unit.Describe(d), "a quantity in ")
}
