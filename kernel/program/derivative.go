package program

import (
	"slices"

	"shaftbook/kernel/algebra"
	"shaftbook/kernel/notation"
)

// largestDerived is how many nodes a formula may have, with the body of every
// function in it, to be differentiated in symbols. Rules write functions out, with
// what stands in their brackets wherever their parameters do, and so functions of
// functions grow without measure: what is written out may have largestInlined nodes,
// and the derivative largestSlope, counted as often as they stand there.
const (
	largestDerived = 500
	largestInlined = 20_000
	largestSlope   = 500_000
)

// symbolicDerivative returns the derivative of the body of e in symbols. ok is
// false where there are no rules for it, it would grow too large, or a function
// in it means a name of the lesson that is hidden here: by a visible name, or by
// the bound one. What it looks at is taken off within.
func symbolicDerivative(within *notation.Within, e *notation.Bind, s Scope, visible func(name string) bool) (d notation.Expr, ok bool) {
	if writtenOut(e.Body, s, map[string]int{}) > largestDerived {
		return nil, false
	}
	in := inlinedSize{scope: s}
	if in.of(e.Body, nil); in.failed {
		return nil, false
	}
	if capturesNames(e.Body, s, func(name string) bool { return name == e.Var.Ident || visible(name) }) {
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
	d, err := algebra.DerivativeWithin(within, e.Body, e.Var.Ident, functions)
	return d, err == nil && notation.AtMost(d, largestSlope)
}

// derivedFrom is symbolicDerivative on the budget of the run. ok is false too where
// that is used up, which w.limit then says.
func (w *walker) derivedFrom(e *notation.Bind) (d notation.Expr, ok bool) {
	within := notation.Within{Left: algebra.MostLooked}
	d, ok = symbolicDerivative(&within, e, w.scope, w.isLocal)
	if err := w.run.charge(costLook * int64(algebra.MostLooked-within.Left)); err != nil {
		return nil, w.failLimit(e, err)
	}
	return d, ok
}

// An inlinedSize counts the nodes of an expression with its functions written out.
type inlinedSize struct {
	scope   Scope
	visited int
	failed  bool // there are more than largestInlined
}

// of returns the size of an expression, where names are as large as sizes say, or 1.
func (in *inlinedSize) of(e notation.Expr, sizes map[string]int) int {
	if in.visited++; in.failed || in.visited > largestInlined {
		in.failed = true
		return 1
	}
	n := 1
	switch e := e.(type) {
	case *notation.Name:
		n = max(1, sizes[e.Ident])
	case *notation.Call:
		n = in.call(e, sizes)
	default:
		notation.Map(e, func(part notation.Expr) notation.Expr {
			n += in.of(part, sizes)
			return part
		})
	}
	in.failed = in.failed || n > largestInlined
	return n
}

func (in *inlinedSize) call(e *notation.Call, sizes map[string]int) int {
	object, _ := in.scope.Lookup(e.Fun.Ident)
	f, isFunction := object.(*Function)
	inside, n := map[string]int{}, 1
	for i, a := range e.Args {
		size := in.of(a, sizes)
		n += size
		if isFunction && i < len(f.Params) {
			inside[f.Params[i]] = size
		}
	}
	if isFunction && !in.failed {
		return in.of(f.Body, inside)
	}
	return n
}

// capturesNames reports whether a function used in e means a name of the lesson
// that is hidden where e is: put in there, it would mean another.
func capturesNames(e notation.Expr, s Scope, hidden func(name string) bool) bool {
	return captures(e, s, hidden, map[string]bool{})
}

func captures(e notation.Expr, s Scope, hidden func(name string) bool, seen map[string]bool) bool {
	found := false
	notation.Inspect(e, func(n notation.Node) bool {
		call, ok := n.(*notation.Call)
		if !ok || found || seen[call.Fun.Ident] {
			return !found
		}
		object, _ := s.Lookup(call.Fun.Ident)
		f, ok := object.(*Function)
		if !ok {
			return true
		}
		seen[call.Fun.Ident] = true
		for _, name := range notation.FreeNames(f.Body) {
			found = found || !slices.Contains(f.Params, name.Ident) && hidden(name.Ident)
		}
		found = found || captures(f.Body, s, hidden, seen)
		return !found
	})
	return found
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

// slope evaluates an expression with the bound name at a place.
func (w *walker) slope(e *notation.Bind, d notation.Expr, x float64) (number, bool) {
	mark, quiet, derived := len(w.locals), w.quiet, w.derived
	w.quiet, w.derived = true, true
	w.locals = append(w.locals, local{name: e.Var.Ident, x: x})
	v, ok := w.number(d)
	w.locals, w.quiet, w.derived = w.locals[:mark], quiet, derived
	return v, ok
}
