package derive

import (
	"errors"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/bigfloat"
	"shaftbook/kernel/notation"
)

// maxBranches bounds the forms that an expression may have around one place.
const maxBranches = 16

var errKink = errors.New("a derivative is taken where there is a kink or a jump")

// A branching is a part of an expression that changes its form where one of the
// differences is 0.
type branching struct {
	part        notation.Expr
	differences []notation.Expr
	branches    []notation.Expr
	jumps       bool // it may change its form elsewhere too
}

// branchingOf reads |u|, min, max and if.
func branchingOf(n notation.Node) (b branching, ok bool) {
	e, ok := n.(notation.Expr)
	if !ok {
		return b, false
	}
	m := makerAt(e)
	b.part = e
	difference := func(x, y notation.Expr) {
		b.differences = append(b.differences, m.sub(m.paren(x), m.paren(y)))
	}
	switch e := e.(type) {
	case *notation.Abs:
		b.differences, b.branches = []notation.Expr{e.X}, []notation.Expr{m.paren(e.X), m.paren(m.neg(m.paren(e.X)))}
		return b, true
	case *notation.Call:
		switch {
		case e.Fun.Ident == "abs" && len(e.Args) == 1:
			u := e.Args[0]
			b.differences, b.branches = []notation.Expr{u}, []notation.Expr{m.paren(u), m.paren(m.neg(m.paren(u)))}
			return b, true
		case e.Fun.Ident == "min" || e.Fun.Ident == "max":
			for i, x := range e.Args {
				b.branches = append(b.branches, m.paren(x))
				for _, y := range e.Args[i+1:] {
					difference(x, y)
				}
			}
			return b, true
		}
	case *notation.If:
		b.branches = []notation.Expr{m.paren(e.Then), m.paren(e.Else)}
		for _, c := range find(e.Cond, func(*notation.Compare) bool { return true }) {
			for i := range c.Ops {
				difference(c.Xs[i], c.Xs[i+1])
			}
		}
		// A condition that jumps by itself.
		b.jumps = len(find(e.Cond, func(*notation.If) bool { return true })) > 0 || len(find(e.Cond, isStep)) > 0
		return b, true
	}
	return b, false
}

func isStep(c *notation.Call) bool {
	switch c.Fun.Ident {
	case "floor", "ceil", "round":
		return true
	}
	return false
}

// formsAround returns the forms that an expression has on the sides of a place, one for
// each choice of the branches that meet there. Forms that bind a name are left alone.
func formsAround(e notation.Expr, x string, meets func(branching) bool) ([]notation.Expr, bool) {
	var found *branching
	notation.Inspect(e, func(n notation.Node) bool {
		if _, bind := n.(*notation.Bind); bind || found != nil {
			return false
		}
		if b, ok := branchingOf(n); ok && isFree(b.part, x) && (b.jumps || meets(b)) {
			found = &b
		}
		return true
	})
	if found == nil {
		return []notation.Expr{e}, true
	}
	var list []notation.Expr
	for _, branch := range found.branches {
		forms, ok := formsAround(replace(e, found.part, branch), x, meets)
		if list = append(list, forms...); !ok || len(list) > maxBranches {
			return nil, false
		}
	}
	return list, true
}

// differentiable proves that the body of a derivative has one at its place: where several
// forms of the body may meet there, they have the same value and the same slope.
func (p *prover) differentiable(b *notation.Bind) *doubt {
	x := b.Var.Ident
	unproved := &doubt{b, "exists"}
	forms, ok := formsAround(b.Body, x, func(found branching) bool {
		for _, d := range found.differences {
			if !p.isNonZero(put(d, x, b.From)) {
				return true
			}
		}
		return false
	})
	if !ok || integratesPieces(b) {
		return unproved
	}
	var first [2]notation.Expr
	for i, form := range forms {
		slope, err := algebra.Derivative(form, x, nil)
		if err != nil {
			return unproved
		}
		// The slope by rules is the derivative where body and slope have values.
		here := [2]notation.Expr{put(form, x, b.From), put(slope, x, b.From)}
		if d := firstDoubt(p.defined(here[0]), p.defined(here[1])); d != nil {
			return d
		}
		if i == 0 {
			first = here
			continue
		}
		for n := range here {
			if equal, decided := algebra.EqualExactly(here[n], first[n], nil); !equal || !decided {
				return unproved
			}
		}
	}
	return nil
}

// slope evaluates a derivative. It fails with errKink where forms meet that are not seen
// to have the same value and the same slope.
func (v *evaluator) slope(b *notation.Bind, p point) (bigfloat.Value, error) {
	x := b.Var.Ident
	forms, ok := []notation.Expr{b.Body}, true
	if isPiecewise(b.Body) {
		forms, ok = formsAround(b.Body, x, func(found branching) bool {
			for _, d := range found.differences {
				if value, err := v.value(put(d, x, b.From), p); err != nil || value.Sign() == 0 {
					return true
				}
			}
			return false
		})
	}
	if !ok || v.jumpsAtLimit(b, p) {
		return bigfloat.Value{}, errKink
	}
	var first [2]bigfloat.Value
	for i, form := range forms {
		slope, err := algebra.Derivative(form, x, nil)
		if err != nil {
			return bigfloat.Value{}, errForm
		}
		for n, e := range []notation.Expr{form, slope} {
			value, err := v.value(put(e, x, b.From), p)
			switch {
			case err != nil:
				return value, err
			case i == 0:
				first[n] = value
			case bigfloat.Compare(value, first[n], digits, 0) != bigfloat.Agrees:
				return value, errKink
			}
		}
	}
	return first[1], nil
}

// runningIntegrals are the integrals of a body with the name x in a limit.
func runningIntegrals(body notation.Expr, x string) []*notation.Bind {
	return find(body, func(n *notation.Bind) bool {
		return n.Kind == notation.Integral && (n.From != nil && isFree(n.From, x) || n.To != nil && isFree(n.To, x))
	})
}

// integratesPieces reports whether a derivative is one of an integral up to its place
// of something that may jump there.
func integratesPieces(b *notation.Bind) bool {
	for _, n := range runningIntegrals(b.Body, b.Var.Ident) {
		if isPiecewise(n.Body) {
			return true
		}
	}
	return false
}

// jumpsAtLimit reports whether the integrand of an integral up to the place of a
// derivative is not seen to be continuous there: the slope of the integral is then not
// the integrand's value.
func (v *evaluator) jumpsAtLimit(b *notation.Bind, p point) bool {
	x := b.Var.Ident
	for _, n := range runningIntegrals(b.Body, x) {
		if !isPiecewise(n.Body) {
			continue
		}
		s := n.Var.Ident
		for _, limit := range []notation.Expr{n.From, n.To} {
			if !isFree(limit, x) {
				continue
			}
			at := put(limit, x, b.From)
			forms, ok := formsAround(n.Body, s, func(found branching) bool {
				for _, d := range found.differences {
					if value, err := v.value(put(d, s, at), p); err != nil || value.Sign() == 0 {
						return true
					}
				}
				return false
			})
			if !ok || len(find(n.Body, isStep)) > 0 {
				return true
			}
			var first bigfloat.Value
			for i, form := range forms {
				value, err := v.value(put(form, s, at), p)
				switch {
				case err != nil:
					return true
				case i == 0:
					first = value
				case bigfloat.Compare(value, first, digits, 0) != bigfloat.Agrees:
					return true
				}
			}
		}
	}
	return false
}
