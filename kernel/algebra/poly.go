package algebra

import (
	"slices"
	"strconv"
	"strings"
)

// Limits of exact arithmetic. Past them an answer is "undecided", so that no
// expression can make it run away.
const (
	maxTerms  = 2000
	maxDegree = 64
	maxBits   = 4096 // of a coefficient
	maxAtoms  = 48   // different indeterminates
)

// powers holds the exponents of a product of indeterminates, eight to a word,
// the first in the highest byte, so that products are sums of words and words
// compare in a monomial order. No exponent passes 2·maxDegree on the way.
type powers [maxAtoms / 8]uint64

func powerOf(atom, exponent int) powers {
	var p powers
	p[atom/8] = uint64(exponent) << (56 - atom%8*8)
	return p
}

func (p powers) exponent(atom int) int { return int(p[atom/8] >> (56 - atom%8*8) & 0xff) }

func (p powers) compare(q powers) int {
	for i, a := range p {
		if a != q[i] {
			if a > q[i] {
				return 1
			}
			return -1
		}
	}
	return 0
}

func (p powers) times(q powers) powers {
	for i := range p {
		p[i] += q[i]
	}
	return p
}

// over returns p/q, or false if q does not divide p.
func (p powers) over(q powers) (powers, bool) {
	const guard = 0x8080808080808080
	for i := range p {
		// No exponent reaches 128, so the guard bit of a byte survives unless it borrows.
		difference := (p[i] | guard) - q[i]
		if difference&guard != guard {
			return p, false
		}
		p[i] = difference &^ guard
	}
	return p, true
}

// shared returns the largest product that divides both.
func (p powers) shared(q powers) powers {
	if p == q {
		return p
	}
	var out powers
	for i := range p {
		for shift := 0; shift < 64; shift += 8 {
			out[i] |= min(p[i]>>shift&0xff, q[i]>>shift&0xff) << shift
		}
	}
	return out
}

func (p powers) degree() int {
	sum := 0
	for _, w := range p {
		for ; w != 0; w >>= 8 {
			sum += int(w & 0xff)
		}
	}
	return sum
}

// each calls f for every indeterminate with its exponent, in order, until f
// returns false.
func (p powers) each(f func(atom, exponent int) bool) {
	for i, w := range p {
		for k := 0; w != 0; k++ {
			if e := int(w >> 56); e != 0 && !f(8*i+k, e) {
				return
			}
			w <<= 8
		}
	}
}

// A monomial is a coefficient, not 0, times powers.
type monomial struct {
	coefficient rational
	powers      powers
}

// A poly is a polynomial: its monomials in falling order. Polys are not changed
// once made, and share monomials.
type poly []monomial

func constant(r rational) poly {
	if r.sign() == 0 {
		return nil
	}
	return poly{{coefficient: r}}
}

func one() poly { return constant(whole(1)) }

func (p poly) isZero() bool { return len(p) == 0 }

// constantValue returns the value of a polynomial without indeterminates.
func (p poly) constantValue() (rational, bool) {
	switch len(p) {
	case 0:
		return whole(0), true
	case 1:
		return p[0].coefficient, p[0].powers == powers{}
	}
	return rational{}, false
}

func (p poly) equals(q poly) bool {
	return slices.EqualFunc(p, q, func(a, b monomial) bool {
		return a.powers == b.powers && a.coefficient.equals(b.coefficient)
	})
}

// text writes p with the names of its indeterminates.
func (p poly) text(names []string) string {
	var b strings.Builder
	for _, m := range p {
		b.WriteByte('+')
		b.WriteString(m.coefficient.String())
		m.powers.each(func(atom, exponent int) bool {
			b.WriteString("·" + names[atom] + "^" + strconv.Itoa(exponent))
			return true
		})
	}
	return b.String()
}

func (p poly) add(q poly) poly {
	switch {
	case len(p) == 0:
		return q
	case len(q) == 0:
		return p
	}
	sum := make(poly, 0, len(p)+len(q))
	for len(p) > 0 && len(q) > 0 {
		switch p[0].powers.compare(q[0].powers) {
		case 1:
			sum, p = append(sum, p[0]), p[1:]
		case -1:
			sum, q = append(sum, q[0]), q[1:]
		default:
			if c := p[0].coefficient.add(q[0].coefficient); c.sign() != 0 {
				sum = append(sum, monomial{c, p[0].powers})
			}
			p, q = p[1:], q[1:]
		}
	}
	return append(append(sum, p...), q...)
}

func (p poly) scale(r rational) poly {
	if r.sign() == 0 {
		return nil
	}
	if r.isOne() {
		return p
	}
	out := make(poly, len(p))
	for i, m := range p {
		out[i] = monomial{m.coefficient.mul(r), m.powers}
	}
	return out
}

func (p poly) neg() poly {
	out := make(poly, len(p))
	for i, m := range p {
		out[i] = monomial{m.coefficient.neg(), m.powers}
	}
	return out
}

// times returns p times one monomial, or false if it passes a limit. Products
// keep the order of the monomials.
func (p poly) times(by monomial) (poly, bool) {
	degree := by.powers.degree()
	out := make(poly, len(p))
	for i, m := range p {
		if degree > 0 && m.powers.degree()+degree > maxDegree {
			return nil, false
		}
		c := m.coefficient.mul(by.coefficient)
		if c.isLong() {
			return nil, false
		}
		out[i] = monomial{c, m.powers.times(by.powers)}
	}
	return out, true
}

// mul returns the product, or false if it passes a limit.
func (p poly) mul(q poly) (poly, bool) {
	if len(p) > len(q) {
		p, q = q, p
	}
	switch {
	case len(p) == 0:
		return nil, true
	case len(p) == 1:
		return q.times(p[0])
	case len(p)*len(q) > 50*maxTerms:
		return nil, false
	}
	left, ok1 := p[:len(p)/2].mul(q)
	right, ok2 := p[len(p)/2:].mul(q)
	if !ok1 || !ok2 {
		return nil, false
	}
	sum := left.add(right)
	return sum, len(sum) <= maxTerms
}

// content returns the largest product of indeterminates that divides every term.
func (p poly) content() powers {
	if len(p) == 0 {
		return powers{}
	}
	common := p[0].powers
	for _, m := range p[1:] {
		if common == (powers{}) {
			break
		}
		common = common.shared(m.powers)
	}
	return common
}

// without returns p without a product that divides every term.
func (p poly) without(by powers) poly {
	if by == (powers{}) {
		return p
	}
	out := make(poly, len(p))
	for i, m := range p {
		rest, _ := m.powers.over(by)
		out[i] = monomial{m.coefficient, rest}
	}
	return out
}

// maxQuotient bounds the terms of a quotient that is looked for.
const maxQuotient = 64

// over returns p/q if q divides p and the quotient is short. The first and the
// last term of a quotient are those of p over those of q.
func (p poly) over(q poly) (poly, bool) {
	if len(q) == 0 {
		return nil, false
	}
	if len(p) == 0 {
		return nil, true
	}
	if _, ok := p[len(p)-1].powers.over(q[len(q)-1].powers); !ok {
		return nil, false
	}
	var quotient poly
	for len(p) > 0 {
		rest, ok := p[0].powers.over(q[0].powers)
		if !ok || len(quotient) == maxQuotient {
			return nil, false
		}
		m := monomial{p[0].coefficient.quo(q[0].coefficient), rest}
		product, ok := q.times(monomial{m.coefficient.neg(), rest})
		if !ok || m.coefficient.isLong() {
			return nil, false
		}
		quotient = append(quotient, m)
		p = p.add(product)
	}
	return quotient, true
}

// holds reports whether an indeterminate is in p.
func (p poly) holds(atom int) bool {
	for _, m := range p {
		if m.powers.exponent(atom) > 0 {
			return true
		}
	}
	return false
}

// at0 returns p for the value 0 of an indeterminate.
func (p poly) at0(atom int) poly {
	var out poly
	for _, m := range p {
		if m.powers.exponent(atom) == 0 {
			out = append(out, m)
		}
	}
	return out
}
