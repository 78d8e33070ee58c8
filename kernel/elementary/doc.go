// Package elementary computes exponentials, logarithms, powers, sines and arcs
// with proven error bounds and the same bits on every machine.
//
// The bounds, in units in the last place of the true value, by PROOF.md:
//
//	Asin                       0.51
//	Exp, Ln, Log1p             0.52
//	Sin, Cos, Acos             0.52
//	Expm1, Log10, Log2         0.54
//	Tan, Atan, Atan2           0.54
//	Pow                        0.60
//
// They hold for every argument, huge ones and subnormal ones included, and for
// subnormal results. They are of the form 1/2 + 2⁵³·δ: the value before the last
// rounding is off by no more than δ, relatively. Three things follow. A true
// value that a float64 can hold is returned exactly (ln 1, log10 of 10ⁿ, 4^1.5).
// The true value always lies between the neighbours of the result, on which
// package interval builds. And odd functions are odd, even ones even, to the
// last bit, since every rounding is symmetric.
//
// Sinh and Cosh are sums of two exponentials, within 3 units; Hypot within 1.
//
// # The same bits
//
// Only + − × ÷ √ and operations on bits are used, each rounded by itself: every
// product that is added is written float64(x*y), which keeps a compiler from
// fusing it into the sum. The one math.FMA, in the reduction of huge angles, is
// exact on every machine by its definition. So .ci/machines finds the same bits
// on amd64 with and without FMA, arm64, riscv64 and wasm.
//
// # The ways
//
// Each function is reduced to a short interval by a table, whose entries are held
// as a head of 26 bits and a rest; the leading term of the result is then a
// product of two heads, which is exact, so that only terms below 2⁻⁸ of the result
// are rounded. The polynomials are Taylor series, so that what they leave out is
// bounded by their next term. The tables are computed by testdata/tables.py.
//
// Exact sums and products: Dekker, A floating-point technique for extending the
// available precision (1971); Knuth, The Art of Computer Programming, vol. 2,
// 4.2.2. Reduction by tables: Tang, Table-driven implementation of the exponential
// function (1989). Huge angles: Payne and Hanek, Radian reduction for
// trigonometric functions (1983). All cited from memory.
package elementary
