package algebra

import (
	"math"
	"math/big"
	"strconv"
	"strings"

	"shaftbook/kernel/notation"
)

// A relation is the equation atom^order = power, a polynomial.
type relation struct {
	order int
	power poly
}

// normaliser turns expressions into ratios; its atoms are shared by all ratios
// that are to be compared.
type normaliser struct {
	funcs     Functions
	ids       map[string]int        // of atoms
	names     []string              // of atoms, by id
	opaque    []map[string]bool     // by id: the names that an opaque part depends on, nil for a name
	written   map[int]notation.Expr // root, |x| or function → as an expression, if it is outside forms that bind
	relations map[int]relation
	arguments map[string][]Ratio      // of functions and roots, by role
	met       map[notation.Expr]Ratio // parts that were met before: trees share them
	work      int                     // nodes that may still be visited, see product
	level     int                     // forms that bind a name around the present part
}

func newNormaliser(funcs Functions) *normaliser {
	return &normaliser{funcs: funcs, ids: map[string]int{}, written: map[int]notation.Expr{}, relations: map[int]relation{},
		arguments: map[string][]Ratio{}, met: map[notation.Expr]Ratio{}, work: 20_000}
}

// id returns the number of an atom, or false if there are too many.
func (n *normaliser) id(atom string) (int, bool) {
	id, known := n.ids[atom]
	if known {
		return id, true
	}
	if len(n.names) == maxAtoms {
		return 0, false
	}
	id = len(n.names)
	n.ids[atom] = id
	n.names, n.opaque = append(n.names, atom), append(n.opaque, nil)
	return id, true
}

// indeterminate is the ratio of a name.
func (n *normaliser) indeterminate(ident string) (Ratio, bool) {
	id, ok := n.id(ident)
	return n.power1(id), ok
}

// power1 is an atom as a ratio.
func (n *normaliser) power1(id int) Ratio {
	return n.polynomial(poly{{whole(1), powerOf(id, 1)}})
}

func (n *normaliser) normal(e notation.Expr, depth int) (Ratio, bool) {
	if n.work--; n.work < 0 || depth == 0 {
		return Ratio{}, false
	}
	switch e.(type) {
	case *notation.Paren, *notation.Binary, *notation.Root, *notation.Call, *notation.Bind:
		if r, known := n.met[e]; known {
			return r, true
		}
		r, ok := n.look(e, depth)
		if ok {
			n.met[e] = r
		}
		return r, ok
	}
	return n.look(e, depth)
}

func (n *normaliser) look(e notation.Expr, depth int) (Ratio, bool) {
	switch e := e.(type) {
	case *notation.Number:
		r, ok := exactNumber(e)
		return n.polynomial(constant(rationalFrom(r))), ok
	case *notation.Quantity:
		return n.quantity(e)
	case *notation.Name:
		return n.indeterminate(e.Ident)
	case *notation.Paren:
		return n.normal(e.X, depth)
	case *notation.Unary:
		x, ok := n.normal(e.X, depth)
		if ok && e.Op == notation.OpNeg {
			x.num = x.num.neg()
		}
		return x, ok
	case *notation.Binary:
		return n.binary(e, depth)
	case *notation.Root:
		return n.root(e.X, 2, depth)
	case *notation.Abs:
		return n.function("abs", []notation.Expr{e.X}, e, depth)
	case *notation.Call:
		return n.call(e, depth)
	case *notation.Bind:
		return n.bind(e, depth)
	case *notation.Field, *notation.If:
		return n.verbatim(e)
	}
	return Ratio{}, false
}

func (n *normaliser) polynomial(p poly) Ratio { return Ratio{p, one(), n} }

// exactNumber returns the decimal value of a literal as written.
func exactNumber(e *notation.Number) (*big.Rat, bool) {
	text := notation.Decimal(e.Text)
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		if power, err := strconv.Atoi(text[i+1:]); err != nil || power > 300 || power < -300 {
			return new(big.Rat), false
		}
	}
	r, ok := new(big.Rat).SetString(text)
	if !ok {
		return new(big.Rat), false
	}
	return r, true
}

func (n *normaliser) quantity(e *notation.Quantity) (Ratio, bool) {
	number, ok := exactNumber(e.Number)
	if !ok {
		return Ratio{}, false
	}
	text := strconv.FormatFloat(e.Unit.Unit.Factor, 'g', -1, 64)
	digits := strings.TrimLeft(strings.Replace(strings.SplitN(text, "e", 2)[0], ".", "", 1), "0")
	if len(digits) <= 12 {
		factor, ok := new(big.Rat).SetString(text)
		return n.polynomial(constant(rationalFrom(new(big.Rat).Mul(number, orOne(factor))))), ok
	}
	if part, ok := partOfTurn(e.Unit.Unit.Factor); ok {
		pi, ok := n.id("π")
		return n.polynomial(n.power1(pi).num.scale(rationalFrom(new(big.Rat).Mul(number, part)))), ok
	}
	id, ok := n.id("1 " + e.Unit.Unit.Text)
	if !ok {
		return Ratio{}, false
	}
	n.opaque[id] = map[string]bool{}
	return n.polynomial(n.power1(id).num.scale(rationalFrom(number))), true
}

// partOfTurn returns the fraction r of a unit that is r·π: 1/180 for the degree,
// 1/30 for a turn a minute.
func partOfTurn(factor float64) (*big.Rat, bool) {
	for _, den := range []int64{180, 30, 10800, 648000, 1} {
		for _, num := range []int64{1, 2} {
			if factor == float64(num)*math.Pi/float64(den) || factor == math.Pi/float64(den)*float64(num) {
				return big.NewRat(num, den), true
			}
		}
	}
	return nil, false
}

func orOne(r *big.Rat) *big.Rat {
	if r == nil {
		return big.NewRat(1, 1)
	}
	return r
}

func (n *normaliser) binary(e *notation.Binary, depth int) (Ratio, bool) {
	if e.Op == notation.OpPow {
		return n.power(e, depth)
	}
	x, ok := n.normal(e.X, depth-1)
	if !ok {
		return Ratio{}, false
	}
	y, ok := n.normal(e.Y, depth-1)
	if !ok {
		return Ratio{}, false
	}
	switch e.Op {
	case notation.OpAdd:
		return n.add(x, y)
	case notation.OpSub:
		return n.sub(x, y)
	case notation.OpMul:
		return n.mul(x, y)
	case notation.OpDiv:
		return n.div(x, y)
	}
	return Ratio{}, false
}

func (n *normaliser) add(x, y Ratio) (Ratio, bool) {
	if x.den.equals(y.den) {
		return n.reduced(x.num.add(y.num), x.den)
	}
	if len(x.den) < len(y.den) {
		x, y = y, x
	}
	// The common denominator is the larger one if the other divides it.
	if missing, ok := x.den.over(y.den); ok {
		moved, ok := n.product(y.num, missing)
		if !ok {
			return Ratio{}, false
		}
		return n.reduced(x.num.add(moved), x.den)
	}
	left, ok1 := n.product(x.num, y.den)
	right, ok2 := n.product(y.num, x.den)
	den, ok3 := n.product(x.den, y.den)
	if !ok1 || !ok2 || !ok3 {
		return Ratio{}, false
	}
	return n.reduced(left.add(right), den)
}

func (n *normaliser) sub(x, y Ratio) (Ratio, bool) {
	y.num = y.num.neg()
	return n.add(x, y)
}

func (n *normaliser) mul(x, y Ratio) (Ratio, bool) {
	num, ok1 := n.product(x.num, y.num)
	den, ok2 := n.product(x.den, y.den)
	if !ok1 || !ok2 {
		return Ratio{}, false
	}
	return n.reduced(num, den)
}

func (n *normaliser) div(x, y Ratio) (Ratio, bool) {
	if y.num.isZero() {
		return Ratio{}, false
	}
	return n.mul(x, Ratio{y.den, y.num, n})
}

// product multiplies and applies the relations of the atoms. Every two pairs of
// terms count as a node of the work allowed.
func (n *normaliser) product(p, q poly) (poly, bool) {
	if n.work -= len(p) * len(q) / 2; n.work < 0 {
		return nil, false
	}
	out, ok := p.mul(q)
	for ok {
		var again bool
		out, again, ok = n.applyRelations(out)
		if !again {
			break
		}
	}
	return out, ok
}

// applyRelations replaces one power of an atom in each term that has one.
func (n *normaliser) applyRelations(p poly) (out poly, again, ok bool) {
	if len(n.relations) == 0 {
		return p, false, true
	}
	var kept, changed poly
	for _, m := range p {
		product, found := m.relate(n.relations)
		if !found {
			kept = append(kept, m)
			continue
		}
		replaced, ok := product()
		if !ok {
			return nil, false, false
		}
		changed = changed.add(replaced)
	}
	if len(kept) == len(p) {
		return p, false, true
	}
	out = kept.add(changed)
	return out, true, len(out) <= maxTerms
}

// relate finds the first atom of m whose power a relation replaces.
func (m monomial) relate(relations map[int]relation) (product func() (poly, bool), found bool) {
	m.powers.each(func(atom, exponent int) bool {
		r, known := relations[atom]
		if !known || exponent < r.order {
			return true
		}
		rest, _ := m.powers.over(powerOf(atom, r.order))
		product = func() (poly, bool) { return r.power.times(monomial{m.coefficient, rest}) }
		found = true
		return false
	})
	return product, found
}

// reduced takes out the factor that numerator and denominator share if it is a
// single term or one of the two, and makes the denominator's first coefficient 1.
func (n *normaliser) reduced(num, den poly) (Ratio, bool) {
	if den.isZero() {
		return Ratio{}, false
	}
	if num.isZero() {
		return n.polynomial(nil), true
	}
	shared := num.content().shared(den.content())
	scale := den[0].coefficient.inverse()
	num, den = num.without(shared).scale(scale), den.without(shared).scale(scale)
	if len(den) == 1 {
		return Ratio{num, den, n}, true
	}
	if quotient, ok := num.over(den); ok {
		return n.polynomial(quotient), true
	}
	if quotient, ok := den.over(num); ok {
		scale := quotient[0].coefficient.inverse()
		return Ratio{constant(scale), quotient.scale(scale), n}, true
	}
	return Ratio{num, den, n}, true
}
