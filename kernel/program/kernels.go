package program

// blockLanes is how many lanes a program evaluates at a time: few enough that
// the registers of a formula stay in the first-level cache, many enough that
// choosing an operation costs nothing a lane.
const blockLanes = 1024

// laneGroup is the number of lanes that kernels work on at a time. Registers
// hold whole groups; the lanes beyond the last are copies of it, so that
// kernels need no tails and copies raise no trouble of their own.
const laneGroup = 8

// A vec is an operand of a kernel: one number a lane, or, if one is set, a
// number for all lanes, held laneGroup times.
type vec struct {
	v   []float64
	one bool
}

// chunkTerms is the number of terms that are added into the same eight lanes.
// It fixes the order of summation, so it is not a setting.
const chunkTerms = 4096

// combine adds the lanes of a chunk.
func combine(acc *[laneGroup]float64) float64 {
	return ((acc[0] + acc[4]) + (acc[2] + acc[6])) + ((acc[1] + acc[5]) + (acc[3] + acc[7]))
}

// accumulate adds x[j] to lane (phase+j) mod 8.
func accumulate(acc *[laneGroup]float64, x []float64, phase int) {
	for len(x) > 0 && phase%laneGroup != 0 {
		acc[phase%laneGroup] += x[0]
		x, phase = x[1:], phase+1
	}
	whole := len(x) &^ (laneGroup - 1)
	if whole > 0 {
		sumLanes(acc, x[:whole])
	}
	for j, t := range x[whole:] {
		acc[j] += t
	}
}
