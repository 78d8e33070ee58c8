//go:build amd64 && !purego

package program

import "golang.org/x/sys/cpu"

// useAVX2 chooses the loops in kernels_amd64.s, which do the same operations,
// each rounded by itself, and so give the same bits as those in plain Go.
var useAVX2 = cpu.X86.HasAVX2

// The loops of kernels_amd64.s. n is a positive multiple of 8; sa, sb and sc
// are 64 for an operand with a number for each lane and 0 for one that is held
// 8 times. Operands may be dst itself.

//go:noescape
func addAVX2(dst, a, b *float64, n, sa, sb int)

//go:noescape
func subAVX2(dst, a, b *float64, n, sa, sb int)

//go:noescape
func mulAVX2(dst, a, b *float64, n, sa, sb int)

// divAVX2 returns 0 if every divisor is finite.
//
//go:noescape
func divAVX2(dst, a, b *float64, n, sa, sb int) (doubt int)

//go:noescape
func sqrtAVX2(dst, a *float64, n, sa int)

// mulAddAVX2 sets dst = a·m + c.
//
//go:noescape
func mulAddAVX2(dst, a *float64, n int, m, c float64)

// quarticAVX2 sets dst = ((a·a)·(a·a))·m.
//
//go:noescape
func quarticAVX2(dst, a *float64, n int, m float64)

// recipAVX2 sets dst = c/(a·m) and returns 0 if every divisor is finite.
//
//go:noescape
func recipAVX2(dst, a *float64, n int, m, c float64) (doubt int)

// scaledAVX2 sets dst[i] = (start + i)·m.
//
//go:noescape
func scaledAVX2(dst *float64, n int, start, m float64)

// linearAVX2 sets dst[i] = ((start + i)·m)·k + c.
//
//go:noescape
func linearAVX2(dst *float64, n int, start, m, k, c float64)

// sumAVX2 adds x[8k+j] to acc[j].
//
//go:noescape
func sumAVX2(acc, x *float64, n int)

func (v vec) stride() int {
	if v.one {
		return 0
	}
	return 8 * laneGroup
}

func addTo(dst []float64, a, b vec) {
	if !useAVX2 {
		addGeneric(dst, a, b)
		return
	}
	addAVX2(&dst[0], &a.v[0], &b.v[0], len(dst), a.stride(), b.stride())
}

func subTo(dst []float64, a, b vec) {
	if !useAVX2 {
		subGeneric(dst, a, b)
		return
	}
	subAVX2(&dst[0], &a.v[0], &b.v[0], len(dst), a.stride(), b.stride())
}

func mulTo(dst []float64, a, b vec) {
	if !useAVX2 {
		mulGeneric(dst, a, b)
		return
	}
	mulAVX2(&dst[0], &a.v[0], &b.v[0], len(dst), a.stride(), b.stride())
}

func divTo(dst []float64, a, b vec) bool {
	if !useAVX2 {
		return divGeneric(dst, a, b)
	}
	return divAVX2(&dst[0], &a.v[0], &b.v[0], len(dst), a.stride(), b.stride()) == 0
}

func sqrtTo(dst []float64, a vec) {
	if !useAVX2 {
		sqrtGeneric(dst, a)
		return
	}
	sqrtAVX2(&dst[0], &a.v[0], len(dst), a.stride())
}

func mulAddTo(dst, a []float64, m, c float64) {
	if !useAVX2 {
		mulAddGeneric(dst, a, m, c)
		return
	}
	mulAddAVX2(&dst[0], &a[0], len(dst), m, c)
}

func quarticTo(dst, a []float64, m float64) {
	if !useAVX2 {
		quarticGeneric(dst, a, m)
		return
	}
	quarticAVX2(&dst[0], &a[0], len(dst), m)
}

func recipTo(dst []float64, c, m float64, a []float64) bool {
	if !useAVX2 {
		return recipGeneric(dst, c, m, a)
	}
	return recipAVX2(&dst[0], &a[0], len(dst), m, c) == 0
}

func linearTo(dst []float64, n int, start, m, k, c float64) {
	if !useAVX2 {
		linearGeneric(dst, start, m, k, c)
	} else {
		linearAVX2(&dst[0], len(dst), start, m, k, c)
	}
	pad(dst, n)
}

// scaledTo sets the first n lanes and pads the rest.
func scaledTo(dst []float64, n int, start, m float64) {
	if !useAVX2 {
		scaledGeneric(dst[:n], start, m)
	} else {
		scaledAVX2(&dst[0], len(dst), start, m)
	}
	pad(dst, n)
}

func sumLanes(acc *[laneGroup]float64, x []float64) {
	if !useAVX2 {
		sumGeneric(acc, x)
		return
	}
	sumAVX2(&acc[0], &x[0], len(x))
}
