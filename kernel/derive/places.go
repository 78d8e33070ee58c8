package derive

import (
	"maps"
	"math"
	"slices"
	"strings"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// A place is where a name has the value of an expression: an end of its domain, another
// name, 0, or where a line changes its form.
type place struct {
	ident string
	at    notation.Expr
}

// Numbers of places, and of points made of them, that a step is tried at; few where
// each costs an integral or a sum.
const (
	mostPlaces      = 80
	mostPlacePoints = 220
	costlyPoints    = 10
	slowPoints      = 2
)

// placesOf lists the places of the given names of two lines. Those of the givens come
// first, then those at which a line changes its form or a sine its sign.
func (j *judge) placesOf(a, b *statement) []place {
	vars := j.variablesOf(a, b)
	var list []place
	add := func(ident string, at notation.Expr) {
		for _, known := range list {
			if known.ident == ident && notation.Print(known.at) == notation.Print(at) {
				return
			}
		}
		if len(list) < mostPlaces && !isFree(at, ident) {
			list = append(list, place{ident, at})
		}
	}
	crossed := j.crossings(a, b)
	for _, v := range vars {
		for _, c := range j.scope.domain {
			for i := range c.Ops {
				for _, sides := range [][2]notation.Expr{{c.Xs[i], c.Xs[i+1]}, {c.Xs[i+1], c.Xs[i]}} {
					if n, ok := notation.Unparen(sides[0]).(*notation.Name); ok && n.Ident == v.name.Ident {
						add(v.name.Ident, sides[1])
					}
				}
			}
		}
	}
	for _, e := range crossed {
		for _, v := range vars {
			if at, ok := solved(e, v.name.Ident); ok {
				add(v.name.Ident, at)
			}
		}
	}
	for i, v := range vars {
		m := makerAt(v.name)
		for _, w := range vars[i+1:] {
			if v.dim == w.dim {
				add(v.name.Ident, w.name)
			}
		}
		add(v.name.Ident, m.number(0))
		if v.dim.IsNumber() {
			add(v.name.Ident, m.number(1))
			add(v.name.Ident, m.number(-1))
		}
	}
	return list
}

// solved returns where an expression that is linear in a name is 0.
func solved(e notation.Expr, ident string) (notation.Expr, bool) {
	if !isFree(e, ident) || isCostly(e) {
		return nil, false
	}
	slope, err := algebra.Derivative(e, ident, nil)
	if err != nil {
		return nil, false
	}
	m := makerAt(e)
	atZero := put(slope, ident, m.number(0))
	if steady, decided := algebra.EqualExactly(slope, atZero, nil); !steady || !decided {
		return nil, false
	}
	at := m.neg(m.div(m.paren(put(e, ident, m.number(0))), m.paren(atZero)))
	return at, true
}

// mostTurns bounds the quarters of π that the argument of a sine is tried at, on
// either side of 0.
const mostTurns = 4

// crossings lists what is 0 where a line changes its form, beside the switches: at
// steps of floor, ceil and round; where a sum begins to be empty; and at the quarters
// of π of the arguments of sines, cosines and tangents.
func (j *judge) crossings(a, b *statement) []notation.Expr {
	list := switches(a.full, b.full)
	for _, e := range []notation.Expr{a.full, b.full} {
		notation.Inspect(e, func(n notation.Node) bool {
			switch n := n.(type) {
			case *notation.Bind:
				if n.To != nil && (n.Kind == notation.Sum || n.Kind == notation.Product) {
					m := makerAt(n)
					length := m.sub(m.paren(n.To), m.paren(n.From))
					list = append(list, length, m.add(length, m.number(1)), m.add(length, m.number(2)))
				}
				return false
			case *notation.Call:
				if len(n.Args) == 1 && len(list) < mostPlaces {
					list = append(list, crossingsOfCall(n)...)
				}
			}
			return true
		})
	}
	return list
}

func crossingsOfCall(c *notation.Call) []notation.Expr {
	m, u := makerAt(c), makerAt(c).paren(c.Args[0])
	switch c.Fun.Ident {
	case "floor", "ceil":
		return []notation.Expr{u, m.sub(u, m.number(1)), m.add(u, m.number(1))}
	case "round":
		half := m.paren(m.div(m.number(1), m.number(2)))
		return []notation.Expr{m.sub(u, half), m.add(u, half)}
	case "sin", "cos", "tan":
		list := []notation.Expr{u}
		for k := 1; k <= 2*mostTurns; k++ {
			turn := m.paren(m.div(m.mul(m.number(k), m.name("π")), m.number(4)))
			list = append(list, m.sub(u, turn), m.add(u, turn))
		}
		return list
	}
	return nil
}

// basePoints are the points from which one name at a time is moved to its places.
func (j *judge) basePoints() []point {
	var list []point
	for _, how := range []manner{readable, random} {
		for i := range 2 {
			if s := j.points().site(how, i); s != nil {
				list = append(list, s.point)
			}
		}
	}
	return list
}

// pointAt moves a name of one of the base points to a place, if the domain has it.
func (j *judge) pointAt(l place, bases []point) (point, bool) {
	return j.pointWith(meeting{l}, bases)
}

// inDomainAt decides the domain where two sides of a comparison may be equal exactly,
// which the digits of π do not show.
func (j *judge) inDomainAt(m meeting, p point) bool {
	if j.points().inDomain(p) {
		return true
	}
	for _, c := range j.scope.domain {
		for i, op := range c.Ops {
			x, y := c.Xs[i], c.Xs[i+1]
			for _, l := range m {
				x, y = put(x, l.ident, l.at), put(y, l.ident, l.at)
			}
			if equal, decided := algebra.EqualExactly(x, y, nil); equal && decided {
				if op != notation.OpLessEq && op != notation.OpGreaterEq && op != notation.OpEqual {
					return false
				}
				continue
			}
			left, err1 := j.eval.value(c.Xs[i], p)
			right, err2 := j.eval.value(c.Xs[i+1], p)
			if err1 != nil || err2 != nil {
				return false
			}
			if holds, err := compare(op, left, right); err != nil || !holds {
				return false
			}
		}
	}
	return true
}

// sizes are tried for each name by itself, in both signs: many orders of size, and
// closer together where polynomials and exponentials cross.
var sizes = []float64{10, 1000, 0.001, 1e9, 1e-9, 2, 3, 5, 7, 14, 20, 30, 50, 70, 100, 200, 500, 0.5, 0.2, 0.1, 0.05, 0.01,
	1e4, 1e5, 1e6, 1e7, 1e8, 1e10, 1e12, 1e15, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-12}

// placeSites makes points of the places of two lines, of both sides of those where a
// line changes its form, of the middle between neighbours, and of many sizes of each
// name. The points depend on the givens and on the two lines only.
func (j *judge) placeSites(a, b *statement) []*site {
	limit := mostPlacePoints
	switch {
	case isSlow(a.full) || isSlow(b.full):
		limit = slowPoints
	case isCostly(a.full) || isCostly(b.full):
		limit = costlyPoints
	}
	bases := j.basePoints()
	if len(bases) == 0 {
		return nil
	}
	var sites []*site
	add := func(p point) {
		if len(sites) < limit {
			sites = append(sites, &site{p})
		}
	}
	near := map[string][]float64{}
	for _, l := range j.placesOf(a, b) {
		if p, ok := j.pointAt(l, bases); ok {
			add(p)
		}
		if x, err := j.eval.value(l.at, bases[0]); err == nil {
			near[l.ident] = append(near[l.ident], x.Float64())
		}
	}
	if hasLimit(a.full) || hasLimit(b.full) {
		return sites // a limit is known from finite places, which a tiny rate makes too near
	}
	move := func(ident string, x float64) {
		value, err := bigfloat.Float(x)
		if err != nil || len(sites) >= limit {
			return
		}
		p := maps.Clone(bases[0])
		p[ident] = value
		if j.points().inDomain(p) {
			add(p)
		}
	}
	for _, s := range j.meetingSites(j.meetings(a, b)) {
		add(s.point)
	}
	vars := j.variablesOf(a, b)
	for _, v := range vars {
		ident := v.name.Ident
		list := near[ident]
		slices.Sort(list)
		for i, x := range list {
			if v.whole {
				move(ident, math.Round(x)-1)
				move(ident, math.Round(x)+1)
				continue
			}
			for _, part := range []float64{1e-3, -1e-3} {
				move(ident, x+float64(part*max(math.Abs(x), 1e-12)))
			}
			if i > 0 && list[i-1] < x {
				move(ident, float64(list[i-1]/2)+float64(x/2))
			}
		}
	}
	for _, size := range sizes {
		for _, v := range vars {
			x := size
			if !v.dim.IsNumber() {
				low, high := usual(v.dim)
				x *= math.Sqrt(low * high)
			}
			if v.whole && (x != math.Trunc(x) || v.counts && x > 100) {
				continue
			}
			move(v.name.Ident, x)
			move(v.name.Ident, -x)
		}
	}
	return sites
}

// equalAtAPlace finds a point of the domain at which two lines are proved to be equal,
// which refutes a strict bound: both have a value there, and are equal by exact
// algebra once the place is put in.
func (j *judge) equalAtAPlace(a, b *statement) (point, bool) {
	bases := j.basePoints()
	var list []meeting
	for _, l := range j.placesOf(a, b) {
		list = append(list, meeting{l})
	}
	list = append(append(list, j.turningPlaces(a, b)...), j.meetings(a, b)...)
	for _, m := range list {
		x, y := m.placed(j, a.full), m.placed(j, b.full)
		equal, decided := algebra.EqualExactly(x, y, nil)
		if !equal || !decided {
			p := newProver(j.scope)
			if x, y = p.resolve(x), p.resolve(y); !p.sameSquares(x, y) {
				continue
			}
		}
		p, ok := j.pointWith(m, bases)
		if !ok {
			continue
		}
		pr, err1, err2 := j.evaluateBoth(p, a, b)
		if err1 == nil && err2 == nil && bigfloat.Compare(pr.above, pr.claim, digits, 0) != bigfloat.Apart {
			return p, true
		}
	}
	return nil, false
}

// atPlace puts a place into an expression. Sines and cosines of quarters of a turn,
// and integrals of what does not change any more, are worked out.
func (j *judge) atPlace(e notation.Expr, l place) notation.Expr {
	if !isFree(e, l.ident) {
		return e
	}
	var walk func(notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		e = notation.Map(e, walk)
		m := makerAt(e)
		switch e := e.(type) {
		case *notation.Call:
			if len(e.Args) == 1 && (e.Fun.Ident == "sin" || e.Fun.Ident == "cos") {
				if n, ok := quarterTurn(e); ok {
					return m.paren(m.number(n))
				}
			}
		case *notation.Bind:
			if e.Kind != notation.Integral || e.To == nil {
				break
			}
			first := put(e.Body, e.Var.Ident, e.From)
			if equal, decided := algebra.EqualExactly(e.Body, first, nil); equal && decided {
				return m.paren(m.mul(m.paren(first), m.paren(m.sub(m.paren(e.To), m.paren(e.From)))))
			}
		}
		return e
	}
	return walk(put(e, l.ident, l.at))
}

// quarterTurn returns the sine or cosine of a multiple of π/2.
func quarterTurn(c *notation.Call) (int, bool) {
	m := makerAt(c)
	quarters, ok := algebra.Quotient(c.Args[0], m.paren(m.div(m.name("π"), m.number(2))), nil)
	if !ok || !quarters.IsInt() || !quarters.Num().IsInt64() {
		return 0, false
	}
	k := quarters.Num().Int64()
	if strings.HasPrefix(c.Fun.Ident, "cos") {
		k++
	}
	return []int{0, 1, 0, -1}[((k%4)+4)%4], true
}
