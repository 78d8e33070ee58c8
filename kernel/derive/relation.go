package derive

import (
	"fmt"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/words"
)

// allowed is the signs that (right side − left side) may have.
var allowed = map[notation.Op]algebra.Sign{
	notation.OpLess: algebra.Positive, notation.OpLessEq: algebra.NonNegative,
	notation.OpGreater: algebra.Negative, notation.OpGreaterEq: algebra.NonPositive,
}

// relates fills the verdict on "a ≤ b" and its kin. It is proved by the sign of
// the difference over the whole domain: as it is, with integrals in closed form,
// or under the integral sign, where an integral is compared as its range times
// its integrand at every place of the range.
func (j *judge) relates(v *Verdict, a, b *statement, op notation.Op) {
	p := newProver(j.scope)
	p.assume(a.full)
	x, y := p.limits(p.closed(p.resolve(a.full))), p.limits(p.closed(p.resolve(b.full)))
	m := makerAt(b.expr)
	difference := m.sub(m.paren(y), m.paren(x))
	wanted := allowed[op]
	unproved := p.defined(b.full)
	switch sign := p.sign(difference); {
	case unproved == nil && sign.Within(wanted):
		v.Kind, v.Exact = Follows, true
		v.Why = "true for all values that the givens allow, by exact algebra"
		return
	case unproved == nil && p.signBounded(difference).Within(wanted):
		v.Kind, v.Exact = Follows, true
		v.Why = "true for all values that the givens allow, since sine and cosine lie between −1 and 1, and an exponential of what is not positive between 0 and 1"
		return
	case sign&wanted == 0:
		v.Exact = true // refuted; a point shows it
	case unproved == nil && j.relatesUnderIntegral(p, a, b, wanted):
		v.Kind, v.Exact = Follows, true
		v.Why = "it holds under the integral sign, at every place of the range and for all values that the givens allow, by exact algebra"
		return
	}
	if holds, wrong := j.relatesInCases(a, b, wanted); holds && unproved == nil {
		v.Kind, v.Exact = Follows, true
		v.Why = "it holds for each of the values that the givens leave"
		return
	} else if wrong != nil {
		j.refute(v, wrong, a, b)
		return
	}
	if wanted&algebra.Zero == 0 {
		if p, found := j.equalAtAPlace(a, b); found {
			j.refute(v, p, a, b)
			v.Why = "it does not hold: the two sides may be equal"
			return
		}
	}
	j.relatesAtPoints(v, &statement{full: x, typ: a.typ}, &statement{full: y, typ: b.typ}, wanted)
}

// relatesUnderIntegral proves a relation between means over the range.
func (j *judge) relatesUnderIntegral(p *prover, a, b *statement, wanted algebra.Sign) bool {
	element := func(e notation.Expr) (notation.Expr, bool) {
		if len(binds(e, notation.Integral)) == 0 {
			return e, !isCostly(e)
		}
		return j.integralElement(e)
	}
	x, ok1 := element(a.full)
	y, ok2 := element(b.full)
	if !ok1 || !ok2 {
		return false
	}
	m := makerAt(b.expr)
	return p.in(share, m.number(0), m.number(1), func() bool {
		difference := m.sub(m.paren(y), m.paren(x))
		return p.defined(x) == nil && p.defined(y) == nil && (p.sign(difference).Within(wanted) || p.signBounded(difference).Within(wanted))
	})
}

// relatesAtPoints tries a relation at many points.
func (j *judge) relatesAtPoints(v *Verdict, a, b *statement, wanted algebra.Sign) {
	j.eval.left = stepNodes
	held, unclear := 0, 0
	var met []*site
	var lastErr error
	// holds tries one point, and reports whether the relation is not refuted there.
	holds := func(s *site, counts bool) bool {
		pr, err1, err2 := j.atSite(s, a, b)
		if err := firstError(err1, err2); err != nil {
			lastErr = err
			return true
		}
		sign := signBetween(pr)
		switch {
		case sign&wanted == 0:
			j.refute(v, s.point, a, b)
			return false
		case sign.Within(wanted):
			held++
			met = append(met, s)
		case counts:
			unclear++
		}
		return true
	}
	for _, try := range []struct {
		how   manner
		count int
	}{{readable, Points}, {random, Points + 2}, {nearEqual, minorPoints}, {atEdge, minorPoints}, {wide, Points}} {
		for i := range try.count {
			if s := j.points().site(try.how, i); s == nil || !holds(s, true) {
				if s != nil {
					return
				}
				break
			}
		}
	}
	for _, list := range [][]*site{j.switchSites(a, b), j.placeSites(a, b), j.meetingSites(j.turningPlaces(a, b)), j.farSites(a, b)} {
		for _, s := range list {
			if !holds(s, false) {
				return
			}
		}
	}
	v.Exact = false
	wrong, touched := j.descend(a, b, wanted, met)
	if wrong != nil {
		j.refute(v, wrong, a, b)
		return
	}
	switch {
	case touched != nil && wanted&algebra.Zero == 0:
		v.Kind, v.Why = Open, "it holds at the points tried, but near "+j.described(touched, a, b)+" the two sides come so close that they may be equal"
	case held >= Points && unclear*2 <= held:
		v.Kind, v.Points = Agrees, held
		v.Why = fmt.Sprintf("it holds at all %d points tried", held)
	case lastErr != nil:
		v.Kind, v.Why = Open, "the two sides cannot be compared in the stated domain: "+describe(lastErr)
	default:
		v.Kind, v.Why = Open, "the two sides lie too close together to be compared"
	}
}

// refute gives a point at which a relation does not hold.
func (j *judge) refute(v *Verdict, p point, a, b *statement) {
	v.Kind, v.Why = Fails, "it does not hold"
	v.Counterexample = j.points().named(p, usedNames(a.full, b.full))
	if pr, err1, err2 := j.evaluateBoth(p, a, b); err1 == nil && err2 == nil {
		v.Above, v.Claimed = j.shownApart(pr.above, pr.claim, a)
	}
}

// described lists the values of a point that two lines depend on.
func (j *judge) described(p point, a, b *statement) string {
	var list []string
	for _, q := range j.points().named(p, usedNames(a.full, b.full)) {
		list = append(list, q.Name+" = "+q.Text)
	}
	return words.And(list)
}

// signBetween is the signs that the right side minus the left side may have.
func signBetween(pr pair) algebra.Sign {
	difference, err := bigfloat.Sub(pr.claim, pr.above)
	switch {
	case err != nil:
		return algebra.AnySign
	case difference.IsZero():
		return algebra.Zero
	case bigfloat.Compare(pr.above, pr.claim, digits, 0) != bigfloat.Apart:
		return algebra.AnySign
	case difference.Sign() > 0:
		return algebra.Positive
	}
	return algebra.Negative
}
