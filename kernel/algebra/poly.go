package algebra

import (
	"math/big"
	"sort"
	"strconv"
	"strings"
)

// Limits of exact arithmetic. Past them an answer is "undecided", so that no
// expression can make it run away.
const (
	maxTerms  = 2000
	maxDegree = 64
	maxBits   = 4096 // of a coefficient
)

// A factor is a power of an indeterminate, exponent ≥ 1.
type factor struct {
	atom     string
	exponent int
}

// A monomial is a coefficient times factors, sorted by atom.
type monomial struct {
	coefficient *big.Rat
	factors     []factor
}

// A poly is a polynomial: its monomials by the key of their factors. Polys are
// not changed once made.
type poly map[string]monomial

func keyOf(factors []factor) string {
	var b strings.Builder
	for _, f := range factors {
		b.WriteString(f.atom)
		b.WriteByte(0)
		b.WriteString(strconv.Itoa(f.exponent))
		b.WriteByte(1)
	}
	return b.String()
}

func constant(r *big.Rat) poly {
	if r.Sign() == 0 {
		return poly{}
	}
	return poly{"": {coefficient: r}}
}

func one() poly { return constant(big.NewRat(1, 1)) }

func atomPoly(atom string) poly {
	f := []factor{{atom, 1}}
	return poly{keyOf(f): {big.NewRat(1, 1), f}}
}

func (p poly) isZero() bool { return len(p) == 0 }

// constantValue returns the value of a polynomial without indeterminates.
func (p poly) constantValue() (*big.Rat, bool) {
	switch len(p) {
	case 0:
		return new(big.Rat), true
	case 1:
		m, ok := p[""]
		return m.coefficient, ok
	}
	return nil, false
}

// keys returns the keys in order, so that results do not depend on chance.
func (p poly) keys() []string {
	list := make([]string, 0, len(p))
	for k := range p {
		list = append(list, k)
	}
	sort.Strings(list)
	return list
}

func (p poly) String() string {
	var b strings.Builder
	for _, k := range p.keys() {
		b.WriteString("+" + p[k].coefficient.RatString())
		for _, f := range p[k].factors {
			b.WriteString("·" + f.atom + "^" + strconv.Itoa(f.exponent))
		}
	}
	return b.String()
}

func (p poly) put(m monomial) {
	key := keyOf(m.factors)
	if old, ok := p[key]; ok {
		m.coefficient = new(big.Rat).Add(old.coefficient, m.coefficient)
	}
	if m.coefficient.Sign() == 0 {
		delete(p, key)
		return
	}
	p[key] = m
}

func (p poly) add(q poly) poly {
	sum := make(poly, len(p)+len(q))
	for k, m := range p {
		sum[k] = m
	}
	for _, m := range q {
		sum.put(m)
	}
	return sum
}

func (p poly) scale(r *big.Rat) poly {
	out := make(poly, len(p))
	if r.Sign() == 0 {
		return out
	}
	for k, m := range p {
		out[k] = monomial{new(big.Rat).Mul(m.coefficient, r), m.factors}
	}
	return out
}

// mul returns the product, or false if it passes a limit.
func (p poly) mul(q poly) (poly, bool) {
	if len(p)*len(q) > 50*maxTerms {
		return nil, false
	}
	out := make(poly, len(p)+len(q))
	for _, m := range p {
		for _, n := range q {
			factors, degree := mergeFactors(m.factors, n.factors)
			if degree > maxDegree {
				return nil, false
			}
			c := new(big.Rat).Mul(m.coefficient, n.coefficient)
			if c.Num().BitLen() > maxBits || c.Denom().BitLen() > maxBits {
				return nil, false
			}
			out.put(monomial{c, factors})
		}
		if len(out) > maxTerms {
			return nil, false
		}
	}
	return out, true
}

func mergeFactors(a, b []factor) (merged []factor, degree int) {
	merged = make([]factor, 0, len(a)+len(b))
	for len(a) > 0 || len(b) > 0 {
		var f factor
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].atom < b[0].atom:
			f, a = a[0], a[1:]
		case len(a) == 0 || b[0].atom < a[0].atom:
			f, b = b[0], b[1:]
		default:
			f = factor{a[0].atom, a[0].exponent + b[0].exponent}
			a, b = a[1:], b[1:]
		}
		degree += f.exponent
		merged = append(merged, f)
	}
	return merged, degree
}

// content returns the largest monomial that divides every term, with the
// coefficient of the first term.
func (p poly) content() monomial {
	keys := p.keys()
	if len(keys) == 0 {
		return monomial{coefficient: big.NewRat(1, 1)}
	}
	first := p[keys[0]]
	common := append([]factor(nil), first.factors...)
	for _, k := range keys[1:] {
		have := map[string]int{}
		for _, f := range p[k].factors {
			have[f.atom] = f.exponent
		}
		kept := common[:0]
		for _, f := range common {
			if e := min(f.exponent, have[f.atom]); e > 0 {
				kept = append(kept, factor{f.atom, e})
			}
		}
		common = kept
	}
	return monomial{first.coefficient, common}
}

// divide returns p without a monomial that divides every term.
func (p poly) divide(by monomial) poly {
	out := make(poly, len(p))
	inverse := new(big.Rat).Inv(by.coefficient)
	for _, m := range p {
		out.put(monomial{new(big.Rat).Mul(m.coefficient, inverse), without(m.factors, by.factors)})
	}
	return out
}

// without takes factors out of others that hold them.
func without(factors, taken []factor) []factor {
	var rest []factor
	for _, f := range factors {
		if len(taken) > 0 && taken[0].atom == f.atom {
			f.exponent -= taken[0].exponent
			taken = taken[1:]
		}
		if f.exponent > 0 {
			rest = append(rest, f)
		}
	}
	return rest
}
