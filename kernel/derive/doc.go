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
// An integral of a power of a linear function, of a polynomial, or of a function
// with a short antiderivative is replaced by its antiderivative, which is
// accepted only after differentiating it. A sum is compared with a closed form by
// its first value and its differences. A root is compared with a closed form by
// putting that in. What exact arithmetic cannot decide is evaluated at many
// points of the stated domain with 192 bits and a bound of the error (package
// bigfloat): random points over wide ranges, points close to every edge, points
// where two names that are compared are nearly equal, points on both sides
// of every switch between two formulas, points where several names are 0 or equal
// at once, and large numbers of terms. A bound is also tried where its two sides
// come closest, which is searched for from the points where it holds least.
//
// Other claims are turned into equations or signs. A bound is the sign of a
// difference. "∝ b" below a is a(p)·b(q) = a(q)·b(p) at any two points p and q of
// the domain that agree in the names held constant. "dθ/dx = r" is the derivative
// of θ equal to r, and "∫ f dx = F + C" is f equal to the derivative of F + C.
// "≈ b for small k" is that a − b is of a higher order in k than what b keeps: both
// are expanded exactly (algebra.Expand), once for each sign that k may have, and what
// the expansions need, such as first terms that are not 0, is proved or keeps the step
// from being called a proof.
//
// An equation for a name that a line below solves for is a condition. It is solved at
// once for one of its names, exactly, and that name then has a value in terms of the
// others, so that all lines below are judged on the solutions (condition.go).
//
// # What a verdict is worth
//
// "Follows" is a proof that the two lines are equal for all data that the givens
// allow and for which the line above has a value. Equal by algebra is not
// enough: every divisor, root, logarithm and integrand of the claim must be
// shown to have a value (prover.defined), and so must the condition of each rule
// that was used: that the integrand has a value on the whole range before an
// antiderivative is believed, that a root is in its range and is the only one,
// that a closed form is differentiable between the two points where it is
// compared, where nothing is used that the givens say of the name that runs there. Signs are proved by writing every name as what the givens say of it
// (type prover). What is not proved is not assumed.
//
// "Agrees" means agreement to 30 digits (20 where a limit is extrapolated) at
// Points random points or more, and at all others that were tried. It is no
// proof:
//
//   - A wrong step that is a quotient of polynomials, the difference having a
//     numerator of total degree D, agrees at one point with probability at most
//     D/2⁵² if values were compared exactly (Schwartz 1980, Zippel 1979; the
//     names are drawn from at least 2⁵² values each), so at all of Points = 12
//     points with (D/2⁵²)¹²; for D = 1000, below 10⁻¹⁵⁰.
//   - Values are compared down to their error bounds, about 50 digits for
//     formulas without integral, root or limit, and 20 digits with them: a claim
//     that differs by less everywhere passes.
//   - A claim that differs on a small piece of the domain only may agree.
//
// "Fails" is decided exactly, or by a point at which the error bounds of the two
// sides keep apart: for formulas without integral, limit or root these bounds
// are rigorous, with them they are estimates, and a thousandfold distance is
// asked for.
package derive
