package bigfloat

import (
	"math"
	"sync"
)

// The double-exponential rule: t from −reach to reach in steps of 1/steps.
const (
	steps = 64
	reach = 281 // in steps; there the distance to the end is about 10⁻⁵⁵ of the range
)

// endpointRule holds, for t = j/steps, the distance 1 − tanh(π/2·sinh t) to the
// end of [−1, 1] and the weight π/2·cosh t/cosh²(π/2·sinh t).
var endpointRule = sync.OnceValue(func() (r [reach + 1]struct{ distance, weight Value }) {
	for j := range r {
		t := wide().Quo(fromInt(int64(j)), fromInt(steps))
		up := expWide(t)
		down := wide().Quo(fromInt(1), up)
		sinh := wide().Quo(wide().Sub(up, down), fromInt(2))
		cosh := wide().Quo(wide().Add(up, down), fromInt(2))
		// With q = exp(−π·sinh t): 1 − tanh = 2q/(1 + q), 1/cosh² = 4q/(1 + q)².
		q := expWide(wide().Neg(wide().Mul(constants().pi, sinh)))
		over := wide().Add(fromInt(1), q)
		r[j].distance = mustFinish(wide().Quo(wide().Mul(fromInt(2), q), over))
		w := wide().Quo(wide().Mul(fromInt(4), q), wide().Mul(over, over))
		r[j].weight = mustFinish(wide().Mul(wide().Mul(constants().half, cosh), w))
	}
	return r
})

// doubleExponential integrates an f that is smooth inside the range but may
// have a singularity at an end, such as 1/√x. The radius is the change from
// steps twice as long.
//
// Source: Takahasi and Mori, Double exponential formulas for numerical
// integration, Publ. RIMS 9 (1974) 721–741.
func doubleExponential(f Func, a, b Value) (Value, error) {
	width, err := Sub(b, a)
	if err != nil {
		return Value{}, err
	}
	half, err := Div(width, Int(2))
	if err != nil {
		return Value{}, err
	}
	all, even := Int(0), Int(0)
	cut := 0.0
	for _, end := range []struct {
		at    Value
		sign  int64
		first int
	}{{a, 1, 0}, {b, -1, 1}} {
		for j := end.first; j <= reach; j++ {
			term, err := endpointTerm(f, end.at, half, end.sign, j)
			if err != nil {
				if j < reach/2 {
					return Value{}, err
				}
				break // too close to the end for 192 bits
			}
			cut = math.Abs(term.Float64())
			if all, err = Add(all, term); err != nil {
				return Value{}, err
			}
			if j%2 == 0 {
				if even, err = Add(even, term); err != nil {
					return Value{}, err
				}
			}
		}
	}
	scale, err := Div(half, Int(steps))
	if err != nil {
		return Value{}, err
	}
	fine, err := Mul(all, scale)
	if err != nil {
		return Value{}, err
	}
	coarse, err := Mul(even, scale)
	if err != nil {
		return Value{}, err
	}
	// The rule with steps twice as long is twice the sum of every other term.
	rest, err := Sub(fine, Value{newFloat().Mul(coarse.mid, newFloat().SetInt64(2)), 0, true})
	if err != nil {
		return Value{}, err
	}
	fine.rad += float64(10*math.Abs(rest.Float64())) + float64(30*cut*math.Abs(scale.Float64())) // the tail falls slowest for 1/√x
	fine.est = true
	return fine, nil
}

// endpointTerm is f times its weight at the j-th place from the middle towards
// an end; sign is the direction from that end inwards.
func endpointTerm(f Func, end, half Value, sign int64, j int) (Value, error) {
	node := endpointRule()[j]
	offset, err := Mul(half, node.distance)
	if err != nil {
		return Value{}, err
	}
	if offset, err = Mul(offset, Int(sign)); err != nil {
		return Value{}, err
	}
	x, err := Add(end, offset)
	if err != nil {
		return Value{}, err
	}
	y, err := f(x)
	if err != nil {
		return Value{}, err
	}
	return Mul(y, node.weight)
}
