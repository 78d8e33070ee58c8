// Package bigfloat computes with numbers of 192 bits (57 decimal digits) that
// carry a bound of their own error, so that two formulas can be compared far
// below the digits a float64 holds, and so that cancellation is seen rather
// than guessed at.
//
// A Value is a middle and a radius: the true value lies within the radius of
// the middle (mid-radius interval arithmetic; van der Hoeven, Ball arithmetic,
// 2009, from memory). The middle is a math/big Float rounded to nearest; the
// radius is a float64 that is widened after each operation by more than its own
// rounding. Integrals, roots and limits (Integrate, Root, Extrapolate) give a
// radius that is an estimate, not a bound; such a value, and all that is
// computed from it, is marked (Estimated).
//
// The range is that of the exponents ±900 in base 2; past it an operation
// fails, it never overflows to infinity.
package bigfloat

import (
	"errors"
	"math"
	"math/big"

	"shaftbook/kernel/elementary"
)

// Bits is the precision of the middle.
const Bits = 192

// working is the precision inside elementary functions.
const working = 320

// What can go wrong; test with errors.Is.
var (
	ErrDivide   = errors.New("a divisor is 0")
	ErrDomain   = errors.New("a function is used where it has no value")
	ErrRange    = errors.New("a value is too large or too small")
	ErrConverge = errors.New("a value does not settle")
)

// maxExponent bounds the size of values, so that the radius fits a float64.
const maxExponent = 900

// A Value is a number with a bound of its error. The zero Value is not usable;
// see Int, Float and Decimal.
type Value struct {
	mid *big.Float
	rad float64
	est bool
}

// Int returns a whole number, exactly.
func Int(n int64) Value { return Value{mid: newFloat().SetInt64(n)} }

// Float returns a float64, exactly. It fails with ErrRange on NaN, infinity and
// what lies past the range.
func Float(v float64) (Value, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Value{}, ErrRange
	}
	return exactly(newFloat().SetFloat64(v))
}

// Decimal returns the value of a decimal such as 3.2e-5, to half a unit in the
// last of its 192 bits. It fails with ErrRange on anything else.
func Decimal(text string) (Value, error) {
	m, _, err := big.ParseFloat(text, 10, Bits, big.ToNearestEven)
	if err != nil || m.IsInf() {
		return Value{}, ErrRange
	}
	return finish(m, 0, false)
}

// Rat returns a fraction.
func Rat(r *big.Rat) (Value, error) { return finish(newFloat().SetRat(r), 0, false) }

// Float64 returns the float64 nearest to the middle.
func (v Value) Float64() float64 {
	f, _ := v.mid.Float64()
	return f
}

// Radius returns the bound of the error.
func (v Value) Radius() float64 { return v.rad }

// Estimated reports whether the radius is an estimate.
func (v Value) Estimated() bool { return v.est }

// Between returns a value that covers all from a to b.
func Between(a, b Value) (Value, error) {
	sum, err := Add(a, b)
	if err != nil {
		return sum, err
	}
	run, err := Sub(b, a)
	if err != nil {
		return run, err
	}
	mid, err := Div(sum, Int(2))
	if err != nil {
		return mid, err
	}
	return finish(mid.mid, mid.rad+float64(run.size()/2*(1+1e-15))+run.rad, a.est || b.est)
}

// Text returns the middle with a number of decimal digits.
func (v Value) Text(digits int) string { return v.mid.Text('g', digits) }

// Sign returns −1 or +1 where the sign is certain, and 0 where the value may
// be 0.
func (v Value) Sign() int {
	if math.Abs(v.Float64()) <= v.rad {
		return 0
	}
	return v.mid.Sign()
}

// IsZero reports whether v is exactly 0.
func (v Value) IsZero() bool { return v.mid.Sign() == 0 && v.rad == 0 }

// whole returns the whole number that v is, if it is exactly one.
func (v Value) whole() (int64, bool) {
	if v.rad != 0 || !v.mid.IsInt() {
		return 0, false
	}
	n, accuracy := v.mid.Int64()
	return n, accuracy == big.Exact
}

// Whole returns the whole number nearest to v, if v is one within its radius.
func (v Value) Whole() (int64, bool) {
	f := v.Float64()
	if math.Abs(f) > 1e15 {
		return 0, false
	}
	n := int64(math.Round(f))
	distance := newFloat().Sub(v.mid, newFloat().SetInt64(n))
	d, _ := distance.Float64()
	return n, math.Abs(d) <= v.rad && v.rad < 0.5
}

func newFloat() *big.Float { return new(big.Float).SetPrec(Bits) }
func wide() *big.Float     { return new(big.Float).SetPrec(working) }

// ulp returns a bound of one rounding of m.
func ulp(m *big.Float) float64 {
	if m.Sign() == 0 {
		return 0
	}
	return math.Ldexp(1, m.MantExp(nil)-Bits)
}

// exactly checks the range of a value that was not rounded.
func exactly(m *big.Float) (Value, error) {
	if e := m.MantExp(nil); m.Sign() != 0 && (e > maxExponent || e < -maxExponent) {
		return Value{}, ErrRange
	}
	return Value{mid: m}, nil
}

// finish rounds to 192 bits, adds the rounding of the last operation to the
// radius, if there was one, and checks the range.
func finish(m *big.Float, rad float64, est bool) (Value, error) {
	if m.Prec() != Bits {
		m = newFloat().Set(m)
	}
	e := m.MantExp(nil)
	if m.IsInf() || m.Sign() != 0 && (e > maxExponent || e < -maxExponent) {
		return Value{}, ErrRange
	}
	if m.Acc() != big.Exact {
		rad += ulp(m)
	}
	rad *= 1 + 1e-12
	if !(rad < math.MaxFloat64) {
		return Value{}, ErrRange
	}
	return Value{m, rad, est}, nil
}

// size returns a float64 not below |v.mid|.
func (v Value) size() float64 { return math.Abs(v.Float64()) * (1 + 1e-15) }

// Neg returns −v.
func Neg(v Value) Value { return Value{newFloat().Neg(v.mid), v.rad, v.est} }

// Abs returns |v|.
func Abs(v Value) Value { return Value{newFloat().Abs(v.mid), v.rad, v.est} }

// Add returns x+y.
func Add(x, y Value) (Value, error) {
	return finish(newFloat().Add(x.mid, y.mid), x.rad+y.rad, x.est || y.est)
}

// Sub returns x−y.
func Sub(x, y Value) (Value, error) {
	return finish(newFloat().Sub(x.mid, y.mid), x.rad+y.rad, x.est || y.est)
}

// Mul returns x·y.
func Mul(x, y Value) (Value, error) {
	rad := 0.0
	if x.rad != 0 || y.rad != 0 {
		rad = float64(x.size()*y.rad) + float64(y.size()*x.rad) + float64(x.rad*y.rad)
	}
	return finish(newFloat().Mul(x.mid, y.mid), rad, x.est || y.est)
}

// Div returns x/y. It fails with ErrDivide if y may be 0.
func Div(x, y Value) (Value, error) {
	if y.Sign() == 0 {
		return Value{}, ErrDivide
	}
	q := newFloat().Quo(x.mid, y.mid)
	rad := 0.0
	if x.rad != 0 || y.rad != 0 {
		f, _ := q.Float64()
		rad = (x.rad + float64(math.Abs(f)*(1+1e-15)*y.rad)) / (float64(math.Abs(y.Float64())*(1-1e-15)) - y.rad)
	}
	return finish(q, rad, x.est || y.est)
}

// PowInt returns xⁿ, |n| ≤ 4096. x⁰ is 1.
func PowInt(x Value, n int64) (Value, error) {
	if n < -4096 || n > 4096 {
		return Value{}, ErrRange
	}
	if n < 0 {
		p, err := PowInt(x, -n)
		if err != nil {
			return Value{}, err
		}
		return Div(Int(1), p)
	}
	result, base := Int(1), x
	for ; n > 0; n >>= 1 {
		var err error
		if n&1 == 1 {
			if result, err = Mul(result, base); err != nil {
				return Value{}, err
			}
		}
		if n > 1 {
			if base, err = Mul(base, base); err != nil {
				return Value{}, err
			}
		}
	}
	return result, nil
}

// Agreement is how two values compare.
type Agreement int

// The ways in which two values compare.
const (
	Apart   Agreement = iota // certainly different
	Agrees                   // equal to the digits asked for
	Unclear                  // too few digits to tell
)

// Compare compares two values to a number of decimal digits of the larger, or
// of scale if that is larger still: a value that is the small rest of large
// ones is not asked for digits that it cannot have. Values whose radius is an
// estimate are apart only if they differ by more than a thousand radii and by
// more than 10⁻²⁰ of their size.
func Compare(x, y Value, digits int, scale float64) Agreement {
	difference := newFloat().Sub(x.mid, y.mid)
	d, _ := difference.Float64()
	d = math.Abs(d)
	rad := x.rad + y.rad
	size := math.Max(math.Max(x.size(), y.size()), scale)
	tolerance := size * elementary.Pow(10, -float64(digits))
	guard := rad
	if x.est || y.est {
		guard = math.Max(1000*rad, size*1e-20)
	}
	switch {
	case d > guard*(1+1e-12) && d > size*math.Ldexp(1, -Bits+8):
		return Apart
	case d <= tolerance && rad <= tolerance:
		return Agrees
	}
	return Unclear
}
