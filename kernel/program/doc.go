// Package program evaluates expressions of the notation. It has two ways to do
// so, which agree to the last bit:
//
//   - a walker (walk.go) goes over the tree once, one value at a time, and has
//     the place of every operation, so it is the one that explains what failed;
//   - a program (compile.go, exec.go) is the same expression as a list of
//     operations over blocks of float64, for whatever is evaluated many times:
//     the terms of a sum, the points of a curve, an integrand.
//
// A program watches for trouble only coarsely: a result that is not finite, or
// an operation that would hide an operand that is not. A lane in doubt is given
// to the walker, which returns its value or the error with its place. So the
// branch of an "if" that is not taken never raises an error, and no NaN or
// infinity leaves the package.
//
// Expressions that hold a bracket are evaluated by interval arithmetic
// (interval.go), from the leaves on. One that depends on a bracket more than
// once is then looked at as a function of the brackets that were written, with
// definitions and functions put in (tight.go), and its bounds are improved by
// the signs of its derivatives, the mean value form and bisection
// (tight_search.go).
//
// Dimensions have been checked before (package check): every number here is in
// SI base units. A quantity is its number times the unit's factor.
//
// The slope of a formula with branches is a limit from both sides: each branch
// is replaced by the one that provably holds on an interval beside the place
// (onesided.go), and the two formulas must meet there (derivative_seam.go).
//
// # Rules of arithmetic
//
//   - IEEE 754 binary64, each operation rounded by itself, never fused.
//   - x^n for whole |n| ≤ 64 is multiplied out by repeated squaring from the
//     left, x⁴ = (x·x)²; a negative n adds one division. x^(1/2) is √x. Other
//     powers and the functions are those of package elementary: within 0.6
//     units in the last place, and the same bits on every machine.
//   - A sum adds term k to lane k mod 8 of its chunk of 4096 terms; the lanes
//     are added pairwise, the chunks in order with compensation (Neumaier 1974).
//     A product is formed the same way, with the exponent kept apart so that it
//     neither overflows nor vanishes on the way. Neither depends on the size of
//     a block or on how many cores took part.
//   - A sum or product whose last value lies below its first is empty: 0 or 1.
//   - A result too small for a float64 becomes zero; too large is an error.
//
// # Error estimates
//
// Integrals, roots and extremes are enclosed by package certify (certify.go); the
// value is the middle of the enclosure, and its half width the estimate. Where
// there is no narrow enclosure, package num estimates, the estimate is held
// within the enclosure if there is one, and Run.Doubts names the form.
//
// Value.ErrorEstimate carries the error that quadrature and numeric derivatives
// admit to, to first order through + − · / ^ and by the change of the function
// over the interval of the estimate for everything else. Rounding is not in it.
// A named value does not carry it on.
package program
