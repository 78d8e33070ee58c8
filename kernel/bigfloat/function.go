package bigfloat

import (
	"math"
	"math/big"
	"sync"

	"shaftbook/kernel/elementary"
)

// constants are computed once: π by Machin's formula 16·atan(1/5) −
// 4·atan(1/239), ln 2 as 2·artanh(1/3).
var constants = sync.OnceValue(func() (c struct{ pi, half, ln2 *big.Float }) {
	c.pi = wide().Sub(wide().Mul(fromInt(16), inverseSeries(5, -1)), wide().Mul(fromInt(4), inverseSeries(239, -1)))
	c.half = wide().Quo(c.pi, fromInt(2))
	c.ln2 = wide().Mul(fromInt(2), inverseSeries(3, 1))
	return c
})

func fromInt(n int64) *big.Float { return wide().SetInt64(n) }

// inverseSeries is Σ sᵏ/((2k+1)·n^(2k+1)): atan(1/n) for s = −1, artanh(1/n)
// for s = 1.
func inverseSeries(n, s int64) *big.Float {
	term := wide().Quo(fromInt(1), fromInt(n))
	square := fromInt(s * n * n)
	sum := wide()
	for k := int64(1); term.Sign() != 0 && term.MantExp(nil) > -working-8; k += 2 {
		sum.Add(sum, wide().Quo(term, fromInt(k)))
		term.Quo(term, square)
	}
	return sum
}

// small is a bound of the error that an elementary function adds, relative to
// the larger of 1 and its value.
var small = math.Ldexp(1, -Bits-32)

// Pi returns π.
func Pi() Value { return mustFinish(constants().pi) }

func mustFinish(m *big.Float) Value {
	v, err := finish(m, 0, false)
	if err != nil {
		panic("precise: a constant is out of range") // a mistake in this package
	}
	return v
}

// expWide returns eˣ: x = k·ln 2 + r, then the series of r/256, squared back.
func expWide(x *big.Float) *big.Float {
	f, _ := x.Float64()
	k := int(math.Round(f / math.Ln2))
	r := wide().Sub(x, wide().Mul(fromInt(int64(k)), constants().ln2))
	r.SetMantExp(r, -8)
	sum := fromFixed(expSeries(toFixed(r)))
	for range 8 {
		sum = wide().Mul(sum, sum)
	}
	return sum.SetMantExp(sum, k)
}

// Exp returns eˣ.
func Exp(x Value) (Value, error) {
	if math.Abs(x.Float64()) > 600 || x.rad > 1 {
		return Value{}, ErrRange
	}
	m := expWide(x.mid)
	f, _ := m.Float64()
	return finish(m, f*(float64(elementary.Expm1(x.rad)*(1+1e-12))+small), x.est)
}

// lnWide returns ln x for x > 0: x = m·2ᵉ, then one step from the float64
// logarithm y of m, ln m = y + 2·artanh((m − eʸ)/(m + eʸ)).
func lnWide(x *big.Float) *big.Float {
	m := wide()
	e := x.MantExp(m)
	if f, _ := m.Float64(); f < math.Sqrt2/2 {
		m.SetMantExp(m, 1)
		e--
	}
	f, _ := m.Float64()
	y := wide().SetFloat64(elementary.Ln(f))
	z := expWide(y)
	t := wide().Quo(wide().Sub(m, z), wide().Add(m, z))
	sum, power, square := wide(), wide().Set(t), wide().Mul(t, t)
	for k := int64(1); k <= 9 && power.Sign() != 0; k += 2 {
		sum.Add(sum, wide().Quo(power, fromInt(k)))
		power.Mul(power, square)
	}
	y.Add(y, wide().Mul(fromInt(2), sum))
	return y.Add(y, wide().Mul(fromInt(int64(e)), constants().ln2))
}

// Ln returns the natural logarithm. It fails with ErrDomain unless x is
// certainly above 0.
func Ln(x Value) (Value, error) {
	if x.Sign() <= 0 {
		return Value{}, ErrDomain
	}
	m := lnWide(x.mid)
	f, _ := m.Float64()
	rad := float64(small * math.Max(1, math.Abs(f)))
	if x.rad > 0 {
		rad -= float64(elementary.Log1p(-x.rad/(x.Float64()*(1-1e-15))) * (1 + 1e-12))
	}
	return finish(m, rad, x.est)
}

// Log10 returns the decimal logarithm.
func Log10(x Value) (Value, error) {
	y, err := Ln(x)
	if err != nil {
		return Value{}, err
	}
	ten, _ := Ln(Int(10))
	return Div(y, ten)
}

// Sqrt returns √x. It fails with ErrDomain if x may be below 0.
func Sqrt(x Value) (Value, error) {
	if x.IsZero() {
		return x, nil
	}
	if x.Sign() <= 0 {
		return Value{}, ErrDomain
	}
	m := newFloat().Sqrt(x.mid)
	low := math.Sqrt(float64(x.Float64()*(1-1e-15)) - x.rad)
	return finish(m, x.rad/low+ulp(m), x.est) // Sqrt does not say whether it is exact
}

// Pow returns x^y: by multiplication for a whole y, else exp(y·ln x), x > 0.
func Pow(x, y Value) (Value, error) {
	if n, ok := y.whole(); ok && n >= -4096 && n <= 4096 {
		return PowInt(x, n)
	}
	if x.IsZero() && y.Sign() > 0 {
		return x, nil
	}
	l, err := Ln(x)
	if err != nil {
		return Value{}, err
	}
	if l, err = Mul(y, l); err != nil {
		return Value{}, err
	}
	return Exp(l)
}

// sinCosWide returns sin x and cos x by their series, x reduced by multiples of
// π/2; |x| ≤ 10⁶.
func sinCosWide(x *big.Float) (s, c *big.Float) {
	f, _ := x.Float64()
	q := int64(math.Round(f / (math.Pi / 2)))
	r := wide().Sub(x, wide().Mul(fromInt(q), constants().half))
	sine, cosine := sinCosSeries(toFixed(r))
	s, c = fromFixed(sine), fromFixed(cosine)
	switch q & 3 {
	case 1:
		return c, s.Neg(s)
	case 2:
		return s.Neg(s), c.Neg(c)
	case 3:
		return c.Neg(c), s
	}
	return s, c
}

func sinCos(x Value) (s, c Value, err error) {
	if math.Abs(x.Float64()) > 1e6 {
		return s, c, ErrRange
	}
	sm, cm := sinCosWide(x.mid)
	if s, err = finish(sm, x.rad+float64(small*1e6), x.est); err != nil {
		return s, c, err
	}
	c, err = finish(cm, x.rad+float64(small*1e6), x.est)
	return s, c, err
}

// Sin returns sin x, |x| ≤ 10⁶ rad.
func Sin(x Value) (Value, error) {
	s, _, err := sinCos(x)
	return s, err
}

// Cos returns cos x, |x| ≤ 10⁶ rad.
func Cos(x Value) (Value, error) {
	_, c, err := sinCos(x)
	return c, err
}

// Tan returns tan x, |x| ≤ 10⁶ rad.
func Tan(x Value) (Value, error) {
	s, c, err := sinCos(x)
	if err != nil {
		return Value{}, err
	}
	return Div(s, c)
}

// Atan returns the arc tangent: one step from the float64 value y, atan x = y +
// atan((x·cos y − sin y)/(cos y + x·sin y)).
func Atan(x Value) (Value, error) {
	xm := wide().Set(x.mid)
	f, _ := xm.Float64()
	y := wide().SetFloat64(elementary.Atan(f))
	s, c := sinCosWide(y)
	t := wide().Quo(wide().Sub(wide().Mul(xm, c), s), wide().Add(c, wide().Mul(xm, s)))
	minusSquare := wide().Neg(wide().Mul(t, t))
	power := wide().Set(t)
	for k := int64(1); k <= 11 && power.Sign() != 0; k += 2 {
		y.Add(y, wide().Quo(power, fromInt(k)))
		power.Mul(power, minusSquare)
	}
	low := math.Max(0, float64(math.Abs(f)*(1-1e-15))-x.rad)
	return finish(y, x.rad/(1+float64(low*low))+small, x.est)
}

// Asin returns the arc sine, atan(x/√(1−x²)); it fails with ErrDomain unless x
// certainly lies within ±1.
func Asin(x Value) (Value, error) {
	if x.rad == 0 {
		if n, ok := x.whole(); ok && (n == 1 || n == -1) {
			return Div(Pi(), Int(2*n))
		}
	}
	square, err := Mul(x, x)
	if err != nil {
		return Value{}, err
	}
	rest, err := Sub(Int(1), square)
	if err != nil {
		return Value{}, err
	}
	root, err := Sqrt(rest)
	if err != nil {
		return Value{}, err
	}
	q, err := Div(x, root)
	if err != nil {
		return Value{}, ErrDomain
	}
	return Atan(q)
}

// Acos returns the arc cosine, π/2 − asin x.
func Acos(x Value) (Value, error) {
	a, err := Asin(x)
	if err != nil {
		return Value{}, err
	}
	half, _ := Div(Pi(), Int(2))
	return Sub(half, a)
}

// Atan2 returns the direction of the point (x, y), in (−π, π]. It fails with
// ErrDomain where the signs of x and y are not certain.
func Atan2(y, x Value) (Value, error) {
	half, _ := Div(Pi(), Int(2))
	switch {
	case x.IsZero() && y.Sign() > 0:
		return half, nil
	case x.IsZero() && y.Sign() < 0:
		return Neg(half), nil
	case x.Sign() == 0 || y.Sign() == 0 && !y.IsZero():
		return Value{}, ErrDomain
	}
	q, err := Div(y, x)
	if err != nil {
		return Value{}, err
	}
	a, err := Atan(q)
	if err != nil || x.Sign() > 0 {
		return a, err
	}
	if y.Sign() < 0 {
		return Sub(a, Pi())
	}
	return Add(a, Pi())
}

// Floor returns ⌊x⌋; it fails with ErrDomain where the radius holds a jump.
func Floor(x Value) (Value, error) {
	n, accuracy := newFloat().Set(x.mid).Int(nil)
	if x.mid.Sign() < 0 && accuracy != big.Exact {
		n.Sub(n, big.NewInt(1))
	}
	whole := newFloat().SetInt(n)
	over, _ := newFloat().Sub(x.mid, whole).Float64()
	if x.rad != 0 && (over < x.rad || 1-over <= x.rad) {
		return Value{}, ErrDomain
	}
	return Value{whole, 0, x.est}, nil
}
