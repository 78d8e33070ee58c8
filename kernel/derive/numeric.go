package derive

import (
	"errors"
	"fmt"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

const (
	digits      = 30 // of agreement, for "follows"
	limitDigits = 20 // where a limit is extrapolated
	minorPoints = 4  // near edges, and with names nearly equal
	seekPoints  = 24 // readable points among which a counterexample is sought
)

// pair is the value of both lines at a point.
type pair struct {
	at           point
	above, claim bigfloat.Value
}

// evaluateBoth evaluates both lines at a point.
func (j *judge) evaluateBoth(p point, a, b *statement) (v pair, errAbove, errClaim error) {
	v.at = p
	v.above, errAbove = j.eval.value(a.full, p)
	v.claim, errClaim = j.eval.value(b.full, p)
	return v, errAbove, errClaim
}

// atSite is at for a point that every step of the derivation is judged at: what
// was found for the line above when it was the claim is used again.
func (j *judge) atSite(s *site, a, b *statement) (v pair, errAbove, errClaim error) {
	v.at = s.point
	v.above, errAbove = j.remembered(s, a)
	v.claim, errClaim = j.remembered(s, b)
	return v, errAbove, errClaim
}

type outcome struct {
	value bigfloat.Value
	err   error
}

func (j *judge) remembered(s *site, l *statement) (bigfloat.Value, error) {
	found, known := l.found[s]
	if !known {
		found.value, found.err = j.eval.value(l.full, s.point)
		if found.err != errBudget && j.ctx.Err() == nil {
			if l.found == nil {
				l.found = map[*site]outcome{}
			}
			l.found[s] = found
		}
	}
	return found.value, found.err
}

// disagrees evaluates an exactly equal pair at a few points all the same, and
// returns a point at which the two certainly differ, if there is one: a root of
// a square may have lost its sign. Integrals and limits are left out.
func (j *judge) disagrees(a, b *statement) *pair {
	if isCostly(a.full) || isCostly(b.full) {
		return nil
	}
	for i := range 2 {
		p := j.points().site(random, i)
		if p == nil {
			return nil
		}
		v, errAbove, errClaim := j.atSite(p, a, b)
		if errAbove == nil && errClaim == nil && bigfloat.Compare(v.above, v.claim, digits, 0) == bigfloat.Apart {
			return &v
		}
	}
	return nil
}

func hasLimit(e notation.Expr) bool { return len(binds(e, notation.Limit)) > 0 }

// isSlow reports whether evaluating e takes a sum or an integral within
// another form.
func isSlow(e notation.Expr) bool {
	inner := func(b *notation.Bind) bool {
		return b.Kind == notation.Sum || b.Kind == notation.Integral || b.Kind == notation.Product
	}
	return len(find(e, func(b *notation.Bind) bool { return b.Kind != notation.Derivative && len(find(b.Body, inner)) > 0 })) > 0
}

func isCostly(e notation.Expr) bool {
	return len(find(e, func(b *notation.Bind) bool { return b.Kind != notation.Derivative })) > 0
}

// A judged step is its two lines, as they are and as they are evaluated.
type judged struct {
	above, claim           *statement
	evalAbove, evalClaimed *statement // equal, with fewer integrals
	step                   *notation.DeriveStep
}

// numerically compares the two lines at many points.
func (j *judge) numerically(v *Verdict, s judged, differs bool) {
	a, b := s.evalAbove, s.evalClaimed
	if a != s.above {
		s.above.closed = a.full
	}
	var seen tally
	used := usedNames(a.full, b.full)
	m := j.points()
	// Readable points first: a counterexample among them is one a reader likes.
	if differs || !isCostly(a.full) && !isCostly(b.full) {
		j.compareAt(&seen, m, readable, seekPoints/4, a, b)
	} else {
		j.compareAt(&seen, m, readable, 2, a, b)
	}
	many, few := Points+2, minorPoints
	if isSlow(a.full) || isSlow(b.full) {
		many, few = FewPoints, 1
	}
	if seen.apart == nil {
		j.compareAt(&seen, m, random, many, a, b)
	}
	// Where a line has no value at some points, others are tried in their place.
	for more := many; seen.none > 0 && seen.random < Points && seen.random > 0 && more < 5*many; more++ {
		j.compareFrom(&seen, m, random, more, more+1, a, b)
	}
	extrapolated := hasLimit(a.full) || hasLimit(b.full)
	if seen.apart == nil && !extrapolated {
		j.compareAt(&seen, m, nearEqual, few, a, b)
		j.compareAt(&seen, m, atEdge, few, a, b)
	}
	if seen.apart == nil && extrapolated {
		j.compareSites(&seen, j.placeSites(a, b), a, b)
	}
	if seen.apart == nil && !extrapolated {
		if !isCostly(a.full) && !isCostly(b.full) {
			j.compareAt(&seen, m, wide, Points, a, b)
		}
		j.compareSites(&seen, j.switchSites(a, b), a, b)
		j.compareSites(&seen, j.caseSites(a, b), a, b)
		j.compareSites(&seen, j.farSites(a, b), a, b)
		unclear := seen.unclear // at these places both lines are often 0
		j.compareSites(&seen, j.placeSites(a, b), a, b)
		seen.unclear = unclear
	}
	if seen.apart == nil && differs {
		j.compareAt(&seen, m, readable, seekPoints, a, b)
	}
	if seen.apart != nil || differs && (seen.agree == 0 || j.isOpenDomain(s.above, s.claim)) {
		j.fail(v, s.above, s.claim, s.step, seen, differs, used)
		return
	}
	if seen.agree == 0 && errors.Is(seen.err, errRoots) {
		if p, no := j.isNoRoot(a.full, b.full); no {
			v.Kind, v.Why = Fails, "there are several roots in the range, and this is none of them"
			if at := j.described(p, a, b); at != "" {
				v.Why += ", as with " + at
			}
			v.Counterexample = m.named(p, used)
			return
		}
	}
	j.conclude(v, seen, isSlow(a.full) || isSlow(b.full), extrapolated)
}

// tally counts what was found at the points of a step.
type tally struct {
	agree, random int // random counts those of agree that are random points
	unclear, none int
	noPoint       bool
	aboveOnly     int // points at which only the line above has a value
	claimOnly     int
	budget, ended bool
	err           error
	apart         *pair
}

func (j *judge) compareAt(seen *tally, m *sampler, how manner, count int, a, b *statement) {
	j.compareFrom(seen, m, how, 0, count, a, b)
}

// compareFrom compares at the points of a manner from one number to before another.
func (j *judge) compareFrom(seen *tally, m *sampler, how manner, first, end int, a, b *statement) {
	for i := first; i < end; i++ {
		if seen.budget || seen.ended || seen.apart != nil {
			return
		}
		p := m.site(how, i)
		if p == nil {
			seen.noPoint = seen.noPoint || how == random || how == readable
			return
		}
		j.compareSite(seen, p, how == random, a, b)
	}
}

func (j *judge) compareSites(seen *tally, sites []*site, a, b *statement) {
	for _, p := range sites {
		if seen.budget || seen.ended || seen.apart != nil {
			return
		}
		j.compareSite(seen, p, false, a, b)
	}
}

func (j *judge) compareSite(seen *tally, p *site, isRandom bool, a, b *statement) {
	v, errAbove, errClaim := j.atSite(p, a, b)
	if err := firstError(errAbove, errClaim); err != nil {
		seen.err = err
		seen.none++
		switch {
		case j.ctx.Err() != nil:
			seen.ended = true
		case err == errBudget:
			seen.budget = true
		case errAbove == nil:
			seen.aboveOnly++
		case errClaim == nil:
			seen.claimOnly++
		}
		return
	}
	wanted := digits
	if hasLimit(a.full) || hasLimit(b.full) {
		wanted = limitDigits
	}
	switch bigfloat.Compare(v.above, v.claim, wanted, 0) {
	case bigfloat.Apart:
		seen.apart = &v
	case bigfloat.Agrees:
		seen.agree++
		if isRandom {
			seen.random++
		}
	case bigfloat.Unclear:
		seen.unclear++
	}
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// conclude returns what agreement at all points is worth.
func (j *judge) conclude(v *Verdict, seen tally, slow, limit bool) {
	wanted := digits
	if limit {
		wanted = limitDigits
	}
	enough := seen.random >= Points || (seen.budget || slow) && seen.random >= FewPoints
	switch {
	case enough && seen.unclear*2 <= seen.agree && seen.aboveOnly == 0:
		v.Kind, v.Points = Agrees, seen.agree
		v.Why = fmt.Sprintf("the two lines agree to %d digits at all %d points tried", wanted, seen.agree)
	case enough && seen.unclear*2 <= seen.agree:
		v.Kind, v.Points = Agrees, seen.agree
		v.Why = fmt.Sprintf("the two lines agree to %d digits at %d points; at some others this line has no value: %s",
			wanted, seen.agree, describe(seen.err))
	case seen.noPoint && seen.agree == 0:
		v.Kind, v.Why = Open, "no values were found that fit the stated domain"
	case seen.ended:
		v.Kind, v.Why = Open, "the judgement was stopped"
	case seen.budget:
		v.Kind, v.Why = Open, "evaluating this step takes too long"
	case seen.agree+seen.unclear == 0 && seen.aboveOnly > 0 && seen.claimOnly == 0:
		v.Kind, v.Why = Open, "this line has no value in the stated domain: "+describe(seen.err)
	case seen.agree+seen.unclear == 0 && seen.claimOnly > 0 && seen.aboveOnly == 0:
		v.Kind, v.Why = Open, "the line above has no value in the stated domain: "+describe(seen.err)
	case seen.agree+seen.unclear == 0:
		v.Kind, v.Why = Open, "the lines cannot be evaluated in the stated domain: "+describe(seen.err)
	default:
		v.Kind = Open
		v.Why = fmt.Sprintf("the two lines agree at %d points of the domain, but not to the %d digits that would settle it", seen.agree+seen.unclear, wanted)
		if seen.none > 0 {
			v.Why += "; elsewhere they have no value: " + describe(seen.err)
		}
	}
}

// fail fills the verdict on a wrong step.
func (j *judge) fail(v *Verdict, a, b *statement, step *notation.DeriveStep, seen tally, exact bool, used map[string]bool) {
	v.Kind, v.Exact = Fails, exact
	if seen.apart != nil {
		m := j.points()
		v.Counterexample = m.named(seen.apart.at, used)
		v.Above, v.Claimed = j.shownApart(seen.apart.above, seen.apart.claim, a)
	}
	words, slip := j.recognise(v, a, b, step, seen.apart)
	v.Slip = slip
	v.Why = words
	if words == "" {
		v.Why = "this line does not equal the line above"
	}
}

func (j *judge) show(x bigfloat.Value, s *statement) string {
	f := x.Float64()
	if x.Sign() == 0 {
		f = 0 // as far as its digits go
	}
	u := unit.Choose(f, s.typ.Dim, j.settings.Prefer, unit.NoHint)
	return unit.Format(f, u, unit.Rounding{})
}

func usedNames(list ...notation.Expr) map[string]bool {
	used := map[string]bool{}
	for _, e := range list {
		for _, n := range notation.FreeNames(e) {
			used[n.Ident] = true
		}
	}
	return used
}
