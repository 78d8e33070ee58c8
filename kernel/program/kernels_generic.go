package program

import "math"

// The loops in plain Go. They work for every length; conversions such as
// float64(x*y) keep a compiler from fusing a product into a sum.

func addGeneric(dst []float64, a, b vec) {
	switch {
	case a.one:
		x, y := a.v[0], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x + y[i]
		}
	case b.one:
		x, y := a.v[:len(dst)], b.v[0]
		for i := range dst {
			dst[i] = x[i] + y
		}
	default:
		x, y := a.v[:len(dst)], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x[i] + y[i]
		}
	}
}

func subGeneric(dst []float64, a, b vec) {
	switch {
	case a.one:
		x, y := a.v[0], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x - y[i]
		}
	case b.one:
		x, y := a.v[:len(dst)], b.v[0]
		for i := range dst {
			dst[i] = x[i] - y
		}
	default:
		x, y := a.v[:len(dst)], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x[i] - y[i]
		}
	}
}

func mulGeneric(dst []float64, a, b vec) {
	switch {
	case a.one:
		x, y := a.v[0], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x * y[i]
		}
	case b.one:
		x, y := a.v[:len(dst)], b.v[0]
		for i := range dst {
			dst[i] = x[i] * y
		}
	default:
		x, y := a.v[:len(dst)], b.v[:len(dst)]
		for i := range dst {
			dst[i] = x[i] * y[i]
		}
	}
}

// divGeneric reports whether every divisor is finite. A zero shows in the
// quotient.
func divGeneric(dst []float64, a, b vec) bool {
	var doubt float64 // 0 as long as all divisors are finite
	switch {
	case a.one:
		x, y := a.v[0], b.v[:len(dst)]
		for i := range dst {
			v := y[i]
			dst[i] = x / v
			doubt += v - v
		}
	case b.one:
		x, y := a.v[:len(dst)], b.v[0]
		doubt = y - y
		for i := range dst {
			dst[i] = x[i] / y
		}
	default:
		x, y := a.v[:len(dst)], b.v[:len(dst)]
		for i := range dst {
			v := y[i]
			dst[i] = x[i] / v
			doubt += v - v
		}
	}
	return doubt == 0
}

func sqrtGeneric(dst []float64, a vec) {
	if a.one {
		fill(dst, math.Sqrt(a.v[0]))
		return
	}
	x := a.v[:len(dst)]
	for i := range dst {
		dst[i] = math.Sqrt(x[i])
	}
}

// scaledGeneric sets dst[i] = (start + i)·m.
func scaledGeneric(dst []float64, start, m float64) {
	for i := range dst {
		dst[i] = (start + float64(i)) * m
	}
}

// mulAddGeneric sets dst = a·b + c for uniform b and c, rounding the product.
func mulAddGeneric(dst []float64, a, b, c vec) {
	x, m, s := a.v[:len(dst)], b.v[0], c.v[0]
	for i := range dst {
		dst[i] = float64(x[i]*m) + s
	}
}

// quarticGeneric sets dst = (a·a)·(a·a).
func quarticGeneric(dst []float64, a vec) {
	x := a.v[:len(dst)]
	for i := range dst {
		q := x[i] * x[i]
		dst[i] = q * q
	}
}

// recipGeneric sets dst = c/(b·a) for uniform c and b.
func recipGeneric(dst []float64, c, b, a vec) bool {
	x, m, t := a.v[:len(dst)], b.v[0], c.v[0]
	var doubt float64
	for i := range dst {
		v := x[i] * m
		dst[i] = t / v
		doubt += v - v
	}
	return doubt == 0
}

// sumGeneric adds x[8k+j] to acc[j]; the length of x is a multiple of 8.
func sumGeneric(acc *[laneGroup]float64, x []float64) {
	a0, a1, a2, a3, a4, a5, a6, a7 := acc[0], acc[1], acc[2], acc[3], acc[4], acc[5], acc[6], acc[7]
	for len(x) >= laneGroup {
		t := (*[laneGroup]float64)(x)
		a0 += t[0]
		a1 += t[1]
		a2 += t[2]
		a3 += t[3]
		a4 += t[4]
		a5 += t[5]
		a6 += t[6]
		a7 += t[7]
		x = x[laneGroup:]
	}
	*acc = [laneGroup]float64{a0, a1, a2, a3, a4, a5, a6, a7}
}
