package derive

import (
	"cmp"
	"maps"
	"slices"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// maxSwitches bounds the switches of a step that are looked for.
const maxSwitches = 6

// switches lists what changes sign where an expression changes its form: the u
// of |u| and √(u²), the differences of min, max and comparisons. Those inside
// forms that bind a name are left to the integration, but for derivatives at a place.
func switches(list ...notation.Expr) []notation.Expr {
	var out []notation.Expr
	difference := func(at notation.Node, x, y notation.Expr) {
		out = append(out, makerAt(at).sub(makerAt(at).paren(x), makerAt(at).paren(y)))
	}
	for _, e := range list {
		notation.Inspect(e, func(n notation.Node) bool {
			switch n := n.(type) {
			case *notation.Bind:
				if n.Kind == notation.Derivative && isPiecewise(n.Body) {
					out = append(out, switches(put(n.Body, n.Var.Ident, n.From))...)
				}
				return false
			case *notation.Compare:
				for i := range n.Ops {
					difference(n, n.Xs[i], n.Xs[i+1])
				}
			case *notation.Call:
				if n.Fun.Ident == "min" || n.Fun.Ident == "max" {
					for i := range n.Args[1:] {
						difference(n, n.Args[i], n.Args[i+1])
					}
				}
			}
			if e, ok := n.(notation.Expr); ok {
				if u, ok := absoluteOf(e); ok {
					out = append(out, u)
				}
			}
			return true
		})
	}
	return out[:min(len(out), maxSwitches)]
}

// switchSites finds points on both sides of each switch of a step, some of them close to
// it, and the switch itself: from two points of the domain, one name at a time is moved
// over many orders of size.
func (j *judge) switchSites(a, b *statement) []*site {
	var sites []*site
	for _, e := range switches(a.full, b.full) {
		signs := map[int]bool{}
		for i := range 2 {
			from := j.points().site(random, i)
			if from == nil {
				return sites
			}
			for _, n := range notation.FreeNames(e) {
				v := j.scope.variable(n.Ident)
				if v == nil || v.counts {
					continue
				}
				l := ladder{j: j, from: from.point, v: v, e: e}
				sites = append(sites, l.bothSides(signs)...)
				if i == 0 && !v.whole {
					sites = append(sites, l.besideSwitches()...)
				}
			}
		}
	}
	return sites
}

// A ladder moves one name of a point, and looks at the sign of e.
type ladder struct {
	j    *judge
	from point
	v    *variable
	e    notation.Expr
	met  []rung // as they were met
	out  []float64
}

type rung struct {
	x    bigfloat.Value
	sign int
}

func (l *ladder) at(x bigfloat.Value) point {
	p := maps.Clone(l.from)
	p[l.v.name.Ident] = x
	return p
}

// bothSides returns points with each sign of e that was not met before.
func (l *ladder) bothSides(met map[int]bool) []*site {
	var sites []*site
	m := l.j.points()
	b := m.bounds[l.v.name.Ident]
	try := func(f float64) (inDomain bool) {
		value, err := bigfloat.Float(f)
		if err != nil {
			return false
		}
		p := l.at(value)
		if !m.inDomain(p) {
			l.out = append(l.out, f)
			return false
		}
		at, err := l.j.eval.value(l.e, p)
		if err != nil || at.Sign() == 0 {
			return true
		}
		s := at.Sign()
		l.met = append(l.met, rung{value, s})
		if !met[s] {
			met[s] = true
			sites = append(sites, &site{p})
		}
		return true
	}
	for k := -9; k <= 12 && !(met[-1] && met[1] && l.bothMet()); k++ {
		for _, sign := range []float64{1, -1} {
			try(m.ladder(l.v, b, k, sign))
		}
	}
	if !l.bothMet() && len(l.met) > 0 && !l.v.whole {
		slices.SortFunc(l.met, func(a, b rung) int { return cmp.Compare(a.x.Float64(), b.x.Float64()) })
		slices.Sort(l.out)
		first, last := l.met[0].x.Float64(), l.met[len(l.met)-1].x.Float64()
		if i, _ := slices.BinarySearch(l.out, first); i > 0 {
			towardsEdge(first, l.out[i-1], try)
		}
		if i, _ := slices.BinarySearch(l.out, last); i < len(l.out) {
			towardsEdge(last, l.out[i], try)
		}
	}
	return sites
}

// edgeSteps are how often the distance to the edge of the domain is halved.
const edgeSteps = 24

// towardsEdge tries values between one in the domain and one beyond its edge, closer and
// closer to the edge.
func towardsEdge(in, out float64, try func(float64) bool) {
	for range edgeSteps {
		mid := float64(in/2) + float64(out/2)
		if try(mid) {
			in = mid
		} else {
			out = mid
		}
	}
}

func (l *ladder) bothMet() bool {
	return slices.ContainsFunc(l.met, func(r rung) bool { return r.sign > 0 }) && slices.ContainsFunc(l.met, func(r rung) bool { return r.sign < 0 })
}

// besideSwitches returns the places of the name at which e changes its sign between two
// rungs, and points close to them on both sides.
func (l *ladder) besideSwitches() []*site {
	slices.SortFunc(l.met, func(a, b rung) int { return cmp.Compare(a.x.Float64(), b.x.Float64()) })
	var sites []*site
	for i := range l.met {
		if i == 0 || l.met[i].sign == l.met[i-1].sign {
			continue
		}
		root, err := bigfloat.Root(func(x bigfloat.Value) (bigfloat.Value, error) { return l.j.eval.value(l.e, l.at(x)) }, l.met[i-1].x, l.met[i].x)
		if err != nil {
			continue
		}
		for _, part := range []float64{0, 1e-3, -1e-3, 1e-8, -1e-8, 1e-15, -1e-15} {
			x, err := bigfloat.Float(part)
			if err != nil {
				continue
			}
			if x, err = bigfloat.Mul(x, root); err != nil {
				continue
			}
			if x, err = bigfloat.Add(x, root); err != nil {
				continue
			}
			if p := l.at(x); l.j.points().inDomain(p) {
				sites = append(sites, &site{p})
			}
		}
	}
	return sites
}
