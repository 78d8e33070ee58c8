package program

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// symbolicDerivative returns the derivative of the body of e in symbols. ok is
// false where there are no rules for it.
func symbolicDerivative(e *notation.Bind, s Scope) (d notation.Expr, ok bool) {
	functions := func(ident string) ([]string, notation.Expr, bool) {
		object, _ := s.Lookup(ident)
		f, ok := object.(*Function)
		if !ok {
			return nil, nil, false
		}
		return f.Params, f.Body, true
	}
	d, err := algebra.Derivative(e.Body, e.Var.Ident, functions)
	return d, err == nil
}

// hasSeam reports whether an expression is made of branches, so that a
// derivative in symbols holds on either side of a seam but not on it.
func hasSeam(e notation.Expr) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.If, *notation.Abs:
			found = true
		case *notation.Call:
			switch n.Fun.Ident {
			case "abs", "min", "max":
				found = true
			}
		}
		return !found
	})
	return found
}

// besideSeam is how far from a place, relative to it, the slopes on both sides
// are compared, and seamJump how much they must differ to be a kink.
const (
	besideSeam = 1e-9
	seamJump   = 1e-6
)

// kinked reports whether a derivative jumps at a place: at a seam the formula
// has two slopes, and neither is the derivative.
func (w *walker) kinked(e *notation.Bind, d notation.Expr, x float64) bool {
	if !hasSeam(d) {
		return false
	}
	step := besideSeam * math.Abs(x)
	if step == 0 {
		step = besideSeam
	}
	left, okLeft := w.slope(e, d, x-step)
	right, okRight := w.slope(e, d, x+step)
	if !okLeft || !okRight {
		w.problem = nil // the place itself will say what is wrong
		return false
	}
	return math.Abs(left.x-right.x) > seamJump*max(math.Abs(left.x), math.Abs(right.x))
}

// slope evaluates a derivative at a place.
func (w *walker) slope(e *notation.Bind, d notation.Expr, x float64) (number, bool) {
	mark, quiet := len(w.locals), w.quiet
	w.quiet = true
	w.locals = append(w.locals, local{name: e.Var.Ident, x: x})
	v, ok := w.number(d)
	w.locals, w.quiet = w.locals[:mark], quiet
	return v, ok
}
