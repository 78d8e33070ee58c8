package derive

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
)

// A descent looks for the place at which a relation holds least: where the difference of
// the two sides, over the size of their terms, is smallest. A relation that is violated
// or touched at an odd place only is found so.
type descent struct {
	j      *judge
	a, b   *statement
	wanted algebra.Sign
	wrong  point // where the relation does not hold
}

// Numbers of a descent: points that it begins at, rounds through all names, and halvings
// by the golden section, which place a name to about 8 digits.
const (
	descentStarts = 2
	descentRounds = 3
	goldenSteps   = 42
)

// A depth is how well a relation holds at a point: the share is 0 where the sides are
// equal and at most 1.
type depth struct {
	p     point
	share float64
}

// touching is the share below which two sides are not told from equal ones.
const touching = 1e-12

// descend returns a point at which the relation does not hold, or one in the midst of
// the domain at which its sides are as good as equal; nil where there is none.
func (j *judge) descend(a, b *statement, wanted algebra.Sign, from []*site) (wrong, touched point) {
	if isCostly(a.full) || isCostly(b.full) {
		return nil, nil
	}
	d := &descent{j: j, a: a, b: b, wanted: wanted}
	var starts []depth
	for _, s := range from {
		if share, ok := d.share(s.point); ok {
			starts = append(starts, depth{s.point, share})
		}
	}
	slices.SortStableFunc(starts, func(x, y depth) int { return cmp.Compare(x.share, y.share) })
	for _, at := range starts[:min(len(starts), descentStarts)] {
		for range descentRounds {
			before := at.share
			for _, v := range j.variablesOf(a, b) {
				if !v.whole {
					at = d.along(v.name.Ident, at)
				}
				if d.wrong != nil {
					return d.wrong, nil
				}
				if at.share < touching && d.isInside(v.name.Ident, at) {
					return nil, at.p
				}
			}
			if at.share > before*0.9 {
				break
			}
		}
	}
	return nil, nil
}

// share evaluates both sides, and notes where the relation does not hold.
func (d *descent) share(p point) (float64, bool) {
	if !d.j.points().inDomain(p) {
		return 0, false
	}
	pr, err1, err2 := d.j.evaluateBoth(p, d.a, d.b)
	if err1 != nil || err2 != nil {
		return 0, false
	}
	if signBetween(pr)&d.wanted == 0 {
		d.wrong = p
	}
	difference, err := bigfloat.Sub(pr.claim, pr.above)
	if err != nil {
		return 0, false
	}
	size := d.j.termSize(d.a.full, p) + d.j.termSize(d.b.full, p)
	if size == 0 || math.IsInf(size, 0) || math.IsNaN(size) {
		return 0, false
	}
	share := difference.Float64() / size
	if d.wanted&algebra.Negative != 0 {
		share = -share
	}
	return share, true
}

// moved is the depth once a name is multiplied by exp(s).
func (d *descent) moved(ident string, at depth, s float64) (depth, bool) {
	factor, err := bigfloat.Float(elementary.Exp(s))
	if err != nil {
		return at, false
	}
	x, err := bigfloat.Mul(at.p[ident], factor)
	if err != nil {
		return at, false
	}
	p := maps.Clone(at.p)
	p[ident] = x
	share, ok := d.share(p)
	return depth{p, share}, ok
}

// along moves one name to where the relation holds least around its value, or leaves it.
func (d *descent) along(ident string, at depth) depth {
	steps := []float64{-3, -1.5, -0.6, -0.2, -0.05, 0, 0.05, 0.2, 0.6, 1.5, 3}
	best, found := at, len(steps)/2
	for i, s := range steps {
		if to, ok := d.moved(ident, at, s); ok && to.share < best.share {
			best, found = to, i
		}
		if d.wrong != nil {
			return best
		}
	}
	if found == 0 || found == len(steps)-1 {
		return best
	}
	const golden = 0.6180339887498949
	low, high := steps[found-1], steps[found+1]
	inner := func(part float64) (float64, depth, bool) {
		s := low + float64((high-low)*part)
		to, ok := d.moved(ident, at, s)
		return s, to, ok
	}
	s1, x1, ok1 := inner(1 - golden)
	s2, x2, ok2 := inner(golden)
	for range goldenSteps {
		if !ok1 || !ok2 || d.wrong != nil {
			break
		}
		for _, x := range []depth{x1, x2} {
			if x.share < best.share {
				best = x
			}
		}
		if x1.share < x2.share {
			high, s2, x2 = s2, s1, x1
			s1, x1, ok1 = inner(1 - golden)
		} else {
			low, s1, x1 = s1, s2, x2
			s2, x2, ok2 = inner(golden)
		}
	}
	return best
}

// isInside reports whether the relation holds much better on both sides of a point: it
// is no edge of the domain, and none that is far out.
func (d *descent) isInside(ident string, at depth) bool {
	for _, s := range []float64{-0.1, 0.1} {
		beside, ok := d.moved(ident, at, s)
		if !ok || beside.share < 1e4*math.Max(at.share, touching/1e4) {
			return false
		}
	}
	return true
}

// termSize is the size of the terms of an expression before they cancel; 0 if it has no
// value.
func (j *judge) termSize(e notation.Expr, p point) float64 {
	switch e := notation.Unparen(e).(type) {
	case *notation.Unary:
		return j.termSize(e.X, p)
	case *notation.Binary:
		switch n, whole := exponentOf(e); {
		case e.Op == notation.OpAdd || e.Op == notation.OpSub:
			return j.termSize(e.X, p) + j.termSize(e.Y, p)
		case e.Op == notation.OpMul:
			return float64(j.termSize(e.X, p) * j.termSize(e.Y, p))
		case e.Op == notation.OpDiv:
			if y, err := j.eval.value(e.Y, p); err == nil && y.Sign() != 0 {
				return j.termSize(e.X, p) / math.Abs(y.Float64())
			}
			return 0
		case e.Op == notation.OpPow && whole && n > 0:
			return elementary.Pow(j.termSize(e.X, p), float64(n))
		}
	}
	x, err := j.eval.value(e, p)
	if err != nil {
		return 0
	}
	return math.Abs(x.Float64())
}
