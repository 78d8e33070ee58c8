package unit

import (
	"math"
	"math/big"
	"strings"

	"shaftbook/kernel/elementary"
)

// One is the unit of a pure number, shown as nothing.
var One = Unit{Factor: 1}

// Mul returns the unit u·v. ok is false if an exponent or the factor goes out
// of range, or if a unit was not made by this package.
func Mul(u, v Unit) (w Unit, ok bool) {
	p, q, ok := both(u, v)
	if !ok {
		return Unit{}, false
	}
	return product{append(p.above, q.above...), append(p.below, q.below...)}.unit()
}

// Div returns the unit u/v; it fails as Mul does.
func Div(u, v Unit) (w Unit, ok bool) {
	p, q, ok := both(u, v)
	if !ok {
		return Unit{}, false
	}
	return product{append(p.above, q.below...), append(p.below, q.above...)}.unit()
}

// Pow returns the unit u^r; it fails as Mul does. With a fraction as exponent
// the factor is within a few units in the last place of the exact value; with
// a whole one it is the nearest float64.
func Pow(u Unit, r Rational) (w Unit, ok bool) {
	p, err := parseProduct(u.Text)
	if err != nil {
		return Unit{}, false
	}
	for _, side := range [][]part{p.above, p.below} {
		for i := range side {
			if side[i].exponent, ok = side[i].exponent.mul(r); !ok {
				return Unit{}, false
			}
		}
	}
	return p.unit()
}

// String returns the unit as shown.
func (u Unit) String() string { return u.Text }

func both(u, v Unit) (p, q product, ok bool) {
	p, err := parseProduct(u.Text)
	if err != nil {
		return p, q, false
	}
	q, err = parseProduct(v.Text)
	return p, q, err == nil
}

// unit works out the factor and the dimension of a product.
func (p product) unit() (Unit, bool) {
	if len(p.above)+len(p.below) > maxParts {
		return Unit{}, false
	}
	var d Dimension
	for i, side := range [][]part{p.above, p.below} {
		for _, f := range side {
			e := f.exponent
			if max(e.Num(), -e.Num()) > maxExponent || e.Den() > maxExponent {
				return Unit{}, false
			}
			if i == 1 {
				e.num = -e.num
			}
			raised, ok := f.symbol.unit.Dim.Pow(e)
			if !ok {
				return Unit{}, false
			}
			if d, ok = d.Mul(raised); !ok {
				return Unit{}, false
			}
		}
	}
	x, rest := p.factor()
	factor := x.float() * rest
	if factor == 0 || !finite(factor) {
		return Unit{}, false
	}
	return Unit{Text: p.text(), Factor: factor, Dim: d}, true
}

// factor returns the factor of a product in two pieces: the symbols with whole
// exponents, exactly, and those with fractions, as a float64 (1 if there are
// none).
func (p product) factor() (whole exact, rest float64) {
	whole, rest = one(), 1
	for i, side := range [][]part{p.above, p.below} {
		sign := 1 - 2*i
		for _, f := range side {
			if e := f.exponent; e.Den() == 1 {
				whole = whole.times(f.symbol.exact, sign*e.Num())
			} else {
				rest *= elementary.Pow(f.symbol.unit.Factor, float64(sign)*e.Float())
			}
		}
	}
	return whole, rest
}

// Bounds returns float64 between which the exact factor of u lies: twice
// u.Factor where that is exact (GPa, km), else u.Factor and the neighbour on the side of the exact value. A
// unit with a fraction as exponent, or one that this package did not make, gets
// bounds 64 units in the last place to either side.
func Bounds(u Unit) (lo, hi float64) {
	lo, hi = u.Factor, u.Factor
	p, err := parseProduct(u.Text)
	if err == nil {
		if x, rest := p.factor(); rest == 1 {
			switch x.compare(u.Factor) {
			case -1:
				lo = math.Nextafter(lo, 0)
			case 1:
				hi = math.Nextafter(hi, math.Inf(1))
			}
			return lo, hi
		}
	}
	for range 4 * maxParts {
		lo, hi = math.Nextafter(lo, 0), math.Nextafter(hi, math.Inf(1))
	}
	return lo, hi
}

// ExactFactor returns the factor of u exactly, as r·π^pi. ok is false for a unit
// with a fraction as exponent, and for one that this package did not make.
func ExactFactor(u Unit) (r *big.Rat, pi int, ok bool) {
	p, err := parseProduct(u.Text)
	if err != nil {
		return nil, 0, false
	}
	x, rest := p.factor()
	return x.rat, x.pi, rest == 1
}

// text writes the product as it is shown: N·m/m, W/(m·K), 1/s.
func (p product) text() string {
	if len(p.below) == 0 {
		return join(p.above)
	}
	above, below := join(p.above), join(p.below)
	if above == "" {
		above = "1"
	}
	if len(p.below) > 1 {
		below = "(" + below + ")"
	}
	return above + "/" + below
}

func join(parts []part) string {
	texts := make([]string, len(parts))
	for i, f := range parts {
		texts[i] = f.symbol.text + superscript(f.exponent)
	}
	return strings.Join(texts, "·")
}
