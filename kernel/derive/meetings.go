package derive

import (
	"maps"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// A meeting is places that several names have at once. The value of an earlier one may
// depend on the names of later ones.
type meeting []place

// mostMeetings bounds the meetings of a step.
const mostMeetings = 60

// meetings lists how several names of two lines may meet: all 0, all equal, two 0, three
// equal, two pairs equal, and two pure numbers 1 or −1. A claim may be wrong just there.
func (j *judge) meetings(a, b *statement) []meeting {
	vars := j.variablesOf(a, b)
	if len(vars) < 2 {
		return nil
	}
	var list []meeting
	add := func(m meeting) {
		if len(m) > 1 && len(list) < mostMeetings {
			list = append(list, m)
		}
	}
	number := func(v *variable, n int) place { return place{v.name.Ident, makerAt(v.name).number(n)} }
	allAt := func(list []*variable, n int) (m meeting) {
		for _, v := range list {
			m = append(m, number(v, n))
		}
		return m
	}
	equal := func(list []*variable) (m meeting) {
		for _, v := range list[1:] {
			m = append(m, place{v.name.Ident, list[0].name})
		}
		return m
	}
	add(allAt(vars, 0))
	for i, v := range vars {
		var alike []*variable
		for _, w := range vars[i:] {
			if w.dim == v.dim {
				alike = append(alike, w)
			}
		}
		if i == 0 || len(alike) > 2 {
			add(equal(alike))
		}
	}
	for i, v := range vars {
		for k, w := range vars[i+1:] {
			two := []*variable{v, w}
			if len(vars) > 2 {
				add(allAt(two, 0))
			}
			if v.dim.IsNumber() && w.dim.IsNumber() {
				add(allAt(two, 1))
				add(meeting{number(v, 1), number(w, 0)})
				add(meeting{number(v, 0), number(w, 1)})
				add(allAt(two, -1))
			}
			if v.dim != w.dim {
				continue
			}
			for n, x := range vars {
				for _, y := range vars[n+1:] {
					if n > i && x.dim == y.dim && x != w && y != w {
						add(append(equal(two), equal([]*variable{x, y})...))
					}
				}
			}
			for _, x := range vars[i+k+2:] {
				if x.dim == v.dim && len(vars) > 3 {
					add(equal([]*variable{v, w, x}))
				}
			}
		}
	}
	return list
}

// turningPlaces lists where the difference of two lines may be least or greatest: one
// name after another is where the slope, linear in it, is 0. It begins with each name
// once.
func (j *judge) turningPlaces(a, b *statement) []meeting {
	vars := j.variablesOf(a, b)
	if isCostly(a.full) || isCostly(b.full) || isPiecewise(a.full) || isPiecewise(b.full) {
		return nil
	}
	var list []meeting
	m := makerAt(b.full)
	for first := range vars {
		difference := m.sub(m.paren(b.full), m.paren(a.full))
		var at meeting
		for i := range vars {
			ident := vars[(first+i)%len(vars)].name.Ident
			slope, err := algebra.Derivative(difference, ident, nil)
			if err != nil {
				continue
			}
			where, ok := solved(slope, ident)
			if !ok || size(where, maxNodes/4) > maxNodes/4 {
				continue
			}
			at = append(at, place{ident, where})
			difference = put(difference, ident, where)
			list = append(list, at[:len(at):len(at)])
		}
		if len(list) > mostMeetings {
			break
		}
	}
	return list
}

// pointWith moves names of one of the base points to where they meet, if the domain has
// that.
func (j *judge) pointWith(m meeting, bases []point) (point, bool) {
next:
	for _, from := range bases {
		p := maps.Clone(from)
		for i := len(m) - 1; i >= 0; i-- {
			j.eval.left = max(j.eval.left, 1000)
			x, err := j.eval.value(m[i].at, p)
			if err != nil {
				continue next
			}
			if v := j.scope.variable(m[i].ident); v != nil && v.whole {
				n, ok := x.Whole()
				if !ok {
					continue next
				}
				x = bigfloat.Int(n)
			}
			p[m[i].ident] = x
		}
		if j.inDomainAt(m, p) {
			return p, true
		}
	}
	return nil, false
}

// meetingSites makes points of meetings.
func (j *judge) meetingSites(list []meeting) []*site {
	bases := j.basePoints()
	var sites []*site
	for _, m := range list {
		if p, ok := j.pointWith(m, bases); ok {
			sites = append(sites, &site{p})
		}
	}
	return sites
}

// placed puts a meeting into an expression.
func (m meeting) placed(j *judge, e notation.Expr) notation.Expr {
	for _, l := range m {
		e = j.atPlace(e, l)
	}
	return e
}

// farWholes are tried for a name that a sum or product runs up to, beside the small
// numbers: as many of them as cost farNodes together.
var farWholes = []int64{13, 17, 20, 26, 40, 65, 100, 150, 300, 600, 1000}

const farNodes = 60_000

// farSites makes points with large values of the names up to which sums and products of
// two lines run, one name at a time.
func (j *judge) farSites(a, b *statement) []*site {
	from := j.points().site(random, 0)
	if from == nil || hasEstimate(a.full) || hasEstimate(b.full) {
		return nil
	}
	ends := map[string]bool{}
	for _, e := range []notation.Expr{a.full, b.full} {
		for _, b := range append(binds(e, notation.Sum), binds(e, notation.Product)...) {
			for name := range usedNames(b.From, b.To) {
				ends[name] = true
			}
		}
	}
	terms, left := int64(size(a.full, maxNodes)+size(b.full, maxNodes)), int64(farNodes)
	slow := isSlow(a.full) || isSlow(b.full)
	var sites []*site
	for _, n := range farWholes {
		cost := terms * n
		if slow {
			cost *= n
		}
		for _, v := range j.variablesOf(a, b) {
			if !ends[v.name.Ident] || cost > left {
				continue
			}
			p := maps.Clone(from.point)
			p[v.name.Ident] = bigfloat.Int(n)
			if j.points().inDomain(p) {
				left -= cost
				sites = append(sites, &site{p})
			}
		}
	}
	return sites
}
