package program

import (
	"math"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// largestDerived is how many nodes a formula may have, with every function in
// it written out, to be differentiated in symbols: rules write functions out,
// and functions of functions grow without measure.
const largestDerived = 500

// symbolicDerivative returns the derivative of the body of e in symbols. ok is
// false where there are no rules for it, or it would grow too large.
func symbolicDerivative(e *notation.Bind, s Scope) (d notation.Expr, ok bool) {
	if writtenOut(e.Body, s, map[string]int{}) > largestDerived {
		return nil, false
	}
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

// writtenOut counts the nodes of an expression with its functions written out,
// up to a little more than largestDerived.
func writtenOut(e notation.Expr, s Scope, sizes map[string]int) int {
	n := 0
	notation.Inspect(e, func(node notation.Node) bool {
		n++
		call, ok := node.(*notation.Call)
		if !ok {
			return true
		}
		object, _ := s.Lookup(call.Fun.Ident)
		f, ok := object.(*Function)
		if !ok {
			return true
		}
		size, known := sizes[call.Fun.Ident]
		if !known {
			sizes[call.Fun.Ident] = largestDerived + 1 // should it use itself
			size = writtenOut(f.Body, s, sizes)
			sizes[call.Fun.Ident] = size
		}
		n = min(n+size, largestDerived+1)
		return true
	})
	return n
}

// hasSeam reports whether an expression, or a function that it uses, is made of
// branches: then a derivative in symbols holds on either side of a seam but
// not on it, and does not report a jump there.
func hasSeam(e notation.Expr, s Scope) bool { return seam(e, s, map[string]bool{}) }

func seam(e notation.Expr, s Scope, seen map[string]bool) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		switch n := n.(type) {
		case *notation.If, *notation.Abs:
			found = true
		case *notation.Call:
			found = found || branched[n.Fun.Ident] || callsSeam(n.Fun.Ident, s, seen)
		}
		return !found
	})
	return found
}

func callsSeam(name string, s Scope, seen map[string]bool) bool {
	object, _ := s.Lookup(name)
	f, ok := object.(*Function)
	if !ok || seen[name] {
		return false
	}
	seen[name] = true
	return seam(f.Body, s, seen)
}

// branched are the built-in functions with seams.
var branched = map[string]bool{"abs": true, "min": true, "max": true, "floor": true, "ceil": true, "round": true, "atan2": true}

// besideSeam is how far from a place, relative to it, the two sides are
// compared; seamJump is by how much slopes or values must differ to be a kink
// or a jump.
const (
	besideSeam = 1e-9
	seamJump   = 1e-6
)

// kinked reports whether a formula with branches has a kink or a jump at a
// place, so that the derivative of either branch is not its own.
func (w *walker) kinked(e *notation.Bind, d notation.Expr, x float64) bool {
	if !hasSeam(e.Body, w.scope) {
		return false
	}
	step := besideSeam * math.Abs(x)
	if step == 0 {
		step = besideSeam
	}
	return w.differs(e, d, x-step, x+step) || w.differs(e, e.Body, x-step, x+step)
}

// differs compares an expression at two places. Where it has no value, the
// place itself will report what is wrong.
func (w *walker) differs(e *notation.Bind, body notation.Expr, a, b float64) bool {
	left, okLeft := w.slope(e, body, a)
	right, okRight := w.slope(e, body, b)
	if !okLeft || !okRight {
		if w.limit == nil {
			w.problem = nil
		}
		return false
	}
	return math.Abs(left.x-right.x) > seamJump*max(math.Abs(left.x), math.Abs(right.x))
}

// slope evaluates an expression with the bound name at a place.
func (w *walker) slope(e *notation.Bind, d notation.Expr, x float64) (number, bool) {
	mark, quiet := len(w.locals), w.quiet
	w.quiet = true
	w.locals = append(w.locals, local{name: e.Var.Ident, x: x})
	v, ok := w.number(d)
	w.locals, w.quiet = w.locals[:mark], quiet
	return v, ok
}
