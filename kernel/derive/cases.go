package derive

import (
	"fmt"
	"maps"
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
	"shaftbook/kernel/words"
)

// mostCases bounds the whole numbers that are all tried, and mostCaseNodes the nodes
// of both lines in all cases together.
const (
	mostCases     = 1000
	mostCaseNodes = 100_000
)

// A wholeRange is what the givens say of a whole number by itself; nil is no end.
type wholeRange struct{ low, high *big.Int }

// wholeRanges finds the ends of the given whole numbers: constants, and the ends of
// other whole numbers with which they are compared.
func (j *judge) wholeRanges() map[string]*wholeRange {
	ranges := map[string]*wholeRange{}
	for _, v := range j.scope.vars {
		if v.whole {
			ranges[v.name.Ident] = &wholeRange{}
		}
	}
	for range len(ranges) + 1 {
		for _, c := range j.scope.domain {
			for i, op := range c.Ops {
				narrow(ranges, notation.Unparen(c.Xs[i]), op, notation.Unparen(c.Xs[i+1]))
			}
		}
	}
	return ranges
}

func narrow(ranges map[string]*wholeRange, x notation.Expr, op notation.Op, y notation.Expr) {
	switch op {
	case notation.OpGreater, notation.OpGreaterEq:
		x, y = y, x
	case notation.OpLess, notation.OpLessEq:
	default:
		return
	}
	strict := int64(0)
	if op == notation.OpLess || op == notation.OpGreater {
		strict = 1
	}
	rangeOf := func(e notation.Expr) *wholeRange {
		if n, ok := e.(*notation.Name); ok {
			return ranges[n.Ident]
		}
		return nil
	}
	below, above := rangeOf(x), rangeOf(y)
	moved := func(n *big.Int, by int64) *big.Int { return new(big.Int).Add(n, big.NewInt(by)) }
	if above != nil {
		if low := leastWhole(x, strict); low != nil {
			above.raise(low)
		} else if below != nil && below.low != nil {
			above.raise(moved(below.low, strict))
		}
	}
	if below != nil {
		m := makerAt(y)
		if high := leastWhole(m.neg(m.paren(y)), strict); high != nil {
			below.lower(high.Neg(high))
		} else if above != nil && above.high != nil {
			below.lower(moved(above.high, -strict))
		}
	}
}

func (r *wholeRange) raise(low *big.Int) {
	if r.low == nil || low.Cmp(r.low) > 0 {
		r.low = low
	}
}

func (r *wholeRange) lower(high *big.Int) {
	if r.high == nil || high.Cmp(r.high) < 0 {
		r.high = high
	}
}

// leastWhole is the least whole number from a constant on, or above it if strict is 1.
func leastWhole(e notation.Expr, strict int64) *big.Int {
	r, ok := constantOf(e)
	if !ok {
		return nil
	}
	if r.IsInt() {
		return new(big.Int).Add(r.Num(), big.NewInt(strict))
	}
	floor := new(big.Int).Div(r.Num(), r.Denom()) // Euclidean, so rounded down
	return floor.Add(floor, big.NewInt(1))
}

// count is how many numbers there are, or false if that is not finitely many, or
// more than all cases.
func (r *wholeRange) count() (int, bool) {
	if r.low == nil || r.high == nil {
		return 0, false
	}
	n := new(big.Int).Sub(r.high, r.low)
	n.Add(n, big.NewInt(1))
	if !n.IsInt64() || n.Int64() > mostCases || !r.low.IsInt64() || r.low.CmpAbs(big.NewInt(1e9)) > 0 {
		return 0, false
	}
	return int(max(n.Int64(), 0)), true
}

// cases are the values that the givens leave for the whole numbers of a step.
type cases struct {
	names   []string
	list    []map[string]int64
	onlyThe bool // the lines depend on no other names
}

// casesOf lists the values of those names of two lines that the givens leave finitely
// many whole numbers for; none where there are too many.
func (j *judge) casesOf(a, b *statement) cases {
	ranges := j.wholeRanges()
	all := cases{list: []map[string]int64{{}}, onlyThe: true}
	for _, v := range j.variablesOf(a, b) {
		ident := v.name.Ident
		if ranges[ident] == nil {
			all.onlyThe = false
			continue
		}
		n, finite := ranges[ident].count()
		if !finite || n*len(all.list) > mostCases {
			all.onlyThe = false
			continue
		}
		all.names = append(all.names, ident)
		var longer []map[string]int64
		for _, before := range all.list {
			for i := range n {
				next := maps.Clone(before)
				next[ident] = ranges[ident].low.Int64() + int64(i)
				longer = append(longer, next)
			}
		}
		all.list = longer
	}
	if len(all.names) == 0 {
		return cases{}
	}
	var kept []map[string]int64
	for _, c := range all.list {
		if j.allows(c) {
			kept = append(kept, c)
		}
	}
	all.list = kept
	return all
}

// allows reports whether no comparison of the givens excludes a case by itself.
func (j *judge) allows(values map[string]int64) bool {
	p := pointOf(values)
	for _, c := range j.scope.domain {
		j.eval.left = max(j.eval.left, 1000)
		if holds, err := j.eval.truth(c, p); err == nil && !holds {
			return false
		}
	}
	return true
}

func pointOf(values map[string]int64) point {
	p := point{}
	for ident, n := range values {
		p[ident] = bigfloat.Int(n)
	}
	return p
}

// in puts the values of a case into an expression, and writes sums out.
func (values caseValues) in(e notation.Expr) notation.Expr {
	for ident, n := range values {
		if isFree(e, ident) {
			e = put(e, ident, makerAt(e).number(int(n)))
		}
	}
	return writtenOut(e)
}

type caseValues map[string]int64

// mostWrittenOut bounds the terms of a sum that is written out.
const mostWrittenOut = 200

// writtenOut replaces sums between constants by their terms.
func writtenOut(e notation.Expr) notation.Expr {
	e = notation.Map(e, writtenOut)
	b, ok := e.(*notation.Bind)
	if !ok || b.Kind != notation.Sum {
		return e
	}
	from, ok1 := constantOf(b.From)
	to, ok2 := constantOf(b.To)
	if !ok1 || !ok2 || !from.IsInt() || !to.IsInt() || !from.Num().IsInt64() || !to.Num().IsInt64() {
		return e
	}
	first, last := from.Num().Int64(), to.Num().Int64()
	if last-first >= mostWrittenOut || first < -1e9 || last > 1e9 {
		return e
	}
	m := makerAt(b)
	sum := m.number(0)
	for i := first; i <= last; i++ {
		sum = m.add(sum, m.paren(put(b.Body, b.Var.Ident, m.number(int(i)))))
	}
	return m.paren(sum)
}

// byCases proves that two lines are equal for each of finitely many values.
func (j *judge) byCases(p *prover, a, b *statement, all cases) (how string, proved bool) {
	if len(all.list) == 0 || len(all.list)*(size(a.full, maxNodes)+size(b.full, maxNodes)) > mostCaseNodes {
		return "", false
	}
	defined := all.onlyThe || p.defined(b.full) == nil
	met := 0
	for _, c := range all.list {
		x, y := caseValues(c).in(a.full), caseValues(c).in(b.full)
		if all.onlyThe {
			if _, err := j.eval.value(x, point{}); err != nil {
				if err == errBudget {
					return "", false
				}
				continue // the line above has no value here
			}
			if _, err := j.eval.value(y, point{}); err != nil {
				return "", false
			}
		}
		if equal, decided := algebra.EqualExactly(p.resolve(x), p.resolve(y), nil); !equal || !decided {
			return "", false
		}
		met++
	}
	if met == 0 || !defined {
		return "", false
	}
	return allTried(all), true
}

func allTried(all cases) string {
	if len(all.list) == 1 {
		return "equal by exact algebra for the only value that the givens leave for " + words.And(all.names)
	}
	return fmt.Sprintf("equal by exact algebra for each of the %d values that the givens leave for %s", len(all.list), words.And(all.names))
}

// relatesInCases decides a relation between lines that depend on finitely many whole
// numbers only, by trying all of them. wrong is a case in which it does not hold.
func (j *judge) relatesInCases(a, b *statement, wanted algebra.Sign) (holds bool, wrong point) {
	all := j.casesOf(a, b)
	if !all.onlyThe || len(all.list) == 0 {
		return false, nil
	}
	met := 0
	for _, c := range all.list {
		p := pointOf(c)
		pr, err1, err2 := j.evaluateBoth(p, a, b)
		if err1 != nil && err1 != errBudget {
			continue
		}
		if err1 != nil || err2 != nil {
			return false, nil
		}
		sign := signBetween(pr)
		if equal, decided := algebra.EqualExactly(caseValues(c).in(a.full), caseValues(c).in(b.full), nil); equal && decided {
			sign = algebra.Zero
		}
		switch {
		case sign&wanted == 0:
			return false, p
		case !sign.Within(wanted):
			return false, nil
		}
		met++
	}
	return met > 0 && !hasEstimate(a.full) && !hasEstimate(b.full), nil
}

// hasEstimate reports whether the value of e comes with an estimated error.
func hasEstimate(e notation.Expr) bool {
	return len(find(e, func(b *notation.Bind) bool {
		return b.Kind == notation.Integral || b.Kind == notation.Limit || b.Kind == notation.FindRoot
	})) > 0
}

// caseSites makes points of some of the cases, with the other names as they are at a
// point of the domain.
func (j *judge) caseSites(a, b *statement) []*site {
	all := j.casesOf(a, b)
	var sites []*site
	for _, c := range all.list[:min(len(all.list), 4*Points)] {
		p := pointOf(c)
		if from := j.points().site(random, 0); from != nil {
			p = maps.Clone(from.point)
			maps.Copy(p, pointOf(c))
		}
		if j.points().inDomain(p) {
			sites = append(sites, &site{p})
		}
	}
	return sites
}

// isOpenDomain reports whether the names of two lines vary in a domain that no
// polynomial but 0 vanishes on, as far as a point of it shows: whole numbers without
// an end on one side, and other names with values on both sides.
func (j *judge) isOpenDomain(a, b *statement) bool {
	from := j.points().site(random, 0)
	if from == nil {
		return false
	}
	ranges := j.wholeRanges()
	for _, v := range j.variablesOf(a, b) {
		ident := v.name.Ident
		if v.whole {
			if r := ranges[ident]; r.low != nil && r.high != nil || !j.isBoundedAlone(ident) {
				return false
			}
			continue
		}
		for _, sign := range []float64{1, -1} {
			x := from.point[ident].Float64()
			moved, err := bigfloat.Float(x + float64(sign*1e-9*max(x, -x, 1e-9)))
			p := maps.Clone(from.point)
			if p[ident] = moved; err != nil || !j.points().inDomain(p) {
				return false
			}
		}
	}
	return true
}

// isBoundedAlone reports whether every comparison with a name is one with a constant.
func (j *judge) isBoundedAlone(ident string) bool {
	for _, c := range j.scope.domain {
		if !isFree(c, ident) {
			continue
		}
		for _, x := range c.Xs {
			if _, isName := notation.Unparen(x).(*notation.Name); isFree(x, ident) && !isName {
				return false
			}
			for _, n := range notation.FreeNames(x) {
				if n.Ident != ident && n.Ident != "π" {
					return false
				}
			}
		}
	}
	return true
}
