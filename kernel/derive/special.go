package derive

import (
	"fmt"
	"math"

	"shaftbook/kernel/bigfloat"
)

// specialCase finds what would have to be so for the step to hold: two names
// equal, or else a name 1 or 0.
func (j *judge) specialCase(a, b *statement) (string, Slip) {
	vars := j.variablesOf(a, b)
	agree, apart := j.sorted(a, b)
	if len(agree) > 0 {
		return whereItHolds(vars, agree, apart), SpecialCase
	}
	for i, x := range vars {
		for _, y := range vars[i+1:] {
			if x.dim != y.dim || x.whole != y.whole {
				continue
			}
			first, second := x.name.Ident, y.name.Ident
			if j.holdsIf(a, b, func(p point) { p[second] = p[first] }) || j.holdsNearly(a, b, first, second) {
				return fmt.Sprintf("it holds if %s = %s, and not in general", first, second), SpecialCase
			}
		}
	}
	for _, n := range []int64{1, 0} {
		for _, x := range vars {
			force := func(p point) { p[x.name.Ident] = bigfloat.Int(n) }
			if (n == 0 || x.dim.IsNumber()) && j.isPossible(force) && j.holdsIf(a, b, force) {
				return fmt.Sprintf("it holds if %s = %d, and not in general", x.name.Ident, n), SpecialCase
			}
		}
	}
	return "", NoSlip
}

// variablesOf lists the given names that two lines depend on.
func (j *judge) variablesOf(a, b *statement) []*variable {
	used := usedNames(a.full, b.full)
	var vars []*variable
	for _, v := range j.scope.vars {
		if used[v.name.Ident] {
			vars = append(vars, v)
		}
	}
	return vars
}

// sorted evaluates the lines at a dozen points and a wide dozen, and returns
// those at which they agree and those at which they do not.
func (j *judge) sorted(a, b *statement) (agree, apart []point) {
	for _, how := range []manner{random, wide} {
		for i := range Points {
			s := j.points().site(how, i)
			if s == nil {
				break
			}
			v, err1, err2 := j.atSite(s, a, b)
			if err1 != nil || err2 != nil || v.above.IsZero() && v.claim.IsZero() {
				continue
			}
			switch bigfloat.Compare(v.above, v.claim, 14, 0) {
			case bigfloat.Agrees:
				agree = append(agree, s.point)
			case bigfloat.Apart:
				apart = append(apart, s.point)
			}
		}
	}
	return agree, apart
}

// whereItHolds describes a step that holds on a part of the domain: by the sign
// of a name, if that tells the two parts apart.
func whereItHolds(vars []*variable, agree, apart []point) string {
	all := func(list []point, ident string, sign int) bool {
		for _, p := range list {
			if p[ident].Sign() != sign {
				return false
			}
		}
		return len(list) > 1
	}
	for _, v := range vars {
		ident := v.name.Ident
		switch {
		case all(agree, ident, 1) && all(apart, ident, -1):
			return fmt.Sprintf("it holds where %s is positive, not where it is negative", ident)
		case all(agree, ident, -1) && all(apart, ident, 1):
			return fmt.Sprintf("it holds where %s is negative, not where it is positive", ident)
		}
	}
	return "it holds in a part of the domain only"
}

// isPossible reports whether the domain allows what a special case asks for.
func (j *judge) isPossible(force func(point)) bool {
	p, ok := j.points().draw(readable)
	if !ok {
		return false
	}
	force(p)
	return j.points().inDomain(p)
}

func (j *judge) holdsIf(a, b *statement, force func(point)) bool {
	agree := 0
	for range 3 {
		p, ok := j.points().draw(readable)
		if !ok {
			return false
		}
		force(p)
		v, err1, err2 := j.evaluateBoth(p, a, b)
		if err1 != nil || err2 != nil || v.above.IsZero() && v.claim.IsZero() {
			return false
		}
		if bigfloat.Compare(v.above, v.claim, 14, 0) != bigfloat.Agrees {
			return false
		}
		agree++
	}
	return agree > 0
}

// holdsNearly is for lines that have no value where two names are equal: the
// two lines must come together as the names do.
func (j *judge) holdsNearly(a, b *statement, x, y string) bool {
	for range 2 {
		p, ok := j.points().draw(readable)
		if !ok {
			return false
		}
		for _, gap := range []float64{1e-3, 1e-6} {
			beside, err := bigfloat.Float(p[x].Float64() * (1 + gap))
			if err != nil {
				return false
			}
			p[y] = beside
			v, err1, err2 := j.evaluateBoth(p, a, b)
			if err1 != nil || err2 != nil || v.above.Sign() == 0 {
				return false
			}
			if math.Abs(v.claim.Float64()/v.above.Float64()-1) > 30*gap {
				return false
			}
		}
	}
	return true
}
