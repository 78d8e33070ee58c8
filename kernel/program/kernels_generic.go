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

// The loops below are those of a long sum; they do eight lanes a turn. Their
// slices hold whole groups of lanes.

// linearGeneric sets dst[i] = ((start + i)·m)·k + c.
func linearGeneric(dst []float64, start, m, k, c float64) {
	for i := 0.0; len(dst) >= laneGroup; i += laneGroup {
		d := (*[laneGroup]float64)(dst)
		s := start + i // exact, like each s + 1, s + 2, …
		d[0] = float64((s*m)*k) + c
		d[1] = float64(((s+1)*m)*k) + c
		d[2] = float64(((s+2)*m)*k) + c
		d[3] = float64(((s+3)*m)*k) + c
		d[4] = float64(((s+4)*m)*k) + c
		d[5] = float64(((s+5)*m)*k) + c
		d[6] = float64(((s+6)*m)*k) + c
		d[7] = float64(((s+7)*m)*k) + c
		dst = dst[laneGroup:]
	}
}

// mulAddGeneric sets dst = a·m + c, rounding the product.
func mulAddGeneric(dst, a []float64, m, c float64) {
	for len(dst) >= laneGroup && len(a) >= laneGroup {
		d, x := (*[laneGroup]float64)(dst), (*[laneGroup]float64)(a)
		d[0] = float64(x[0]*m) + c
		d[1] = float64(x[1]*m) + c
		d[2] = float64(x[2]*m) + c
		d[3] = float64(x[3]*m) + c
		d[4] = float64(x[4]*m) + c
		d[5] = float64(x[5]*m) + c
		d[6] = float64(x[6]*m) + c
		d[7] = float64(x[7]*m) + c
		dst, a = dst[laneGroup:], a[laneGroup:]
	}
}

// quarticGeneric sets dst = ((a·a)·(a·a))·m.
func quarticGeneric(dst, a []float64, m float64) {
	for len(dst) >= laneGroup && len(a) >= laneGroup {
		d, x := (*[laneGroup]float64)(dst), (*[laneGroup]float64)(a)
		q0, q1, q2, q3 := x[0]*x[0], x[1]*x[1], x[2]*x[2], x[3]*x[3]
		q4, q5, q6, q7 := x[4]*x[4], x[5]*x[5], x[6]*x[6], x[7]*x[7]
		d[0] = (q0 * q0) * m
		d[1] = (q1 * q1) * m
		d[2] = (q2 * q2) * m
		d[3] = (q3 * q3) * m
		d[4] = (q4 * q4) * m
		d[5] = (q5 * q5) * m
		d[6] = (q6 * q6) * m
		d[7] = (q7 * q7) * m
		dst, a = dst[laneGroup:], a[laneGroup:]
	}
}

// recipGeneric sets dst = c/(m·a) and reports whether every divisor is finite.
func recipGeneric(dst []float64, c, m float64, a []float64) bool {
	var doubt float64
	for len(dst) >= laneGroup && len(a) >= laneGroup {
		d, x := (*[laneGroup]float64)(dst), (*[laneGroup]float64)(a)
		v0, v1, v2, v3 := float64(x[0]*m), float64(x[1]*m), float64(x[2]*m), float64(x[3]*m)
		v4, v5, v6, v7 := float64(x[4]*m), float64(x[5]*m), float64(x[6]*m), float64(x[7]*m)
		d[0], d[1], d[2], d[3] = c/v0, c/v1, c/v2, c/v3
		d[4], d[5], d[6], d[7] = c/v4, c/v5, c/v6, c/v7
		doubt += ((v0 - v0) + (v1 - v1)) + ((v2 - v2) + (v3 - v3)) +
			(((v4 - v4) + (v5 - v5)) + ((v6 - v6) + (v7 - v7)))
		dst, a = dst[laneGroup:], a[laneGroup:]
	}
	return doubt == 0
}

// linear is ((x·m)·k) + c.
type linear struct{ m, k, c float64 }

// termGeneric does linearGeneric, quarticGeneric with q and recipGeneric with r and c in
// one pass for n lanes, with the same roundings: while one division is under way, the
// products of the next terms are done. Lanes beyond the last whole group go through the
// three, so that copies of the last lane raise no doubt here either.
func termGeneric(dst []float64, n int, start float64, of linear, q, r, c float64) bool {
	var doubt float64
	whole := n &^ (laneGroup - 1)
	rest := dst[whole:]
	for i := 0.0; i < float64(whole); i += 4 {
		d := (*[4]float64)(dst)
		s := start + i // exact, like each s + 1, s + 2, s + 3
		x0 := float64((s*of.m)*of.k) + of.c
		x1 := float64(((s+1)*of.m)*of.k) + of.c
		x2 := float64(((s+2)*of.m)*of.k) + of.c
		x3 := float64(((s+3)*of.m)*of.k) + of.c
		x0, x1, x2, x3 = x0*x0, x1*x1, x2*x2, x3*x3
		v0, v1 := float64(((x0*x0)*q)*r), float64(((x1*x1)*q)*r)
		v2, v3 := float64(((x2*x2)*q)*r), float64(((x3*x3)*q)*r)
		d[0], d[1], d[2], d[3] = c/v0, c/v1, c/v2, c/v3
		doubt += ((v0 - v0) + (v1 - v1)) + ((v2 - v2) + (v3 - v3))
		dst = dst[4:]
	}
	sound := doubt == 0
	if len(rest) > 0 {
		linearGeneric(rest, start+float64(whole), of.m, of.k, of.c)
		pad(rest, n-whole)
		quarticGeneric(rest, rest, q)
		sound = recipGeneric(rest, c, r, rest) && sound
	}
	return sound
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
