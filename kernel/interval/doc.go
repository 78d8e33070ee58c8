// Package interval computes with guaranteed brackets: every operation returns a
// lower and an upper value between which the true result certainly lies,
// whatever numbers between the ends of its arguments were meant (interval
// arithmetic with outward rounding).
//
// # How the rounding is done
//
// The processor keeps rounding to nearest. The sign of the rounding error tells
// which neighbour is the bound: for a sum from the error-free transformation
// TwoSum (Knuth, The Art of Computer Programming, vol. 2, 4.2.2; Møller 1965),
// for a product, quotient or square root from the exact remainder that a fused
// multiply-add gives (Muller et al., Handbook of Floating-Point Arithmetic,
// 2nd ed., ch. 4 and 5; both references from memory). So Add, Sub, Mul, Div,
// Sqr and Sqrt give the tightest bracket of float64 ends, and an exact result
// stays exact. Where a remainder could underflow (below about 1e-270) the ends
// move one unit outward instead.
//
// Exp, Ln, Log10, Sin, Cos, Tan, Asin, Acos, Atan, Atan2 and powers take the
// value of package elementary, which is proven to be a neighbour of the true
// value or the float64 nearest to it (its PROOF.md), and move it outward by one
// float64. Whether a crest or a pole lies within an argument of Sin, Cos and Tan
// is found from its multiple of π/2, held to 159 bits.
//
// # Departures from IEEE 1788-2015
//
// There is no empty and no unbounded bracket: what would be empty, or would
// reach infinity, is an error. A function is refused if any part of its
// argument lies outside its domain, and a quotient if its divisor holds 0.
// Atan2 over the branch cut returns all of [−π, π].
//
// # Errors
//
// An *Error wraps ErrDivideByZero, ErrDomain, ErrOverflow or ErrInvalid. A
// result is never NaN, infinite, or with its ends exchanged. Operations expect
// brackets made by this package; a hand-made one with such ends gives an error
// or a bracket without meaning, but no panic.
//
// Nothing allocates except Literal and errors.
package interval
