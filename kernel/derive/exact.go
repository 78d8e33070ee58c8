package derive

import (
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// An exactly is what exact arithmetic finds about two lines.
type exactly struct {
	equal   bool
	decided bool
	how     string // the argument
}

// exactly decides by exact arithmetic whether two lines are equal wherever both
// have a value.
func (j *judge) exactly(p *prover, a, b *statement, step *notation.DeriveStep) exactly {
	// First with the defined names as they are: if that is equal for any value
	// of theirs, it is for the one they have.
	if equal, decided := algebra.EqualExactly(a.part, b.part, nil); equal && decided {
		return exactly{true, true, byAlgebra}
	}
	x, y := p.resolve(a.full), p.resolve(b.full)
	x, y = p.factorials(p.plainSums(x), p.plainSums(y))
	if equal, decided := algebra.EqualExactly(x, y, nil); decided {
		return exactly{equal, true, byAlgebra}
	}
	if p.sameSquares(x, y) {
		return exactly{true, true, "both lines have the same square and the same sign, by exact algebra"}
	}
	if p.satisfiesRoot(x, y) || p.satisfiesRoot(y, x) {
		return exactly{true, true, "put into the equation it satisfies it exactly, and there is only one root in the range"}
	}
	if j.substitutedBack(p, a, b, step) {
		return exactly{true, true, "equal by exact algebra once the variable is changed back"}
	}
	cx := p.limits(p.closed(x))
	cy := p.limits(p.closed(y))
	if cx != x || cy != y {
		cx, cy = p.resolve(cx), p.resolve(cy) // the logarithms of antiderivatives
		if equal, decided := algebra.EqualExactly(cx, cy, nil); decided {
			return exactly{equal, true, inClosedForm}
		}
	}
	if p.sameSlope(j.scope, a.part, b.part) || p.sameSlope(j.scope, x, y) {
		return exactly{true, true, "both lines have the same derivative by the upper limit, and agree where the limits coincide"}
	}
	if p.sameDifferences(j.scope, x, y) {
		return exactly{true, true, "both lines grow by the same term from each number of terms to the next, and agree for the first"}
	}
	return exactly{}
}

const (
	byAlgebra    = "equal by exact algebra"
	inClosedForm = "equal by exact algebra, with integrals, limits and roots in closed form; each antiderivative was checked by differentiating it"
)

// closed replaces the integrals in e whose antiderivative is known and whose
// integrand is proved to have a value on the whole range, and roots of linear
// expressions.
func (p *prover) closed(e notation.Expr) notation.Expr {
	return p.rewrite(e, func(e notation.Expr) notation.Expr {
		b, ok := e.(*notation.Bind)
		if ok && b.Kind == notation.FindRoot {
			if x, ok := p.linearRoot(b); ok {
				return x
			}
		}
		if !ok || b.Kind != notation.Integral {
			return e
		}
		if isPiecewise(b.Body) {
			if value, ok := p.byPieces(b, maxPieces); ok {
				return makerAt(b).paren(value)
			}
		}
		if p.definedBind(b) != nil {
			return e
		}
		value, ok := integral(p, b, b.Body, 8, honest)
		if !ok {
			return e
		}
		return makerAt(b).paren(value)
	})
}

// simplified returns a line with its integrals, roots and limits in closed form
// where that is proved.
func (p *prover) simplified(s *statement) *statement {
	e := p.limits(p.closed(p.resolve(s.full)))
	if e == s.full || !isCostly(s.full) {
		return s
	}
	c := *s
	c.full, c.found = e, nil
	return &c
}

// rewrite applies f to the parts of e, the inner ones first, with the ranges of
// the forms around each known to p. It returns e itself if nothing changes.
func (p *prover) rewrite(e notation.Expr, f func(notation.Expr) notation.Expr) notation.Expr {
	changed := false
	var walk func(notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		var inner notation.Expr
		if b, ok := e.(*notation.Bind); ok && b.To != nil {
			c := *b
			c.From, c.To = walk(b.From), walk(b.To)
			p.in(b.Var.Ident, b.From, b.To, func() bool { c.Body = walk(b.Body); return true })
			inner = &c
		} else if ok && p.isGiven(b.Var.Ident) {
			inner = e // what the givens say of the name does not hold inside
		} else if ok && b.Kind == notation.Limit {
			p.towards(b, func() { inner = notation.Map(e, walk) })
		} else {
			inner = notation.Map(e, walk)
		}
		out := f(inner)
		changed = changed || out != inner
		return out
	}
	if out := walk(e); changed {
		return out
	}
	return e
}

// resolve replaces |u| and √(u²) where the sign of u is proved, and takes the
// logarithms of products and powers of positive factors apart.
func (p *prover) resolve(e notation.Expr) notation.Expr {
	return p.rewrite(e, func(e notation.Expr) notation.Expr {
		if c, ok := e.(*notation.Call); ok && len(c.Args) == 1 && (c.Fun.Ident == "ln" || c.Fun.Ident == "log10") {
			return p.logarithm(c, c.Args[0], 12)
		}
		inner, ok := absoluteOf(e)
		if !ok {
			return e
		}
		switch s := p.sign(inner); {
		case s.Within(algebra.NonNegative):
			return makerAt(e).paren(inner)
		case s.Within(algebra.NonPositive):
			return makerAt(e).paren(makerAt(e).neg(makerAt(e).paren(inner)))
		}
		return e
	})
}

// logarithm takes the logarithm of a product, a quotient or a power apart if its
// factors are proved to be positive.
func (p *prover) logarithm(c *notation.Call, x notation.Expr, depth int) notation.Expr {
	m := makerAt(c)
	product, ok := notation.Unparen(x).(*notation.Binary)
	if ok && depth > 0 && p.sign(product.X) == algebra.Positive {
		switch product.Op {
		case notation.OpMul, notation.OpDiv:
			if p.sign(product.Y) != algebra.Positive {
				break
			}
			op := notation.OpAdd
			if product.Op == notation.OpDiv {
				op = notation.OpSub
			}
			return m.paren(m.binary(op, p.logarithm(c, product.X, depth-1), p.logarithm(c, product.Y, depth-1)))
		case notation.OpPow:
			return m.paren(m.mul(m.paren(product.Y), p.logarithm(c, product.X, depth-1)))
		}
	}
	if x == c.Args[0] {
		return c
	}
	return m.call(c.Fun.Ident, notation.Unparen(x))
}

// absoluteOf returns the u of |u|, abs(u) and √(u²).
func absoluteOf(e notation.Expr) (notation.Expr, bool) {
	var under notation.Expr
	switch e := e.(type) {
	case *notation.Abs:
		return e.X, true
	case *notation.Root:
		under = e.X
	case *notation.Call:
		if e.Fun.Ident == "abs" && len(e.Args) == 1 {
			return e.Args[0], true
		}
		if e.Fun.Ident != "sqrt" || len(e.Args) != 1 {
			return nil, false
		}
		under = e.Args[0]
	default:
		return nil, false
	}
	square, ok := notation.Unparen(under).(*notation.Binary)
	if !ok || square.Op != notation.OpPow {
		return nil, false
	}
	n, ok := exponentOf(square)
	return square.X, ok && n == 2
}

// sameSquares decides lines with roots: x = y if x² = y² and both have one sign.
func (p *prover) sameSquares(x, y notation.Expr) bool {
	if isCostly(x) || isCostly(y) {
		return false
	}
	s, t := p.sign(x), p.sign(y)
	if !(s.Within(algebra.NonNegative) && t.Within(algebra.NonNegative) || s.Within(algebra.NonPositive) && t.Within(algebra.NonPositive)) {
		return false
	}
	m := makerAt(x)
	equal, decided := algebra.EqualExactly(m.pow(m.paren(x), 2), m.pow(m.paren(y), 2), nil)
	return equal && decided
}

// A method of integrating c·pᵐ; all but honest make a slip.
type method int

const (
	honest            method = iota
	noSlope                  // the slope of the inner function is not divided by
	noExponent               // the new exponent is not divided by
	noExponentSize           // the same, but for its sign
	sameExponent             // the exponent is not raised
	lowered                  // the exponent is lowered, as in differentiating
	upperOnly                // the antiderivative is taken at the upper limit only
	lowerOnly                // at the lower limit only
	lowerOnlyNegative        // the same, with the sign of a lower limit
)

// integral returns ∫ f over the range of b in closed form, by linearity, by the
// rule ∫ c·pᵐ dx = c·p^(m+1)/((m+1)·p′) for a linear p, and by Taylor's formula
// for a polynomial.
func integral(prove *prover, b *notation.Bind, f notation.Expr, depth int, how method) (notation.Expr, bool) {
	if depth == 0 {
		return nil, false
	}
	m := makerAt(b)
	switch e := notation.Unparen(f).(type) {
	case *notation.Unary:
		inner, ok := integral(prove, b, e.X, depth-1, how)
		if !ok || e.Op != notation.OpNeg {
			return inner, ok
		}
		return m.neg(m.paren(inner)), true
	case *notation.Binary:
		if e.Op != notation.OpAdd && e.Op != notation.OpSub {
			break
		}
		if value, ok := powerOfLinear(prove, b, f, how); ok {
			return value, true
		}
		x, ok1 := integral(prove, b, e.X, depth-1, how)
		y, ok2 := integral(prove, b, e.Y, depth-1, how)
		if ok1 && ok2 {
			return m.binary(e.Op, m.paren(x), m.paren(y)), true
		}
	}
	if value, ok := powerOfLinear(prove, b, f, how); ok {
		return value, true
	}
	if how != honest {
		return nil, false
	}
	if value, ok := prove.byTable(b, f); ok {
		return value, true
	}
	if value, ok := polynomial(b, f); ok {
		return value, true
	}
	return termByTerm(prove, b, f, depth)
}

// termByTerm multiplies the integrand out and integrates each term.
func termByTerm(prove *prover, b *notation.Bind, f notation.Expr, depth int) (notation.Expr, bool) {
	terms, ok := algebra.Terms(f, b.Var.Ident)
	if !ok {
		return nil, false
	}
	m := makerAt(b)
	sum := m.number(0)
	for _, term := range terms {
		value, ok := integral(prove, b, term, min(depth-1, 2), honest)
		if !ok {
			return nil, false
		}
		sum = m.add(sum, m.paren(value))
	}
	return sum, true
}

// powerOfLinear recognises f = c·pᵐ with p linear in the variable: then f′·p =
// m·f·p′. For a quotient of polynomials that is an identity; where f holds roots
// or functions, f/pᵐ is constant only on a range on which p has one sign.
func powerOfLinear(prove *prover, b *notation.Bind, f notation.Expr, how method) (notation.Expr, bool) {
	x := b.Var.Ident
	m := makerAt(b)
	if !isFree(f, x) {
		switch how {
		case upperOnly:
			return m.mul(m.paren(f), m.paren(b.To)), true
		case lowerOnly:
			return m.mul(m.paren(f), m.paren(b.From)), !isZero(b.From)
		}
		return m.mul(m.paren(f), m.paren(m.sub(m.paren(b.To), m.paren(b.From)))), how == honest
	}
	slope, err := algebra.Derivative(f, x, nil)
	if err != nil {
		return nil, false
	}
	for _, p := range linearParts(f, x) {
		q, err := algebra.Derivative(p, x, nil)
		if err != nil || isFree(q, x) {
			continue
		}
		exponent, ok := algebra.Quotient(m.mul(m.paren(slope), m.paren(p)), m.mul(m.paren(f), m.paren(q)), nil)
		if !ok || !exponent.Num().IsInt64() || exponent.Denom().Cmp(big.NewInt(12)) > 0 || exponent.Num().CmpAbs(big.NewInt(60)) > 0 {
			continue
		}
		if !isRational(f, x) && (how != honest || !prove.keepsSign(b, f, p)) {
			continue
		}
		if value, ok := integrated(b, f, p, q, exponent, how); ok {
			return value, true
		}
	}
	return nil, false
}

// keepsSign proves that p is not 0 on the range of b, and f smooth there.
func (p *prover) keepsSign(b *notation.Bind, f, part notation.Expr) bool {
	return p.in(b.Var.Ident, b.From, b.To, func() bool {
		s := p.sign(part)
		return s == algebra.Positive || s == algebra.Negative
	}) && p.isSmooth(f, b.Var.Ident, b.From, b.To)
}

// isRational reports whether e is a quotient of polynomials in x, as written.
func isRational(e notation.Expr, x string) bool {
	if !isFree(e, x) {
		return true
	}
	switch e := e.(type) {
	case *notation.Name:
		return true
	case *notation.Paren:
		return isRational(e.X, x)
	case *notation.Unary:
		return isRational(e.X, x)
	case *notation.Binary:
		if e.Op == notation.OpPow {
			_, ok := exponentOf(e)
			return ok && isRational(e.X, x)
		}
		return isRational(e.X, x) && isRational(e.Y, x)
	}
	return false
}

// linearParts returns the parts of f that contain x and are raised to a power, in
// a product or in a quotient, and x itself.
func linearParts(f notation.Expr, x string) []notation.Expr {
	var list []notation.Expr
	var walk func(e notation.Expr)
	walk = func(e notation.Expr) {
		e = notation.Unparen(e)
		if !isFree(e, x) || len(list) > 12 {
			return
		}
		switch e := e.(type) {
		case *notation.Binary:
			switch e.Op {
			case notation.OpMul, notation.OpDiv:
				walk(e.X)
				walk(e.Y)
			case notation.OpPow:
				walk(e.X)
			default:
				list = append(list, e)
				walk(e.X) // a sum of equal powers, as 1/x² + 2/x²
				walk(e.Y)
			}
		case *notation.Unary:
			walk(e.X)
		case *notation.Root:
			walk(e.X)
		case *notation.Name:
			list = append(list, e)
		case *notation.Call:
			if e.Fun.Ident == "sqrt" && len(e.Args) == 1 {
				walk(e.Args[0])
			}
		}
	}
	walk(f)
	return list
}

// integrated puts the limits into c·p^(m+1)/((m+1)·q). c is f·p^(−m),
// which does not depend on x, at the lower limit, or at the upper one where p is 0
// at the lower. The antiderivative is differentiated before it is believed.
func integrated(b *notation.Bind, f, p, q notation.Expr, exponent *big.Rat, how method) (notation.Expr, bool) {
	m, x := makerAt(b), b.Var.Ident
	raised := new(big.Rat).Add(exponent, big.NewRat(1, 1))
	place := b.From
	if exponent.Sign() > 0 {
		if zero, decided := algebra.EqualExactly(put(p, x, b.From), m.number(0), nil); zero && decided {
			place = b.To
		}
	}
	c := put(m.mul(m.paren(f), m.power(p, new(big.Rat).Neg(exponent))), x, place)
	if raised.Sign() == 0 {
		if how != honest && how != noSlope {
			return nil, false
		}
		logarithm := m.call("ln", m.div(m.paren(put(p, x, b.To)), m.paren(put(p, x, b.From))))
		value := m.mul(m.paren(c), logarithm)
		if how == honest {
			value = m.div(value, m.paren(q))
		}
		return value, true
	}
	divisor := m.mul(m.rational(raised), m.paren(q))
	power := raised
	switch how {
	case noSlope:
		divisor = m.rational(raised)
	case noExponent:
		divisor = m.paren(q)
	case noExponentSize:
		divisor = m.mul(m.number(raised.Sign()), m.paren(q))
	case sameExponent:
		power = exponent
	case lowered:
		power = new(big.Rat).Sub(exponent, big.NewRat(1, 1))
		divisor = m.mul(m.rational(power), m.paren(q))
	}
	if how == honest && !differentiatesBack(m, f, p, q, x, exponent, raised) {
		return nil, false
	}
	upper, lower := m.power(put(p, x, b.To), power), m.power(put(p, x, b.From), power)
	difference := m.sub(upper, lower)
	switch how {
	case upperOnly:
		difference = upper
	case lowerOnly:
		difference = lower
	case lowerOnlyNegative:
		difference = m.neg(lower)
	}
	return m.div(m.mul(m.paren(c), m.paren(difference)), m.paren(divisor)), true
}

// differentiatesBack checks d/dx p^(m+1)/((m+1)·q) = pᵐ.
func differentiatesBack(m maker, f, p, q notation.Expr, x string, exponent, raised *big.Rat) bool {
	antiderivative := m.div(m.power(p, raised), m.paren(m.mul(m.rational(raised), m.paren(q))))
	slope, err := algebra.Derivative(antiderivative, x, nil)
	if err != nil {
		return false
	}
	equal, decided := algebra.EqualExactly(slope, m.power(p, exponent), nil)
	return equal && decided
}

// polynomial integrates a polynomial of degree 8 at most by Taylor's formula
// around the lower limit: Σ f⁽ⁱ⁾(a)·(b − a)^(i+1)/(i+1)!.
func polynomial(b *notation.Bind, f notation.Expr) (notation.Expr, bool) {
	m, x := makerAt(b), b.Var.Ident
	if !isPolynomial(f, x) {
		return nil, false
	}
	run := m.paren(m.sub(m.paren(b.To), m.paren(b.From)))
	var sum notation.Expr
	factorial := 1
	for i := range 9 {
		factorial *= i + 1
		term := m.div(m.mul(m.paren(put(f, x, b.From)), m.pow(run, i+1)), m.number(factorial))
		if sum == nil {
			sum = term
		} else {
			sum = m.add(sum, term)
		}
		slope, err := algebra.Derivative(f, x, nil)
		if err != nil || size(slope, maxNodes/4) > maxNodes/4 {
			return nil, false
		}
		if zero, decided := algebra.EqualExactly(slope, m.number(0), nil); zero && decided {
			return sum, true
		}
		f = slope
	}
	return nil, false
}

// isPolynomial reports whether e is written as a polynomial in x: no x in a
// divisor, a function or an exponent.
func isPolynomial(e notation.Expr, x string) bool {
	if !isFree(e, x) {
		return true
	}
	switch e := e.(type) {
	case *notation.Name:
		return true
	case *notation.Paren:
		return isPolynomial(e.X, x)
	case *notation.Unary:
		return isPolynomial(e.X, x)
	case *notation.Binary:
		switch e.Op {
		case notation.OpDiv:
			return !isFree(e.Y, x) && isPolynomial(e.X, x)
		case notation.OpPow:
			n, ok := exponentOf(e)
			return ok && n >= 0 && isPolynomial(e.X, x)
		}
		return isPolynomial(e.X, x) && isPolynomial(e.Y, x)
	}
	return false
}

// isPiecewise reports whether e is put together from pieces: |x|, if, min, …
func isPiecewise(e notation.Expr) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.Abs, *notation.If:
			found = true
		case *notation.Call:
			switch n.Fun.Ident {
			case "abs", "floor", "ceil", "round", "min", "max":
				found = true
			}
		}
		return !found
	})
	return found
}

// sameSlope decides on integrals that are not known in closed form: the two
// sides are equal if their derivatives by the upper limit are (Leibniz' rule),
// and they agree where it equals the lower limit.
func (p *prover) sameSlope(s *scope, x, y notation.Expr) bool {
	if isPiecewise(x) || isPiecewise(y) {
		return false
	}
	for _, b := range append(binds(x, notation.Integral), binds(y, notation.Integral)...) {
		upper, ok := notation.Unparen(b.To).(*notation.Name)
		if !ok || s.variable(upper.Ident) == nil || isFree(b.From, upper.Ident) {
			continue
		}
		dx, err1 := algebra.Derivative(x, upper.Ident, nil)
		dy, err2 := algebra.Derivative(y, upper.Ident, nil)
		if err1 != nil || err2 != nil {
			continue
		}
		if equal, decided := algebra.EqualExactly(dx, dy, nil); !equal || !decided {
			continue
		}
		equal, decided := algebra.EqualExactly(put(x, upper.Ident, b.From), put(y, upper.Ident, b.From), nil)
		if equal && decided && p.in(upper.Ident, b.From, upper, func() bool {
			return firstDoubt(p.defined(x), p.defined(y), p.defined(dx), p.defined(dy)) == nil
		}) {
			return true
		}
	}
	return false
}
