// Package derive judges derivations: whether each step follows from the line
// above it, and if it does not, what kind of mistake it is.
//
// A step is judged against the line just above it, never against a stored
// answer, so any valid route is accepted, and after a wrong step the later ones
// are judged on their own.
//
// # How a step is judged
//
// First the dimensions. Then exact arithmetic (package algebra): rational
// functions of the given names, with π, roots and functions as indeterminates.
// An integral of a power of a linear function, or of a polynomial, is replaced
// by its antiderivative, which is accepted only after differentiating it. A sum
// is compared with a closed form by its first value and its differences. A root
// is compared with a closed form by putting that in. What exact arithmetic
// cannot decide is evaluated at many points of the stated domain with 192 bits
// and a bound of the error (package precise): random points over wide ranges,
// points close to every edge, points where two names that are compared are
// nearly equal.
//
// # What "follows" is worth
//
// Decided exactly, it is a proof, for all points at which both lines have a
// value. Decided by evaluation it means agreement to 30 digits (20 where a
// limit is extrapolated) at Points random points or more:
//
//   - A wrong step that is a quotient of polynomials, the difference having a
//     numerator of total degree D, agrees at one point with probability at most
//     D/2⁵² if values were compared exactly (Schwartz 1980, Zippel 1979; the
//     names are drawn from at least 2⁵² values each), so at all of Points = 12
//     points with (D/2⁵²)¹²; for D = 1000, below 10⁻¹⁵⁰.
//   - Values are compared down to their error bounds, about 50 digits for
//     formulas without integral, root or limit, and 20 digits with them: a claim
//     that differs by less everywhere passes. No slip of the pen is that small.
//   - For other functions, assuming that the difference of the two lines is
//     real-analytic on the domain and not within these digits of 0 on more than
//     the part p of what is drawn from, the probability is p¹². A claim that
//     differs on a small piece of the domain only, behind an if, a max or a
//     floor, has a p near 1 and may slip through; the reason given with the
//     verdict records that points were compared.
//
// "Fails" is decided exactly, or by a point at which the error bounds of the two
// sides keep apart: for formulas without integral, limit or root these bounds
// are rigorous, with them they are estimates, and a thousandfold distance is
// asked for.
package derive
