package notation

import "math/big"

// StaticRational evaluates an expression that is an exact fraction before
// anything is evaluated: literals, signs, sums, products, quotients and small
// whole powers of such, and names whose definition is one. define returns the
// defining expression of a name, or ok = false where it has none (a vary, a
// parameter). It is what exponents are read with. ok is false too for one that takes
// more than a few thousand steps, or numbers of more than some hundred digits.
func StaticRational(e Expr, define func(ident string) (e Expr, ok bool)) (*big.Rat, bool) {
	s := static{define: define, left: mostStatic}
	return s.rational(e, 32)
}

const (
	mostStatic = 10_000 // parts of an exponent with the definitions of its names put in
	mostBits   = 4_096  // of the numerator or denominator of a fraction
)

// ShortRational reports whether a fraction is short enough to calculate on with: the
// digits of a sum or a product are those of both its parts together, so that a chain
// of squares doubles them with each.
func ShortRational(r *big.Rat) bool {
	return r.Num().BitLen() <= mostBits && r.Denom().BitLen() <= mostBits
}

// static is one evaluation.
type static struct {
	define func(string) (Expr, bool)
	left   int // parts that may still be looked at
}

func (s *static) rational(e Expr, depth int) (*big.Rat, bool) {
	if s.left--; s.left < 0 || depth == 0 {
		return nil, false
	}
	switch e := e.(type) {
	case *Number:
		return literalRational(e)
	case *Paren:
		return s.rational(e.X, depth-1)
	case *Name:
		d, ok := s.define(e.Ident)
		if !ok {
			return nil, false
		}
		return s.rational(d, depth-1)
	case *Unary:
		x, ok := s.rational(e.X, depth-1)
		if ok && e.Op == OpNeg {
			x = new(big.Rat).Neg(x)
		}
		return x, ok
	case *Binary:
		x, ok := s.binary(e, depth-1)
		return x, ok && ShortRational(x)
	}
	return nil, false
}

func (s *static) binary(e *Binary, depth int) (*big.Rat, bool) {
	x, ok := s.rational(e.X, depth)
	if !ok {
		return nil, false
	}
	y, ok := s.rational(e.Y, depth)
	if !ok {
		return nil, false
	}
	switch e.Op {
	case OpAdd:
		return new(big.Rat).Add(x, y), true
	case OpSub:
		return new(big.Rat).Sub(x, y), true
	case OpMul:
		return new(big.Rat).Mul(x, y), true
	case OpDiv:
		if y.Sign() == 0 {
			return nil, false
		}
		return new(big.Rat).Quo(x, y), true
	case OpPow:
		return ratPower(x, y)
	}
	return nil, false
}

func ratPower(x, y *big.Rat) (*big.Rat, bool) {
	if !y.IsInt() || !y.Num().IsInt64() {
		return nil, false
	}
	n := y.Num().Int64()
	if n < -16 || n > 16 || (n < 0 && x.Sign() == 0) {
		return nil, false
	}
	result := big.NewRat(1, 1)
	for range max(n, -n) {
		result.Mul(result, x)
	}
	if n < 0 {
		result.Inv(result)
	}
	return result, true
}

// literalRational returns the exact decimal value of a number literal, if its
// exponent is moderate.
func literalRational(n *Number) (*big.Rat, bool) {
	if n.Value == 0 {
		return new(big.Rat), true
	}
	if a := abs(n.Value); a > 1e18 || a < 1e-18 {
		return nil, false
	}
	return new(big.Rat).SetString(Decimal(n.Text))
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// Unparen strips brackets around an expression.
func Unparen(e Expr) Expr {
	for {
		p, ok := e.(*Paren)
		if !ok {
			return e
		}
		e = p.X
	}
}
