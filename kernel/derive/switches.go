package derive

import (
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// maxSwitches bounds the switches of a step that are looked for.
const maxSwitches = 6

// switches lists what changes sign where an expression changes its form: the u
// of |u| and √(u²), the differences of min, max and comparisons. Those inside
// forms that bind a name are left to the integration.
func switches(list ...notation.Expr) []notation.Expr {
	var out []notation.Expr
	difference := func(at notation.Node, x, y notation.Expr) {
		out = append(out, makerAt(at).sub(makerAt(at).paren(x), makerAt(at).paren(y)))
	}
	for _, e := range list {
		notation.Inspect(e, func(n notation.Node) bool {
			switch n := n.(type) {
			case *notation.Bind:
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

// switchSites finds points on both sides of each switch of a step: from two
// points of the domain, one name at a time is moved over many orders of size.
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
				sites = append(sites, j.bothSides(from.point, v, e, signs)...)
			}
		}
	}
	return sites
}

// bothSides returns points with each sign of e that was not met before.
func (j *judge) bothSides(from point, v *variable, e notation.Expr, met map[int]bool) []*site {
	var sites []*site
	b := j.points().bounds[v.name.Ident]
	for k := -9; k <= 12 && !(met[-1] && met[1]); k++ {
		for _, sign := range []float64{1, -1} {
			x := j.points().ladder(v, b, k, sign)
			value, err := bigfloat.Float(x)
			if err != nil {
				continue
			}
			p := point{}
			for ident, old := range from {
				p[ident] = old
			}
			p[v.name.Ident] = value
			if !j.points().inDomain(p) {
				continue
			}
			at, err := j.eval.value(e, p)
			if err != nil {
				continue
			}
			if s := at.Sign(); s != 0 && !met[s] {
				met[s] = true
				sites = append(sites, &site{p})
			}
		}
	}
	return sites
}
