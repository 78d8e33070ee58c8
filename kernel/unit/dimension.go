package unit

import (
	"fmt"
	"strings"
)

// A Rational is a small fraction, used as the exponent of a base dimension.
// The zero value is 0. Values are kept in lowest terms, so == compares them.
type Rational struct {
	num         int16
	denMinusOne int16
}

// NewRational returns num/den in lowest terms. ok is false if den is 0 or the
// reduced fraction does not fit (numerator within ±1000, denominator to 1000).
func NewRational(num, den int) (r Rational, ok bool) {
	if den == 0 {
		return Rational{}, false
	}
	if den < 0 {
		num, den = -num, -den
	}
	if g := gcd(num, den); g > 1 {
		num, den = num/g, den/g
	}
	if num > 1000 || num < -1000 || den > 1000 {
		return Rational{}, false
	}
	return Rational{num: int16(num), denMinusOne: int16(den - 1)}, true
}

// Whole returns the rational n/1; n must lie within ±1000.
func Whole(n int) Rational { return Rational{num: int16(n)} }

// Num returns the numerator.
func (r Rational) Num() int { return int(r.num) }

// Den returns the denominator, at least 1.
func (r Rational) Den() int { return int(r.denMinusOne) + 1 }

// IsZero reports whether r is 0.
func (r Rational) IsZero() bool { return r.num == 0 }

// Float returns r as a float64.
func (r Rational) Float() float64 { return float64(r.Num()) / float64(r.Den()) }

func (r Rational) add(s Rational) (Rational, bool) {
	return NewRational(r.Num()*s.Den()+s.Num()*r.Den(), r.Den()*s.Den())
}

func (r Rational) mul(s Rational) (Rational, bool) {
	return NewRational(r.Num()*s.Num(), r.Den()*s.Den())
}

// String returns "2" or "1/2".
func (r Rational) String() string {
	if r.Den() == 1 {
		return fmt.Sprint(r.Num())
	}
	return fmt.Sprintf("%d/%d", r.Num(), r.Den())
}

func gcd(a, b int) int {
	if a < 0 {
		a = -a
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Indexes of the seven SI base quantities in a Dimension.
const (
	Length = iota
	Mass
	Time
	Current
	Temperature
	Amount
	Luminous
	baseCount
)

var baseSymbols = [baseCount]string{"m", "kg", "s", "A", "K", "mol", "cd"}

// A Dimension is a product of powers of the SI base quantities. Angle has no
// dimension: a radian is 1 (SI Brochure, 9th ed., 2.3.3 and table 4, note b).
// The zero value is the dimension of a pure number; == compares dimensions.
type Dimension [baseCount]Rational

// Base returns the dimension with whole exponents of length, mass and time.
func Base(length, mass, time int) Dimension {
	return Dimension{Length: Whole(length), Mass: Whole(mass), Time: Whole(time)}
}

// IsNumber reports whether d is the dimension of a pure number.
func (d Dimension) IsNumber() bool { return d == Dimension{} }

// Mul returns the dimension of a product. ok is false if an exponent grows
// out of range.
func (d Dimension) Mul(e Dimension) (Dimension, bool) {
	for i := range d {
		sum, ok := d[i].add(e[i])
		if !ok {
			return d, false
		}
		d[i] = sum
	}
	return d, true
}

// Div returns the dimension of a quotient.
func (d Dimension) Div(e Dimension) (Dimension, bool) {
	inverse, _ := e.Pow(Whole(-1))
	return d.Mul(inverse)
}

// Pow returns the dimension of a power with a rational exponent.
func (d Dimension) Pow(r Rational) (Dimension, bool) {
	for i := range d {
		product, ok := d[i].mul(r)
		if !ok {
			return d, false
		}
		d[i] = product
	}
	return d, true
}

// String returns the dimension as a product of SI base units, "1" for a pure
// number, for example "m²·kg·s⁻²".
func (d Dimension) String() string {
	var parts []string
	for i, r := range d {
		if r.IsZero() {
			continue
		}
		parts = append(parts, baseSymbols[i]+superscript(r))
	}
	if len(parts) == 0 {
		return "1"
	}
	return strings.Join(parts, "·")
}

func superscript(r Rational) string {
	if r == Whole(1) {
		return ""
	}
	if r.Den() != 1 {
		return "^(" + r.String() + ")"
	}
	return superscripts.Replace(r.String())
}

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")
