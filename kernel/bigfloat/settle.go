package bigfloat

import (
	"math"
	"math/big"
	"sync"
)

// extrapolationPoints is how many values Extrapolate takes.
const extrapolationPoints = 20

// weights holds, for all points and for all but the last, the weights of the
// polynomial through f(h/1), …, f(h/n) at 0: wⱼ = Π j/(j − i) over i ≠ j
// (Lagrange's form, DLMF 3.3.1).
var weights = sync.OnceValue(func() (w [2][]Value) {
	for k := range w {
		n := int64(extrapolationPoints - k)
		for j := int64(1); j <= n; j++ {
			r := big.NewRat(1, 1)
			for i := int64(1); i <= n; i++ {
				if i != j {
					r.Mul(r, big.NewRat(j, j-i))
				}
			}
			v, err := Rat(r)
			if err != nil {
				panic("bigfloat: a weight is out of range") // a mistake in this package
			}
			w[k] = append(w[k], v)
		}
	}
	return w
})

// Extrapolate returns the value of f at 0 from its values at h, h/2, h/3, …,
// h/20, by the polynomial through them. f must be smooth in h on one side of 0;
// the limit for n → ∞ is that of f(1/n). The radius is the change that the last
// point made.
//
// It fails as f does, and with ErrConverge if that change is not below 10⁻⁸ of
// the value.
func Extrapolate(f Func, h Value) (Value, error) {
	w := weights()
	sums := [2]Value{Int(0), Int(0)}
	last := 0.0
	for j := range extrapolationPoints {
		x, err := Div(h, Int(int64(j+1)))
		if err != nil {
			return Value{}, err
		}
		y, err := f(x)
		if err != nil {
			return Value{}, err
		}
		last = math.Abs(y.Float64())
		for k := range sums {
			if j >= len(w[k]) {
				continue
			}
			term, err := Mul(w[k][j], y)
			if err != nil {
				return Value{}, err
			}
			if sums[k], err = Add(sums[k], term); err != nil {
				return Value{}, err
			}
		}
	}
	change, err := Sub(sums[0], sums[1])
	if err != nil {
		return Value{}, err
	}
	result := sums[0]
	rest := math.Abs(change.Float64())
	size := math.Max(math.Abs(result.Float64()), last*1e-8)
	if rest > 1e-8*size && rest > 0 {
		return Value{}, ErrConverge
	}
	result.rad += rest
	result.est = true
	return result, nil
}

// Root returns the x between a and b at which f is 0: bisection to a few
// digits, then secants. f must have opposite signs at a and b, else it fails
// with ErrDomain. The radius is an estimate, ten times the last step.
func Root(f Func, a, b Value) (Value, error) {
	fa, err := f(a)
	if err != nil {
		return Value{}, err
	}
	fb, err := f(b)
	if err != nil {
		return Value{}, err
	}
	switch {
	case fa.IsZero():
		return a, nil
	case fb.IsZero():
		return b, nil
	case fa.Sign()*fb.Sign() != -1:
		return Value{}, ErrDomain
	}
	for range 24 {
		sum, err := Add(a, b)
		if err != nil {
			return Value{}, err
		}
		mid, _ := Div(sum, Int(2))
		fm, err := f(mid)
		if err != nil {
			return Value{}, err
		}
		if fm.Sign() == 0 {
			return settled(f, mid, fm)
		}
		if fm.Sign() == fa.Sign() {
			a, fa = mid, fm
		} else {
			b, fb = mid, fm
		}
	}
	return secants(f, a, b, fa, fb)
}

func secants(f Func, a, b, fa, fb Value) (Value, error) {
	for range 20 {
		if fb.Sign() == 0 {
			break
		}
		run, err := Sub(b, a)
		if err != nil {
			return Value{}, err
		}
		rise, err := Sub(fb, fa)
		if err != nil {
			return Value{}, err
		}
		step, err := Mul(fb, run)
		if err != nil {
			return Value{}, err
		}
		if step, err = Div(step, rise); err != nil {
			break // no digits are left to improve
		}
		next, err := Sub(b, step)
		if err != nil {
			return Value{}, err
		}
		// The middles alone carry on: each step corrects the one before.
		next = Value{mid: next.mid}
		last := math.Abs(step.Float64())
		a, fa, b = b, fb, next
		if fb, err = f(b); err != nil {
			return Value{}, err
		}
		if last <= math.Abs(b.Float64())*math.Ldexp(1, -Bits+20) {
			break
		}
	}
	return settled(f, b, fb)
}

// settled bounds the error of a root by |f|/|f′|, the slope taken over a small
// step.
func settled(f Func, x, fx Value) (Value, error) {
	size := math.Max(math.Abs(x.Float64()), 1e-30)
	h, err := Float(size * 1e-20)
	if err != nil {
		return Value{}, err
	}
	beside, err := Add(x, h)
	if err != nil {
		return Value{}, err
	}
	fb, err := f(beside)
	if err != nil {
		return Value{}, err
	}
	rise, err := Sub(fb, fx)
	if err != nil {
		return Value{}, err
	}
	slope := math.Abs(rise.Float64()) / (size * 1e-20)
	if !(slope > 0) {
		return Value{}, ErrConverge
	}
	rad := 10 * (math.Abs(fx.Float64()) + fx.rad) / slope
	if rad > size*1e-12 {
		return Value{}, ErrConverge
	}
	return Value{x.mid, rad, true}, nil
}
