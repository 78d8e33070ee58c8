package derive

import (
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// exactly decides by exact arithmetic whether two lines are equal wherever both
// have a value; how is the argument for it.
func (j *judge) exactly(a, b *statement, step *notation.DeriveStep) (equal, decided bool, how string) {
	// First with the defined names as they stand: if that is equal for any value
	// of theirs, it is for the one they have.
	if equal, decided = algebra.EqualExactly(a.part, b.part, nil); equal && decided {
		return true, true, byAlgebra
	}
	x, y := a.full, b.full
	if equal, decided = algebra.EqualExactly(x, y, nil); decided {
		return equal, true, byAlgebra
	}
	if satisfiesRoot(x, y) || satisfiesRoot(y, x) {
		return true, true, "put into the equation, it satisfies it exactly"
	}
	if j.substitutedBack(a, b, step) {
		return true, true, "equal by exact algebra once the variable is changed back"
	}
	cx, changedX := closed(x)
	cy, changedY := closed(y)
	if changedX || changedY {
		if equal, decided = algebra.EqualExactly(cx, cy, nil); decided {
			return equal, true, "equal by exact algebra, the antiderivative checked by differentiating it"
		}
	}
	if j.sameSlope(a.part, b.part) || j.sameSlope(x, y) {
		return true, true, "both lines have the same derivative by the upper limit, and agree where the limits coincide"
	}
	if j.sameDifferences(x, y) {
		return true, true, "both lines grow by the same term from each number of terms to the next, and agree for the first"
	}
	return false, false, ""
}

const byAlgebra = "equal by exact algebra"

// closed replaces the integrals in e whose antiderivative is known.
func closed(e notation.Expr) (notation.Expr, bool) {
	changed := false
	var walk func(notation.Expr) notation.Expr
	walk = func(e notation.Expr) notation.Expr {
		e = notation.Map(e, walk)
		b, ok := e.(*notation.Bind)
		if !ok || b.Kind != notation.Integral {
			return e
		}
		value, ok := integral(b, b.Body, 8, honest)
		if !ok {
			return e
		}
		changed = true
		return makerAt(b).paren(value)
	}
	return walk(e), changed
}

// A method of integrating c·pᵐ; all but honest make a slip.
type method int

const (
	honest       method = iota
	noSlope             // the slope of the inner function is not divided by
	noExponent          // the new exponent is not divided by
	sameExponent        // the exponent is not raised
	lowered             // the exponent is lowered, as in differentiating
)

// integral returns ∫ f over the range of b in closed form, by linearity, by the
// rule ∫ c·pᵐ dx = c·p^(m+1)/((m+1)·p′) for a linear p, and by Taylor's formula
// for a polynomial.
func integral(b *notation.Bind, f notation.Expr, depth int, how method) (notation.Expr, bool) {
	if depth == 0 {
		return nil, false
	}
	m := makerAt(b)
	switch e := notation.Unparen(f).(type) {
	case *notation.Unary:
		inner, ok := integral(b, e.X, depth-1, how)
		if !ok || e.Op != notation.OpNeg {
			return inner, ok
		}
		return m.neg(m.paren(inner)), true
	case *notation.Binary:
		if e.Op != notation.OpAdd && e.Op != notation.OpSub {
			break
		}
		if value, ok := powerOfLinear(b, f, how); ok {
			return value, true
		}
		x, ok1 := integral(b, e.X, depth-1, how)
		y, ok2 := integral(b, e.Y, depth-1, how)
		if ok1 && ok2 {
			return m.binary(e.Op, m.paren(x), m.paren(y)), true
		}
	}
	if value, ok := powerOfLinear(b, f, how); ok {
		return value, true
	}
	if how != honest {
		return nil, false
	}
	return polynomial(b, f)
}

// powerOfLinear recognises f = c·pᵐ with p linear in the variable: then f′·p =
// m·f·p′.
func powerOfLinear(b *notation.Bind, f notation.Expr, how method) (notation.Expr, bool) {
	x := b.Var.Ident
	m := makerAt(b)
	if !isFree(f, x) {
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
		if value, ok := integrated(b, f, p, q, exponent, how); ok {
			return value, true
		}
	}
	return nil, false
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

// integrated puts the limits into c·p^(m+1)/((m+1)·q). c is f·p^(−m) at the
// lower limit. The antiderivative is differentiated before it is believed.
func integrated(b *notation.Bind, f, p, q notation.Expr, exponent *big.Rat, how method) (notation.Expr, bool) {
	m, x := makerAt(b), b.Var.Ident
	raised := new(big.Rat).Add(exponent, big.NewRat(1, 1))
	c := put(m.mul(m.paren(f), m.power(p, new(big.Rat).Neg(exponent))), x, b.From)
	if raised.Sign() == 0 {
		if how == noExponent || how == sameExponent || how == lowered {
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
	case sameExponent:
		power = exponent
	case lowered:
		power = new(big.Rat).Sub(exponent, big.NewRat(1, 1))
		divisor = m.mul(m.rational(power), m.paren(q))
	}
	if how == honest && !differentiatesBack(m, f, p, q, x, exponent, raised) {
		return nil, false
	}
	difference := m.sub(m.power(put(p, x, b.To), power), m.power(put(p, x, b.From), power))
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

// satisfiesRoot reports whether y, put in for the unknown of the root x, makes
// the equation 0 = 0.
func satisfiesRoot(x, y notation.Expr) bool {
	b, ok := notation.Unparen(x).(*notation.Bind)
	if !ok || b.Kind != notation.FindRoot || isFree(y, b.Var.Ident) {
		return false
	}
	equal, decided := algebra.EqualExactly(put(b.Body, b.Var.Ident, y), makerAt(b).number(0), nil)
	return equal && decided
}

// sameSlope decides on integrals that are not known in closed form: the two
// sides are equal if their derivatives by the upper limit are (Leibniz' rule),
// and they agree where it equals the lower limit.
func (j *judge) sameSlope(x, y notation.Expr) bool {
	for _, b := range append(binds(x, notation.Integral), binds(y, notation.Integral)...) {
		upper, ok := notation.Unparen(b.To).(*notation.Name)
		if !ok || j.scope.variable(upper.Ident) == nil || isFree(b.From, upper.Ident) {
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
		if equal && decided {
			return true
		}
	}
	return false
}

// sameDifferences decides on sums up to a name n: the two sides are equal for
// every n if they are for the first, and both grow by the same amount from
// n − 1 to n (mathematical induction).
func (j *judge) sameDifferences(x, y notation.Expr) bool {
	for _, b := range append(binds(x, notation.Sum), binds(y, notation.Sum)...) {
		n, ok := notation.Unparen(b.To).(*notation.Name)
		if !ok || j.scope.variable(n.Ident) == nil || isFree(b.From, n.Ident) || isFree(b.Body, n.Ident) {
			continue
		}
		m := makerAt(b)
		before := m.sub(m.name(n.Ident), m.number(1))
		growth := func(e notation.Expr) notation.Expr {
			return m.sub(m.paren(growing(e, n.Ident)), m.paren(put(e, n.Ident, before)))
		}
		if equal, decided := algebra.EqualExactly(growth(x), growth(y), nil); !equal || !decided {
			continue
		}
		first := func(e notation.Expr) notation.Expr { return put(single(e, n.Ident, b.From), n.Ident, b.From) }
		if equal, decided := algebra.EqualExactly(first(x), first(y), nil); equal && decided {
			return true
		}
	}
	return false
}

// growing splits the last term off each sum up to n.
func growing(e notation.Expr, n string) notation.Expr {
	return eachSum(e, n, func(b *notation.Bind) notation.Expr {
		m, c := makerAt(b), *b
		c.To = m.paren(m.sub(m.name(n), m.number(1)))
		return m.paren(m.add(&c, m.paren(put(b.Body, b.Var.Ident, m.name(n)))))
	})
}

// single is e for n equal to the first number, where each sum is one term.
func single(e notation.Expr, n string, from notation.Expr) notation.Expr {
	return eachSum(e, n, func(b *notation.Bind) notation.Expr {
		if equal, decided := algebra.EqualExactly(b.From, from, nil); !equal || !decided {
			return b
		}
		return makerAt(b).paren(put(b.Body, b.Var.Ident, b.From))
	})
}

func eachSum(e notation.Expr, n string, f func(*notation.Bind) notation.Expr) notation.Expr {
	e = notation.Map(e, func(c notation.Expr) notation.Expr { return eachSum(c, n, f) })
	b, ok := e.(*notation.Bind)
	if !ok || b.Kind != notation.Sum || isFree(b.Body, n) {
		return e
	}
	if to, ok := notation.Unparen(b.To).(*notation.Name); ok && to.Ident == n {
		return f(b)
	}
	return e
}
