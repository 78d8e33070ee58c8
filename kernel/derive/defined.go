package derive

import (
	"math/big"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// A doubt is a part of a line that was not proved to have a value.
type doubt struct {
	part notation.Expr
	want string // "is not 0"
}

// words says what would remove the doubt.
func (d *doubt) words() string {
	if !d.depends() {
		return "it has a value"
	}
	return notation.Print(d.part) + " " + d.want
}

// depends reports whether the doubt depends on data.
func (d *doubt) depends() bool { return len(notation.FreeNames(d.part)) > 0 }

// defined proves that e has a value everywhere in the domain, and is continuous
// there but for jumps of floor, ceil, round and if. It returns nil, or what it
// could not prove.
//
// An integral exists if its integrand has a value on the whole closed range: it
// is bounded there, being made of functions that are continuous where they have
// a value.
func (p *prover) defined(e notation.Expr) *doubt {
	switch e := e.(type) {
	case *notation.Number, *notation.Quantity, *notation.Name:
		return nil
	case *notation.Paren:
		return p.defined(e.X)
	case *notation.Unary:
		return p.defined(e.X)
	case *notation.Abs:
		return p.defined(e.X)
	case *notation.Root:
		return p.definedIf(e.X, p.sign(e.X).Within(algebra.NonNegative), "is not negative")
	case *notation.Binary:
		return p.definedBinary(e)
	case *notation.Call:
		return p.definedCall(e)
	case *notation.Bind:
		return p.definedBind(e)
	case *notation.If:
		return firstDoubt(p.defined(e.Cond), p.defined(e.Then), p.defined(e.Else))
	case *notation.Compare:
		return p.definedAll(e.Xs)
	case *notation.Logic:
		if e.Y == nil {
			return p.defined(e.X)
		}
		return firstDoubt(p.defined(e.X), p.defined(e.Y))
	}
	return &doubt{e, "has a value"}
}

func (p *prover) definedIf(e notation.Expr, holds bool, want string) *doubt {
	if d := p.defined(e); d != nil {
		return d
	}
	if !holds {
		return &doubt{notation.Unparen(e), want}
	}
	return nil
}

func firstDoubt(list ...*doubt) *doubt {
	for _, d := range list {
		if d != nil {
			return d
		}
	}
	return nil
}

func (p *prover) definedAll(list []notation.Expr) *doubt {
	for _, e := range list {
		if d := p.defined(e); d != nil {
			return d
		}
	}
	return nil
}

func (p *prover) definedBinary(e *notation.Binary) *doubt {
	if d := p.defined(e.X); d != nil {
		return d
	}
	if d := p.defined(e.Y); d != nil {
		return d
	}
	switch e.Op {
	case notation.OpDiv:
		if !p.isNonZero(e.Y) {
			return &doubt{notation.Unparen(e.Y), "is not 0"}
		}
	case notation.OpPow:
		return p.definedPower(e)
	}
	return nil
}

func (p *prover) definedPower(e *notation.Binary) *doubt {
	exponent, ok := constantOf(e.Y)
	switch {
	case ok && exponent.IsInt() && exponent.Sign() > 0:
		return nil
	case ok && exponent.IsInt():
		if !p.isNonZero(e.X) {
			return &doubt{notation.Unparen(e.X), "is not 0"}
		}
		return nil
	case ok && exponent.Sign() > 0:
		if !p.sign(e.X).Within(algebra.NonNegative) {
			return &doubt{notation.Unparen(e.X), "is not negative"}
		}
		return nil
	}
	if p.sign(e.X) != algebra.Positive {
		return &doubt{notation.Unparen(e.X), "is positive"}
	}
	return nil
}

// constantOf returns the value of an expression without names.
func constantOf(e notation.Expr) (*big.Rat, bool) {
	r, ok := algebra.Normal(e, nil)
	if !ok {
		return nil, false
	}
	return r.Constant()
}

func (p *prover) definedCall(e *notation.Call) *doubt {
	if d := p.definedAll(e.Args); d != nil {
		return d
	}
	switch e.Fun.Ident {
	case "sin", "cos", "atan", "exp", "abs", "floor", "ceil", "round", "min", "max":
		return nil
	case "sqrt":
		if !p.sign(e.Args[0]).Within(algebra.NonNegative) {
			return &doubt{e.Args[0], "is not negative"}
		}
		return nil
	case "ln", "log10":
		if p.sign(e.Args[0]) != algebra.Positive {
			return &doubt{e.Args[0], "is positive"}
		}
		return nil
	case "asin", "acos":
		m := makerAt(e)
		if !p.sign(m.sub(m.number(1), m.pow(m.paren(e.Args[0]), 2))).Within(algebra.NonNegative) {
			return &doubt{e.Args[0], "lies between −1 and 1"}
		}
		return nil
	}
	return &doubt{e, "has a value"}
}

func (p *prover) definedBind(b *notation.Bind) *doubt {
	switch b.Kind {
	case notation.Integral, notation.Sum, notation.Product:
		if n, ok := notation.IsFactorial(b); ok {
			return firstDoubt(p.defined(n), p.counts(n))
		}
		if d := firstDoubt(p.defined(b.From), p.defined(b.To)); d != nil {
			return d
		}
		var d *doubt
		p.in(b.Var.Ident, b.From, b.To, func() bool { d = p.defined(b.Body); return true })
		return d
	case notation.Derivative:
		return firstDoubt(p.defined(b.From), p.differentiable(b))
	case notation.Limit:
		return p.definedLimit(b)
	case notation.FindRoot:
		x, ok := p.linearRoot(b)
		if !ok {
			return p.changesSign(b)
		}
		return p.defined(x)
	}
	return &doubt{b, "has a value"}
}

// definedLimit proves that a limit at infinity exists: it is one of the exact
// ones, and what tends to it has a value for all large numbers.
func (p *prover) definedLimit(b *notation.Bind) *doubt {
	_, exact := p.limit(b)
	if !exact {
		_, exact = p.limitOfSums(b)
	}
	if _, infinite := b.From.(*notation.Infinity); !exact || !infinite || p.isGiven(b.Var.Ident) {
		return &doubt{b, "has a value"}
	}
	var d *doubt
	p.towards(b, func() { d = p.defined(b.Body) })
	return d
}

// changesSign proves that a root exists: the left side is continuous on the range,
// and has opposite signs at its ends.
func (p *prover) changesSign(b *notation.Bind) *doubt {
	if isPiecewise(b.Body) {
		return &doubt{b, "has a value"}
	}
	d := firstDoubt(p.defined(b.From), p.defined(b.To))
	p.in(b.Var.Ident, b.From, b.To, func() bool { d = firstDoubt(d, p.defined(b.Body)); return true })
	if d != nil {
		return d
	}
	low, high := p.sign(put(b.Body, b.Var.Ident, b.From)), p.sign(put(b.Body, b.Var.Ident, b.To))
	if low == algebra.Negative && high == algebra.Positive || low == algebra.Positive && high == algebra.Negative {
		return nil
	}
	return &doubt{b, "has a value"}
}

// isSmooth proves that e has a value and a derivative by x on the whole range.
func (p *prover) isSmooth(e notation.Expr, x string, from, to notation.Expr) bool {
	slope, err := algebra.Derivative(e, x, nil)
	if err != nil {
		return false
	}
	place := &notation.Bind{Kind: notation.Derivative, Body: e, Var: makerAt(e).name(x), From: makerAt(e).name(x)}
	return p.in(x, from, to, func() bool {
		return p.defined(e) == nil && p.defined(slope) == nil && p.differentiable(place) == nil
	})
}
