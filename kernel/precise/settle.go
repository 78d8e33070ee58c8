package precise

import "math"

// Extrapolate returns the value of f at 0 from its values at h, h/2, h/3, …,
// h/20, by the polynomial through them (Neville's scheme; Press et al.,
// Numerical Recipes, 3rd ed., 3.2, from memory). f must be smooth in h on one
// side of 0; the limit for n → ∞ is that of f(1/n). The radius is the change
// that the last two points made.
//
// It fails as f does, and with ErrConverge if that change is not below 10⁻⁸ of
// the value.
func Extrapolate(f Func, h Value) (Value, error) {
	const points = 20
	var x, table [points]Value
	var before Value
	for j := range points {
		var err error
		if x[j], err = Div(h, Int(int64(j+1))); err != nil {
			return Value{}, err
		}
		if table[j], err = f(x[j]); err != nil {
			return Value{}, err
		}
		// After this pass table[i] is the polynomial through points i … j at 0.
		for i := j - 1; i >= 0; i-- {
			if table[i], err = neville(x[i], x[j], table[i], table[i+1]); err != nil {
				return Value{}, err
			}
		}
		if j == points-2 {
			before = table[0]
		}
	}
	change, err := Sub(table[0], before)
	if err != nil {
		return Value{}, err
	}
	result := table[0]
	rest := math.Abs(change.Float64())
	size := math.Max(math.Abs(result.Float64()), math.Abs(table[points-1].Float64())*1e-8)
	if rest > 1e-8*size && rest > 0 {
		return Value{}, ErrConverge
	}
	result.rad += rest
	result.est = true
	return result, nil
}

// neville joins the polynomials p (without the point xj) and q (without xi) at
// 0: (xi·q − xj·p)/(xi − xj).
func neville(xi, xj, p, q Value) (Value, error) {
	left, err := Mul(xi, q)
	if err != nil {
		return Value{}, err
	}
	right, err := Mul(xj, p)
	if err != nil {
		return Value{}, err
	}
	top, err := Sub(left, right)
	if err != nil {
		return Value{}, err
	}
	bottom, err := Sub(xi, xj)
	if err != nil {
		return Value{}, err
	}
	return Div(top, bottom)
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
