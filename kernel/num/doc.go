// Package num finds integrals, roots, extremes and derivatives of functions of
// one variable that are given only by their values. It handles no units, names
// or text: numbers go in, numbers with an error estimate come out.
//
// Nothing here is proven: values are estimates. Package certify encloses the same
// quantities for functions whose operations it knows, and is asked first; this
// package is for what it leaves open.
//
// Functions are evaluated in blocks (see [Func]), so that a compiled formula
// pays its overhead once a block. Every method is re-entrant and keeps nothing
// between calls: an integrand may itself integrate.
//
// # Which method, tolerance and limit each uses
//
//	Integrate      adaptive Gauss–Kronrod 7–15 with QUADPACK's error rule; at a
//	               singular end a double-exponential rule, or a power
//	               substitution where the end is not at 0
//	  tolerance    max(AbsTol, RelTol·|I|), 1e-10 relative if neither is given,
//	               never below 50 ulp of ∫|f|
//	  limit        MaxEvaluations, 200 000 if not given
//	  source       Piessens, de Doncker-Kapenga, Überhuber, Kahaner: QUADPACK,
//	               Springer 1983, sections 2.2 and 3.4; Takahasi, Mori: Double
//	               exponential formulas for numerical integration, Publ. RIMS 9
//	               (1974) 721–741
//	FindRoot       sign scan at 129 points, then Chandrupatla's method
//	  tolerance    the bracket is a few ulps wide
//	  limit        MaxEvaluations, 10 000 if not given
//	  source       Chandrupatla: A new hybrid quadratic/bisection algorithm,
//	               Adv. Eng. Software 28 (1997) 145–149
//	FindExtreme    scan at 129 points, then Brent's minimiser on each candidate
//	  tolerance    the value to rounding, the place to about √ulp
//	  limit        MaxEvaluations, 10 000 if not given
//	  source       Brent: Algorithms for Minimization without Derivatives,
//	               Prentice-Hall 1973, chapter 5
//	Differentiate  central differences, extrapolated to step 0
//	  tolerance    the best the tableau offers; the estimate is how good
//	  limit        one block of 28 points
//	  source       Ridders: Accurate computation of F'(x) and F'(x)F''(x),
//	               Adv. Eng. Software 4 (1982) 75–76
//
// # What can be missed
//
// A function known only at points can do anything between them. Integrate
// accepts an integrand after one panel of 15 points if it is smooth there; the
// widest gap between these points is 0.104 of the range, so a feature narrower
// than that (or than 0.004 of the range at its ends), standing on a background
// as smooth as a polynomial and vanishing to rounding at all 15 points, is
// missed. A looser tolerance bisects less and so sees less. On a flat background (all values
// equal to rounding) four panels are looked at before it is believed, and the
// gap is 0.026. FindRoot and FindExtreme miss pairs of roots and extremes that
// lie between neighbours of 129 points, 1/128 of the range apart.
package num
