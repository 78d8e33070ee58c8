package derive

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/elementary"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/unit"
)

// A manner is how values are drawn.
type manner int

const (
	random    manner = iota // all 52 bits, over wide ranges
	readable                // two figures in the reader's units
	nearEqual               // names that are compared lie close together
	atEdge                  // names lie close to their bounds
	wide                    // each name by itself over many orders of size
)

// sampler draws points of the domain. The points at which every step is judged
// depend on the givens only, those that are drawn for one step by itself on its
// lines too: so a step has one verdict, whatever was judged before it.
type sampler struct {
	scope  *scope
	eval   *evaluator
	seed   uint64
	rng    *rand.Rand            // of the step
	rngs   map[manner]*rand.Rand // of the points for every step
	prefer []unit.Unit
	ranks  [][]*variable // names that are compared with each other, in rising order
	bounds map[string]*bound
	sites  map[manner][]*site
}

// A site is a point at which every step is judged.
type site struct{ point point }

// bound is the domain of one name by itself.
type bound struct {
	low, high       float64
	hasLow, hasHigh bool
	lowOpen         bool
}

func newSampler(s *scope, v *evaluator, prefer []unit.Unit) *sampler {
	m := &sampler{scope: s, eval: v, prefer: prefer, rngs: map[manner]*rand.Rand{}, bounds: map[string]*bound{}, sites: map[manner][]*site{}}
	h := fnv.New64a()
	for _, v := range s.vars {
		h.Write([]byte(v.name.Ident + " " + v.dim.String() + "\n"))
	}
	for _, c := range s.domain {
		h.Write([]byte(notation.Print(c) + "\n"))
	}
	m.seed = h.Sum64()
	m.rng = rand.New(rand.NewPCG(m.seed, 1))
	whole := v.whole
	m.readDomain()
	v.whole = whole
	return m
}

// forStep seeds what is drawn for one step by itself.
func (m *sampler) forStep(a, b notation.Expr) {
	h := fnv.New64a()
	h.Write([]byte(notation.Print(a) + "\n" + notation.Print(b)))
	m.rng = rand.New(rand.NewPCG(m.seed, h.Sum64()))
}

// readDomain sorts the comparisons into bounds of one name and orders of names.
// What is neither is honoured by drawing again.
func (m *sampler) readDomain() {
	for _, v := range m.scope.vars {
		m.bounds[v.name.Ident] = &bound{}
	}
	above := map[string][]string{} // name → names that are larger
	for _, c := range m.scope.domain {
		for i, op := range c.Ops {
			x, y := notation.Unparen(c.Xs[i]), notation.Unparen(c.Xs[i+1])
			switch op {
			case notation.OpGreater, notation.OpGreaterEq:
				x, y = y, x
			case notation.OpLess, notation.OpLessEq:
			default:
				continue
			}
			strict := op == notation.OpLess || op == notation.OpGreater
			lower, lowerIsName := x.(*notation.Name)
			upper, upperIsName := y.(*notation.Name)
			lowerIsName = lowerIsName && m.bounds[lower.Ident] != nil
			upperIsName = upperIsName && m.bounds[upper.Ident] != nil
			switch {
			case lowerIsName && upperIsName:
				above[lower.Ident] = append(above[lower.Ident], upper.Ident)
			case upperIsName:
				m.bound(upper.Ident, x, true, strict)
			case lowerIsName:
				m.bound(lower.Ident, y, false, strict)
			}
		}
	}
	m.rank(above)
	m.inherit()
}

// bound takes a numeric bound of one name.
func (m *sampler) bound(ident string, e notation.Expr, isLow, strict bool) {
	m.eval.left = stepNodes
	x, err := m.eval.value(e, point{})
	if err != nil {
		return // depends on other names: honoured by drawing again
	}
	b, f := m.bounds[ident], x.Float64()
	switch {
	case isLow && (!b.hasLow || f >= b.low):
		b.low, b.hasLow, b.lowOpen = f, true, strict
	case !isLow && (!b.hasHigh || f <= b.high):
		b.high, b.hasHigh = f, true
	}
}

// rank groups the names that are compared and sorts each group so that every
// comparison holds if the values rise.
func (m *sampler) rank(above map[string][]string) {
	state := map[string]int{} // 1: being visited, 2: done
	var sorted []string
	var visit func(ident string)
	visit = func(ident string) {
		if state[ident] != 0 {
			return // done, or a circle that no values satisfy
		}
		state[ident] = 1
		for _, next := range above[ident] {
			visit(next)
		}
		state[ident] = 2
		sorted = append(sorted, ident)
	}
	group := map[string]string{}
	var root func(ident string) string
	root = func(ident string) string {
		if group[ident] == "" || group[ident] == ident {
			return ident
		}
		return root(group[ident])
	}
	for _, v := range m.scope.vars {
		visit(v.name.Ident)
		for _, next := range above[v.name.Ident] {
			if a, b := root(v.name.Ident), root(next); a != b {
				group[a] = b
			}
		}
	}
	slices.Reverse(sorted)
	index := map[string]int{}
	for _, ident := range sorted {
		r := root(ident)
		i, known := index[r]
		if !known {
			i = len(m.ranks)
			index[r] = i
			m.ranks = append(m.ranks, nil)
		}
		m.ranks[i] = append(m.ranks[i], m.scope.variable(ident))
	}
}

// inherit passes a lower bound up and an upper bound down each group, so that
// d_1 > d_0 > 0 makes d_1 positive too. Names that are larger than any one of
// the group need not be larger than all, so this only narrows what is drawn.
func (m *sampler) inherit() {
	for _, group := range m.ranks {
		for i := 1; i < len(group); i++ {
			b, below := m.bounds[group[i].name.Ident], m.bounds[group[i-1].name.Ident]
			if !b.hasLow && below.hasLow {
				b.low, b.hasLow, b.lowOpen = below.low, true, below.lowOpen
			}
		}
	}
}

// usual is the range from which values of a dimension are drawn, in SI units;
// common practice, no source.
func usual(d unit.Dimension) (low, high float64) {
	switch d {
	case unit.Dimension{}:
		return 0.2, 5
	case unit.Base(1, 0, 0):
		return 0.02, 0.5
	case unit.Base(2, 0, 0):
		return 1e-4, 1e-1
	case unit.Base(4, 0, 0):
		return 1e-8, 1e-5
	case unit.Base(2, 1, -2):
		return 20, 2000
	case unit.Base(-1, 1, -2):
		return 2e9, 2e11
	case unit.Base(2, 1, -3):
		return 200, 5e4
	case unit.Base(0, 0, -1):
		return 5, 500
	case unit.Base(1, 1, -2):
		return 20, 5000
	}
	return 0.1, 10
}

// tries bounds how often a point is drawn again for the sake of the domain.
const tries = 80

// draw returns a point of the domain, or false if none is found.
func (m *sampler) draw(how manner) (point, bool) { return m.drawFrom(m.rng, how) }

func (m *sampler) drawFrom(rng *rand.Rand, how manner) (point, bool) {
	whole := m.eval.whole
	defer func() { m.eval.whole = whole }() // every step would pay for the first
	for range tries {
		p := m.once(rng, how)
		if m.inDomain(p) {
			return p, true
		}
	}
	return nil, false
}

// site returns the i-th point drawn in a manner, nil if there is none.
func (m *sampler) site(how manner, i int) *site {
	if m.rngs[how] == nil {
		m.rngs[how] = rand.New(rand.NewPCG(m.seed, uint64(how)+2))
	}
	for len(m.sites[how]) <= i {
		p, ok := m.drawFrom(m.rngs[how], how)
		if !ok {
			return nil
		}
		m.sites[how] = append(m.sites[how], &site{p})
	}
	return m.sites[how][i]
}

func (m *sampler) inDomain(p point) bool {
	for _, c := range m.scope.domain {
		m.eval.left = max(m.eval.left, 1000)
		if holds, err := m.eval.truth(c, p); err != nil || !holds {
			return false
		}
	}
	return true
}

func (m *sampler) once(rng *rand.Rand, how manner) point {
	// One scale for each dimension, so that lengths stay comparable.
	scales := map[unit.Dimension]float64{}
	values := map[string]float64{}
	for _, group := range m.ranks {
		list := make([]float64, len(group))
		for i, v := range group {
			if _, known := scales[v.dim]; !known {
				scales[v.dim] = 1
				if how == random && rng.IntN(2) == 0 {
					scales[v.dim] = elementary.Pow(10, float64(6*rng.Float64())-3)
				}
			}
			list[i] = m.one(rng, v, how, scales[v.dim])
		}
		slices.Sort(list)
		for i, v := range group {
			values[v.name.Ident] = list[i]
			if how == nearEqual && i > 0 && list[i-1] != 0 && !v.whole {
				list[i] = list[i-1] + float64(math.Abs(list[i-1])*1e-5*(1+float64(rng.Float64())))
				values[v.name.Ident] = list[i]
			}
		}
	}
	p := point{}
	for ident, f := range values {
		if x, err := bigfloat.Float(f); err == nil {
			p[ident] = x
		}
	}
	return p
}

// one draws a value for one name.
func (m *sampler) one(rng *rand.Rand, v *variable, how manner, scale float64) float64 {
	b := m.bounds[v.name.Ident]
	if v.whole {
		first, many := firstWhole(b)
		if how == wide && !v.counts {
			return first + math.Floor(elementary.Pow(10, 9*rng.Float64()))
		}
		return first + float64(rng.IntN(many))
	}
	low, high := usual(v.dim)
	if v.dim.IsNumber() {
		scale = elementary.Pow(scale, 1.0/3)
	}
	size := low * elementary.Pow(high/low, rng.Float64()) * scale
	if how == atEdge {
		size *= 1e-5
	}
	if how == wide {
		size = math.Sqrt(low*high) * elementary.Pow(10, float64(18*rng.Float64())-9)
	}
	x := size
	switch {
	case b.hasLow && b.hasHigh && b.low <= b.high:
		part := rng.Float64()
		if how == atEdge {
			part = math.Round(part) + float64((0.5-math.Round(part))*2e-5)
		}
		x = b.low + float64((b.high-b.low)*part)
	case b.hasLow:
		x = b.low + size
	case b.hasHigh:
		x = b.high - size
	case rng.IntN(3) == 0 && how != readable, how == wide && rng.IntN(2) == 0:
		x = -size
	}
	if how == readable {
		x = m.readable(v, x)
	}
	return x
}

// firstWhole is the least whole number drawn for a name, and how many are drawn from
// there on: its bounds, where it has them, or else some below 0 and some above it.
func firstWhole(b *bound) (first float64, many int) {
	first, many = -6, 18
	switch {
	case b.hasLow && b.lowOpen:
		first, many = math.Floor(b.low)+1, 12
	case b.hasLow:
		first, many = math.Ceil(b.low), 12
	case b.hasHigh:
		first, many = math.Floor(b.high)-11, 12
	}
	if b.hasLow && b.hasHigh && b.high-first < mostCases {
		many = max(int(math.Floor(b.high)-first)+1, 1)
	}
	return first, many
}

// ladder returns the k-th of values that rise by a factor of 10, counted from
// the lower bound of a name where it has one.
func (m *sampler) ladder(v *variable, b *bound, k int, sign float64) float64 {
	low, high := usual(v.dim)
	size := float64(math.Sqrt(low*high) * elementary.Pow(10, float64(k)) * 1.37)
	switch {
	case v.whole:
		return math.Ceil(math.Max(b.low, 0) + size)
	case b.hasLow && b.hasHigh:
		return b.low + float64((b.high-b.low)*(1+float64(sign*elementary.Pow(10, -math.Abs(float64(k)))))/2)
	case b.hasLow:
		return b.low + size
	case b.hasHigh:
		return b.high - size
	}
	return sign * size
}

// readable rounds a value to two figures in the unit in which it is shown.
func (m *sampler) readable(v *variable, x float64) float64 {
	u := m.unitFor(v, x)
	shown := x / u.Factor
	if shown == 0 {
		return 0
	}
	step := elementary.Pow(10, math.Floor(elementary.Log10(math.Abs(shown)))-1)
	return math.Round(shown/step) * step * u.Factor
}

func (m *sampler) unitFor(v *variable, x float64) unit.Unit {
	if v.unit != nil {
		return *v.unit
	}
	return unit.Choose(x, v.dim, m.prefer, unit.NoHint)
}

// name lists the values of a point that the given lines of a step depend on.
func (m *sampler) named(p point, used map[string]bool) []NamedQuantity {
	var list []NamedQuantity
	for _, v := range m.scope.vars {
		ident := v.name.Ident
		x, ok := p[ident]
		if !ok || !used[ident] {
			continue
		}
		si := x.Float64()
		list = append(list, NamedQuantity{ident, unit.Format(si, m.unitFor(v, si), unit.Rounding{}), si})
	}
	return list
}

var lengthDimension = unit.Base(1, 0, 0)
