package algebra

import (
	"math/big"
	"strings"

	"shaftbook/kernel/notation"
)

// A Sign is the set of signs that a value may have.
type Sign uint8

// The sets that have names.
const (
	Negative    Sign = 1
	Zero        Sign = 2
	NonPositive      = Negative | Zero
	Positive    Sign = 4
	NonZero          = Negative | Positive
	NonNegative      = Zero | Positive
	AnySign          = Negative | Zero | Positive
)

// Within reports whether every sign of s is one of t.
func (s Sign) Within(t Sign) bool { return s&^t == 0 }

// Neg returns the signs of −x.
func (s Sign) Neg() Sign {
	return s&Zero | s>>2&Negative | s<<2&Positive
}

// Mul returns the signs of x·y.
func (s Sign) Mul(t Sign) Sign {
	var out Sign
	if s&Zero != 0 || t&Zero != 0 {
		out |= Zero
	}
	if s&Positive != 0 {
		out |= t & NonZero
	}
	if s&Negative != 0 {
		out |= t.Neg() & NonZero
	}
	return out
}

// Add returns the signs of x + y.
func (s Sign) Add(t Sign) Sign {
	switch {
	case s == Zero:
		return t
	case t == Zero:
		return s
	}
	out := s | t
	switch {
	case s.Within(NonNegative) && t.Within(NonNegative):
		if s == Positive || t == Positive {
			return Positive
		}
		return out
	case s.Within(NonPositive) && t.Within(NonPositive):
		if s == Negative || t == Negative {
			return Negative
		}
		return out
	}
	return AnySign
}

func (s Sign) power(n int) Sign {
	if n == 0 {
		return Positive
	}
	if n%2 != 0 {
		return s
	}
	out := s & Zero // each sign is multiplied by itself, not by another of the set
	if s&NonZero != 0 {
		out |= Positive
	}
	return out
}

func signOf(r *big.Rat) Sign { return Sign(1 << (r.Sign() + 1)) }

// SignOf returns the signs that e may have where it has a value, for names with
// the given signs; AnySign where nothing is proved. It looks at how e is built,
// and where that does not decide a sum, at the coefficients of its normal form:
// a polynomial whose terms all have one sign has it too.
func SignOf(e notation.Expr, names func(ident string) Sign) Sign {
	return signs{names: names}.of(e, deepest)
}

type signs struct {
	names func(ident string) Sign
	inner bool // inside a sum, whose normal form expands the part too
}

// of is AnySign rather than empty for what has no value.
func (s signs) of(e notation.Expr, depth int) Sign {
	if depth == 0 {
		return AnySign
	}
	if found := s.look(e, depth); found != 0 {
		return found
	}
	return AnySign
}

func (s signs) look(e notation.Expr, depth int) Sign {
	switch e := e.(type) {
	case *notation.Number:
		if r, ok := exactNumber(e); ok {
			return signOf(r)
		}
	case *notation.Quantity:
		if r, ok := exactNumber(e.Number); ok && e.Unit.Unit.Factor > 0 {
			return signOf(r)
		}
	case *notation.Name:
		if e.Ident == "π" {
			return Positive
		}
		return s.names(e.Ident)
	case *notation.Paren:
		return s.of(e.X, depth)
	case *notation.Unary:
		x := s.of(e.X, depth-1)
		if e.Op == notation.OpNeg {
			return x.Neg()
		}
		return x
	case *notation.Root:
		return s.root(e.X, depth)
	case *notation.Abs:
		return s.absolute(e.X, depth)
	case *notation.Call:
		return s.call(e, depth)
	case *notation.Binary:
		return s.binary(e, depth)
	case *notation.If:
		return s.of(e.Then, depth-1) | s.of(e.Else, depth-1)
	}
	return AnySign
}

func (s signs) root(x notation.Expr, depth int) Sign {
	return s.of(x, depth-1) & NonNegative
}

func (s signs) absolute(x notation.Expr, depth int) Sign {
	inner := s.of(x, depth-1)
	return inner&NonNegative | inner.Neg()&NonNegative
}

func (s signs) call(e *notation.Call, depth int) Sign {
	if len(e.Args) != 1 {
		return AnySign
	}
	switch e.Fun.Ident {
	case "exp":
		return Positive
	case "sqrt":
		return s.root(e.Args[0], depth)
	case "abs":
		return s.absolute(e.Args[0], depth)
	case "atan", "asin":
		return s.of(e.Args[0], depth-1)
	}
	return AnySign
}

func (s signs) binary(e *notation.Binary, depth int) Sign {
	switch e.Op {
	case notation.OpMul:
		return s.of(e.X, depth-1).Mul(s.of(e.Y, depth-1))
	case notation.OpDiv:
		return s.of(e.X, depth-1).Mul(s.of(e.Y, depth-1) & NonZero)
	case notation.OpPow:
		return s.power(e, depth)
	case notation.OpAdd, notation.OpSub:
		part := signs{s.names, true}
		x, y := part.of(e.X, depth-1), part.of(e.Y, depth-1)
		if e.Op == notation.OpSub {
			y = y.Neg()
		}
		sum := x.Add(y)
		if s.inner || sum == Positive || sum == Negative || sum == Zero {
			return sum
		}
		return sum & s.normal(e)
	}
	return AnySign
}

func (s signs) power(e *notation.Binary, depth int) Sign {
	base := s.of(e.X, depth-1)
	r, ok := exactValueOf(e.Y)
	switch {
	case ok && r.IsInt() && r.Num().IsInt64():
		n := int(r.Num().Int64())
		if n < 0 {
			base &= NonZero
		}
		return base.power(n)
	case base == Positive:
		return Positive
	}
	return NonNegative
}

// exactValueOf returns the value of an expression without names.
func exactValueOf(e notation.Expr) (*big.Rat, bool) {
	r, ok := Normal(e, nil)
	if !ok {
		return nil, false
	}
	return r.Constant()
}

// normal returns the signs that the coefficients of the normal form allow.
func (s signs) normal(e notation.Expr) Sign {
	r, ok := Normal(e, nil)
	if !ok {
		return AnySign
	}
	return s.poly(r.num, r.n).Mul(s.poly(r.den, r.n) & NonZero)
}

func (s signs) poly(p poly, n *normaliser) Sign {
	sum := Zero
	known := map[int]Sign{}
	for _, m := range p {
		term := Sign(1 << (m.coefficient.sign() + 1))
		m.powers.each(func(atom, exponent int) bool {
			if _, met := known[atom]; !met {
				known[atom] = s.atom(atom, n)
			}
			term = term.Mul(known[atom].power(exponent))
			return true
		})
		if sum = sum.Add(term); sum == AnySign {
			return AnySign
		}
	}
	return sum
}

func (s signs) atom(atom int, n *normaliser) Sign {
	if e, opaque := n.written[atom]; opaque {
		return s.of(e, deepest/4)
	}
	name := n.names[atom]
	if n.opaque[atom] != nil {
		if strings.HasPrefix(name, "exp ") {
			return Positive
		}
		return AnySign
	}
	if name == "π" {
		return Positive
	}
	return s.names(name)
}
