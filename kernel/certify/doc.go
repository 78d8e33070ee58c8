// Package certify encloses integrals, roots and extremes of functions of one
// variable: it returns a lower and an upper value between which the true one
// lies, proven by interval arithmetic, or says why it could not.
//
// A function is made with a [Builder], operation by operation, because samples
// of a function prove nothing about it between them. The same operations are
// then evaluated over real intervals (frame.go), over discs of the complex plane
// (disc.go), with their derivatives (slope.go), and next to a singular end as a
// power of the distance times an interval (scaled.go).
//
// # Integrals
//
// The range is cut into panels, the one with the largest possible share of the
// integral first.
//
//   - Where a branch changes (if, abs, min, max, floor, ceil, round), the place
//     is closed in on between neighbouring numbers and the panel cut there
//     (breaks.go). That the branch is the same on all of a panel is then shown
//     by interval evaluation over the panel; what remains in doubt, a few units
//     in the last place wide, counts with the whole range of the function.
//   - On a panel with known branches, the analytic continuation of that branch
//     is bounded on a disc around a Bernstein ellipse; Gauss–Legendre with as
//     many points as that bound demands follows, or the panel is bisected. Nodes,
//     weights and values are intervals, so that rounding is enclosed as well.
//   - Next to an end where the function is not bounded, the integral of
//     δ^p·[g] from 0 to h is taken in closed form; ends other than 0 are
//     approached in the variable δ, so that distances from them keep their
//     digits. With p ≤ −1 and [g] of one sign the integral is proven to diverge.
//   - An infinite limit becomes such an end by δ = 1/x.
//
// Sources: K. Petras, Self-validating integration and approximation of
// piecewise analytic functions, J. Comput. Appl. Math. 145 (2002) 345–359; F.
// Johansson, Numerical integration in arbitrary-precision ball arithmetic, ICMS
// 2018; G.F. Corliss, L.B. Rall, Adaptive, self-validating numerical quadrature,
// SIAM J. Sci. Stat. Comput. 8 (1987) 831–847 (all from memory); L.N. Trefethen,
// Approximation Theory and Approximation Practice, SIAM 2013, chapter 19 (from
// memory; its bound is proven anew in the comment of choose). That a branch need
// hold on the real panel only, not on the ellipse, is ours: the continuation of
// a branch does not depend on the condition that chose it.
//
// # Roots and extremes
//
// Roots are isolated by the interval Newton method with bisection; extremes are
// found by branch and bound with tests of monotonicity (R.E. Moore, R.B.
// Kearfott, M.J. Cloud, Introduction to Interval Analysis, SIAM 2009, chapters 8
// and 5; E. Hansen, G.W. Walster, Global Optimization Using Interval Analysis,
// 2nd ed., 2004; both from memory).
//
// # What is guaranteed
//
// An [Enclosure] that is Certain holds the true value for every choice of the
// constants within their intervals. It rests on the operations of package
// interval and, for discs, on package math being right to 1e-14 relative, far
// above its errors.
package certify
