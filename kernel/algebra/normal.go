package algebra

import (
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
	relations map[string]relation
	opaque    map[string]map[string]bool // atom → the names it depends on
	written   map[string]notation.Expr   // root, |x| or function → as an expression, if it is outside forms that bind
	arguments map[string][]Ratio         // of functions and roots, by role
	work      int                        // nodes that may still be visited, see product
	level     int                        // forms that bind a name around the present part
}

func newNormaliser(funcs Functions) *normaliser {
	return &normaliser{funcs: funcs, relations: map[string]relation{}, opaque: map[string]map[string]bool{},
		written: map[string]notation.Expr{}, arguments: map[string][]Ratio{}, work: 20_000}
}

func (n *normaliser) normal(e notation.Expr, depth int) (Ratio, bool) {
	if n.work--; n.work < 0 || depth == 0 {
		return Ratio{}, false
	}
	switch e := e.(type) {
	case *notation.Number:
		r, ok := exactNumber(e)
		return n.polynomial(constant(r)), ok
	case *notation.Quantity:
		return n.quantity(e)
	case *notation.Name:
		return n.polynomial(atomPoly(e.Ident)), true
	case *notation.Paren:
		return n.normal(e.X, depth)
	case *notation.Unary:
		x, ok := n.normal(e.X, depth)
		if ok && e.Op == notation.OpNeg {
			x.num = x.num.scale(big.NewRat(-1, 1))
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
		return n.polynomial(constant(new(big.Rat).Mul(number, orOne(factor)))), ok
	}
	atom := "1 " + e.Unit.Unit.Text
	n.opaque[atom] = map[string]bool{}
	return n.polynomial(atomPoly(atom).scale(number)), true
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
	if x.den.String() == y.den.String() {
		return n.reduced(x.num.add(y.num), x.den)
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
	y.num = y.num.scale(big.NewRat(-1, 1))
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
	out = poly{}
	for key, m := range p {
		replaced := false
		for _, f := range m.factors {
			r, known := n.relations[f.atom]
			if !known || f.exponent < r.order {
				continue
			}
			factors := without(m.factors, []factor{{f.atom, r.order}})
			rest := poly{keyOf(factors): {m.coefficient, factors}}
			product, ok := rest.mul(r.power)
			if !ok {
				return nil, false, false
			}
			out = out.add(product)
			replaced, again = true, true
			break
		}
		if !replaced {
			out.put(p[key])
		}
	}
	return out, again, len(out) <= maxTerms
}

// reduced takes out the single-term factor that numerator and denominator
// share, and makes the denominator's first coefficient 1.
func (n *normaliser) reduced(num, den poly) (Ratio, bool) {
	if den.isZero() {
		return Ratio{}, false
	}
	if num.isZero() {
		return n.polynomial(num), true
	}
	a, b := num.content(), den.content()
	shared := monomial{coefficient: big.NewRat(1, 1)}
	for _, f := range a.factors {
		for _, g := range b.factors {
			if f.atom == g.atom {
				shared.factors = append(shared.factors, factor{f.atom, min(f.exponent, g.exponent)})
			}
		}
	}
	scale := new(big.Rat).Inv(b.coefficient)
	num, den = num.divide(shared).scale(scale), den.divide(shared).scale(scale)
	if num.String() == den.String() {
		return n.polynomial(one()), true
	}
	return Ratio{num, den, n}, true
}
